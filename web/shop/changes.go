package shop

import (
	"cmp"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/go-chi/chi/v5"

	"kerfbook/api/service"
	"kerfbook/costing/book/field"
	"kerfbook/costing/text"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// changesBody is the history, and the change log behind it.
type changesBody struct {
	Person, Record frame.Field
	SignIns        bool
	Rows           []changeRow
	Next           string
	Verified       bool
	Head           string
	Faults         []string
}

// changeRow is one change.
type changeRow struct {
	Number, At, Actor, Did, Reason, Href string
	Of                                   frame.Link      // what is no record: a quote, a token, a person
	Records, Rest                        []changedRecord // the others are folded
	More                                 int             // records that are not listed
	Effect                               *costMoved
	Undo                                 bool
}

// changedRecord is what a change did to one record.
type changedRecord struct {
	Record frame.Link
	Did    string
	Fields []text.FieldDifference
	Rest   []text.FieldDifference // folded
	More   int                    // fields that are not listed
}

// costMoved is what a change did to full costs.
type costMoved struct {
	Rows []effectRow
	Same int
	Why  string
	Day  string
}

// How much of a change a list tells.
const (
	recordsListed, fieldsListed = 3, 1
	recordsOpen, fieldsOpen     = 5, 8 // on the page of one change, before the others are folded
	fieldsShown                 = 200
)

// changeLog lists changes, and checks the log when asked to.
func changeLog(c *frame.Call) error {
	ask := c.R.Form
	of := service.ChangesOf{Actor: ask.Get("person"), Record: strings.TrimSpace(ask.Get("record")), SignIns: ask.Get("sign-ins") != "", Told: recordsListed}
	of.Before, _ = strconv.ParseInt(ask.Get("before"), 10, 64) // what is no number asks for the last page
	of.Before = max(0, of.Before)
	found, more, err := c.Site.Service.History(c.R.Context(), of, c.Site.Edge.Config.PageSize)
	if err != nil {
		return err
	}
	names, err := c.Site.Service.Actors(c.R.Context())
	if err != nil {
		return err
	}
	body := changesBody{SignIns: of.SignIns, Person: frame.Field{Name: "person", Label: "Who"},
		Record: frame.Field{Name: "record", Label: "Record", Value: of.Record, Hint: "Such as parts/HS-010 or quotes/2026-0001."}}
	people := []frame.Option{{Label: "everybody"}}
	for _, name := range names {
		people = append(people, frame.Option{Value: name, Label: name})
	}
	body.Person.Offer(people, of.Actor)
	if len(found) > 0 && of.Before == 0 && of.Actor == "" && of.Record == "" {
		c.KeepSeen(found[0].Seq)
	}
	for _, one := range found {
		body.Rows = append(body.Rows, rowOf(c, one, recordsListed, fieldsListed))
	}
	if more {
		next := url.Values{"before": {body.Rows[len(body.Rows)-1].Number}}
		for _, name := range []string{"person", "record", "sign-ins"} {
			if ask.Get(name) != "" {
				next.Set(name, ask.Get(name))
			}
		}
		body.Next = "/changes?" + next.Encode()
	}
	if ask.Get("verify") != "" {
		report, err := c.Site.Service.VerifyLog(c.R.Context())
		if err != nil {
			return err
		}
		body.Verified, body.Head = true, report.Head
		body.Faults = logFaults(report)
	}
	return c.Show("changes", c.Page("changes", "Changes", &body))
}

// oneChange shows a change with all that it did.
func oneChange(c *frame.Call) error {
	number, err := changeAsked(c)
	if err != nil {
		return err
	}
	found, err := c.Site.Service.ChangeAt(c.R.Context(), number)
	if err != nil {
		return err
	}
	row := rowOf(c, found, len(found.Records), fieldsShown)
	for i, r := range row.Records {
		row.Records[i] = r.folded()
	}
	open := min(len(row.Records), recordsOpen)
	row.Records, row.Rest = row.Records[:open], row.Records[open:]
	return c.Show("change-made", c.Page("changes", "Change "+row.Number, &row))
}

// folded leaves the first fields open.
func (r changedRecord) folded() changedRecord {
	open := min(len(r.Fields), fieldsOpen)
	r.Fields, r.Rest = r.Fields[:open], r.Fields[open:]
	return r
}

// undoChange puts back what records said before a change.
func undoChange(c *frame.Call) error {
	number, err := changeAsked(c)
	if err != nil {
		return err
	}
	if _, err := c.Site.Service.Undo(c.R.Context(), c.Actor, number); err != nil {
		return err
	}
	return c.LeadTo("/changes", "undone")
}

func changeAsked(c *frame.Call) (int64, error) {
	number, err := strconv.ParseInt(chi.URLParam(c.R, "change"), 10, 64)
	if err != nil {
		return 0, noSuchPage("there is no such change")
	}
	return number, nil
}

// rowOf lays out a change with so many of its records and of their fields.
func rowOf(c *frame.Call, of service.Change, records, fields int) changeRow {
	row := changeRow{Number: strconv.FormatInt(of.Seq, 10), At: frame.Moment(of.At), Actor: of.Actor, Reason: of.Reason, Did: of.Action,
		Undo: len(of.Records) > 0 && c.Actor.Scopes.Has(service.Write)}
	row.Href = "/changes/" + row.Number
	switch of.Action {
	case "put", "delete", "change", "words", "order":
		row.Did = "" // each record says it
	}
	for _, r := range of.Records[:min(len(of.Records), records)] {
		row.Records = append(row.Records, recordOf(r, fields))
	}
	row.More = len(of.Records) - len(row.Records)
	if len(of.Records) == 0 {
		row.Of = objectLink(of.Object)
	}
	if e := of.Effect; e != nil {
		row.Effect = &costMoved{Same: e.Same, Why: e.Why, Day: string(e.Day)}
		for _, m := range e.Moved {
			moved := effectRow{Label: m.Name + " at " + m.Quantity, Before: frame.Linker{}.Money(m.Before), After: frame.Linker{}.Money(m.After)}
			if m.By.Key != "" {
				moved.Difference = signedMoney(m.By)
			}
			row.Effect.Rows = append(row.Effect.Rows, moved)
		}
	}
	return row
}

func recordOf(r service.RecordChange, fields int) changedRecord {
	k, _ := form.KindOf(r.Kind)
	name := cmp.Or(k.One, r.Kind)
	if r.ID != r.Kind { // of which there are several
		name += " " + r.ID
	}
	if r.Did == "added" && fields < fieldsShown { // all of it is new
		r.Fields = nil
	}
	r.Fields = spoken(r.Kind, r.Fields)
	out := changedRecord{Record: frame.Link{Label: name, Href: frame.RecordHref(r.Kind, r.ID) + "/revisions?show=" + frame.Digits(r.Revision)},
		Did: r.Did, Fields: r.Fields[:min(len(r.Fields), fields)]}
	out.More = len(r.Fields) - len(out.Fields)
	if r.Did == "words" {
		out.Did = "other words, the same figures"
	}
	return out
}

// spoken puts places and values of fields in words.
func spoken(kind string, fields []text.FieldDifference) []text.FieldDifference {
	out := slices.Clone(fields)
	for i := range out {
		f := &out[i]
		if whole := f.Before + f.After; strings.HasSuffix(f.Path, "]") && strings.HasPrefix(whole, "{") && !rangeText.MatchString(whole) {
			f.Path = f.Path[:strings.LastIndex(f.Path, "[")] // the entry itself, which says its name
		}
		f.Path, f.Before, f.After = placeWords(kind, f.Path), valueWords(f.Before), valueWords(f.After)
	}
	return out
}

// rangeText is a range as a book has it.
var rangeText = regexp.MustCompile(`^\{low: ([^,]+), likely: ([^,]+), high: ([^,}]+)(?:, shape: ([a-z]+))?(.*)\}$`)

// valueWords writes a value as a person would: a range by its ends, and an entry of a list
// by its name and what it says.
func valueWords(text string) string {
	if m := rangeText.FindStringSubmatch(text); m != nil {
		out := m[2] + ", between " + m[1] + " and " + m[3]
		if m[4] != "" {
			out += ", " + frame.ShapeWords(m[4])
		}
		return out + m[5]
	}
	isEntry := strings.HasPrefix(text, "{") && strings.HasSuffix(text, "}")
	if !isEntry && !(strings.HasPrefix(text, "[") && strings.HasSuffix(text, "]")) {
		return field.Spoken(text)
	}
	var out []string
	for _, said := range partsOf(text[1 : len(text)-1]) {
		name, value, _ := strings.Cut(said, ": ")
		switch {
		case !isEntry:
			out = append(out, valueWords(said))
		case name == "id":
		case name == "name" || name == "kind":
			out = append(out, strings.Trim(value, `"`))
		default:
			out = append(out, strings.Trim(field.Spoken(name), "“”")+" "+valueWords(value))
		}
	}
	return strings.Join(out, ", ")
}

// partsOf cuts the inside of an entry or a list at the commas that are its own.
func partsOf(inner string) (out []string) {
	depth, quoted, from := 0, false, 0
	for at, c := range inner {
		switch {
		case c == '"':
			quoted = !quoted
		case quoted:
		case c == '{' || c == '[':
			depth++
		case c == '}' || c == ']':
			depth--
		case c == ',' && depth == 0:
			out, from = append(out, strings.TrimSpace(inner[from:at])), at+1
		}
	}
	return append(out, strings.TrimSpace(inner[from:]))
}

// placeWords says where in a record a difference is: “operations 20, set-up, min”.
func placeWords(kind, path string) string {
	var out []string
	at := ""
	for _, step := range stepOf.FindAllStringSubmatch(path, -1) {
		at = text.Field(at, step[1])
		out = append(out, strings.TrimSpace(form.Label(kind, at)+" "+strings.Trim(step[2], `"`)))
	}
	return strings.Join(out, ", ")
}

// stepOf is a field on the way to a difference, with the name of the entry if it is a list.
var stepOf = regexp.MustCompile(`([a-z0-9_]+)(?:\[([^\]]*)\])?`)

func logFaults(report service.LogReport) []string {
	var out []string
	for _, f := range report.Faults {
		out = append(out, f.Object+": "+f.Message)
	}
	return out
}

// objectLink leads to what an entry is about, where it is no record; the action names a
// person by itself, and a visit has no page.
func objectLink(object string) frame.Link {
	kind, rest, _ := strings.Cut(object, "/")
	id, _, _ := strings.Cut(rest, "@")
	switch kind {
	case "quotes":
		id = strings.TrimSuffix(id, "/state")
		return frame.Link{Label: "quote " + id, Href: "/quotes/" + id}
	case "tokens":
		_, name, _ := strings.Cut(rest, " ")
		return frame.Link{Label: "token " + name, Href: "/shop"}
	case "people", "sessions", "sign-in-links":
		return frame.Link{}
	}
	return frame.Link{Label: object}
}
