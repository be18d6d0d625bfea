package trade

import (
	"reflect"
	"strconv"
	"strings"

	"kerfbook/costing/book/record"
	"kerfbook/costing/rates"
	"kerfbook/costing/reference"
	"kerfbook/costing/trade"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// sourcesBody shows the reference rows for a place.
type sourcesBody struct {
	About        frame.Field // which rows
	Place        frame.Field
	Shipped      []shippedRow
	Paging       frame.Paging
	Title        string // of those shipped
	Tables       []sourceTable
	Publications []reference.Source
}

// sourceTable is one list of reference rows.
type sourceTable struct {
	ID, Title string
	Rows      []sourceRow
}

// sourceRow is a reference row with where it came from.
type sourceRow struct {
	Name       string
	Unverified bool
	Content    form.Content
}

// shippedShown is how many rows of the workshop stand on a page; some have long sources.
const shippedShown = 10

// sources shows the rows that ship with the program, of tax, duty and customs for one
// place at a time, or of the workshop, and the publications that all rows rest on.
func sources(c *frame.Call) error {
	rules, err := trade.Reference()
	if err != nil {
		return err
	}
	publications, err := reference.Sources()
	if err != nil {
		return err
	}
	body := sourcesBody{Place: frame.Field{Name: "place", Label: "Place", Options: placeOptions(c, rules)}, Publications: publications}
	place := c.R.Form.Get("place")
	if place == "" && len(c.Book.Destinations) > 0 {
		place = string(c.Book.Destinations[0].Country)
	} else if place == "" {
		place = string(c.Book.Country)
	}
	body.Place.Options = frame.Choose(body.Place.Options, place)
	about := c.R.Form.Get("about")
	if body.About, err = aboutField(about); err != nil {
		return err
	}
	if body.Title, body.Shipped, err = shipped(about, c.Site.Service.Today()); err != nil {
		return err
	}
	body.Shipped, body.Paging = frame.Paged(c, body.Shipped, shippedShown)
	all := reflect.ValueOf(rules)
	for i := range all.NumField() {
		name := record.FieldName(all.Type().Field(i))
		if len(body.Shipped) > 0 {
			break
		}
		if t := sourceRows(name, all.Field(i), namesOf(place, rules)); len(t.Rows) > 0 {
			body.Tables = append(body.Tables, t)
		}
	}
	return c.Show("sources", c.Page("sources", "Sources", &body))
}

// aboutField offers what there are rows about.
func aboutField(chosen string) (frame.Field, error) {
	options := []frame.Option{{Label: "tax, duty and customs of the place"}}
	starters, err := rates.Starters()
	for _, s := range starters {
		options = append(options, frame.Option{Value: string(s.ID), Label: s.Name})
	}
	options = append(options, frame.Option{Value: finishesWord, Label: "finishes"})
	return frame.Field{Name: "about", Label: "Rows about", Options: frame.Choose(options, chosen)}, err
}

// placeOptions lists the places of the reference rows, destinations of the book
// first.
func placeOptions(c *frame.Call, reference trade.Rules) []frame.Option {
	var out []frame.Option
	seen := map[string]bool{}
	add := func(code, name string) {
		if !seen[code] {
			seen[code] = true
			out = append(out, frame.Option{Value: code, Label: name})
		}
	}
	for _, d := range c.Book.Destinations {
		add(string(d.Country), frame.PlaceName(c.Book, d.Place()))
	}
	for _, row := range reference.Countries {
		add(string(row.Country), string(row.Country))
	}
	return out
}

// namesOf lists what rows may call a place: the country and its territories.
func namesOf(place string, reference trade.Rules) map[string]bool {
	out := map[string]bool{place: true}
	for _, t := range reference.Territories {
		for _, m := range t.Members {
			if string(m) == place {
				out[string(t.ID)] = true
			}
		}
	}
	return out
}

// sourceRows lists the rows of a table that are about a place.
func sourceRows(name string, list reflect.Value, places map[string]bool) sourceTable {
	t := sourceTable{ID: "rows-" + strings.ReplaceAll(name, "_", "-"), Title: form.Words(name)}
	for i := range list.Len() {
		row := list.Index(i)
		if !about(row, places) {
			continue
		}
		r := form.Reader{Kind: "reference", Id: name + "[" + strconv.Itoa(i) + "]"}
		cite := record.Field(row, "cite").String()
		t.Rows = append(t.Rows, sourceRow{Name: rowName(row), Unverified: strings.HasPrefix(cite, reference.FromMemory), Content: r.Record("", row)})
	}
	return t
}

// about reports whether a row is for one of the places.
func about(row reflect.Value, places map[string]bool) bool {
	for _, name := range []string{"country", "place", "territory", "id"} {
		if f := record.Field(row, name); f.IsValid() && f.Kind() == reflect.String && name != "id" {
			return places[country(f.String())]
		}
	}
	if f := record.Field(row, "members"); f.IsValid() {
		for i := range f.Len() {
			if places[f.Index(i).String()] {
				return true
			}
		}
	}
	return false
}

// country takes the country out of a place such as CA-ON; territories stay as
// they are.
func country(place string) string {
	if code, _, ok := strings.Cut(place, "-"); ok && len(code) == 2 {
		return code
	}
	return place
}

func rowName(row reflect.Value) string {
	for _, name := range []string{"name", "id", "hs_codes", "territory", "country"} {
		if f := record.Field(row, name); f.IsValid() && !f.IsZero() {
			if f.Kind() == reflect.Slice {
				var codes []string
				for i := range f.Len() {
					codes = append(codes, f.Index(i).String())
				}
				return "classes " + strings.Join(codes, ", ")
			}
			return f.String()
		}
	}
	return ""
}
