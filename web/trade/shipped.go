package trade

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/book/record"
	"kerfbook/costing/rates"
	"kerfbook/costing/reference"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// shippedRow is a reference row of the workshop on one line.
type shippedRow struct {
	Name, Says, Source, Age string
}

// Recalled reports that some of the row was recalled and not looked up.
func (r shippedRow) Recalled() bool { return strings.Contains(r.Source, reference.FromMemory) }

// finishesWord asks for the rows of finishes.
const finishesWord = "finishes"

// shipped lists the reference rows of the workshop that are asked for: of a material,
// of a set of tools or of finishes.
func shipped(about string, today bom.Date) (title string, rows []shippedRow, err error) {
	if about == finishesWord {
		all, err := rates.ReferenceFinishes()
		return "Finishes", rowsOf(reflect.ValueOf(all), today), err
	}
	starters, err := rates.Starters()
	s, ok := rates.StarterOf(starters, bom.ID(about))
	if err != nil || !ok {
		return "", nil, err
	}
	switch {
	case len(s.Tools) > 0:
		rows = rowsOf(reflect.ValueOf(struct {
			Tools []bom.Tool `book:"tools"`
		}{s.Tools}), today)
	case len(s.Stocks) > 0:
		rows = rowsOf(reflect.ValueOf(struct {
			Stocks []bom.Stock `book:"stocks"`
		}{s.Stocks}), today)
	case len(s.Machines) > 0:
		rows = rowsOf(reflect.ValueOf(struct {
			Machines []rates.WorkCentre `book:"work_centres"`
		}{s.Machines}), today)
	case s.Setup != nil:
		rows = rowsOf(reflect.ValueOf(struct {
			Setup       []rates.Setup       `book:"setup"`
			Programming []rates.Programming `book:"programming"`
		}{[]rates.Setup{*s.Setup}, []rates.Programming{*s.Programming}}), today)
	}
	if rows != nil {
		for i := range rows {
			rows[i].Source, rows[i].Age = s.Source, frame.Age(today, s.CheckedOn)
		}
		return s.Name, rows, nil
	}
	tables, err := rates.ReferenceTables([]bom.ID{s.ID})
	if err != nil {
		return "", nil, err
	}
	of := func(id bom.ID) bool { return id != s.ID }
	return s.Name, rowsOf(reflect.ValueOf(struct {
		Material []rates.ReferenceMaterial `book:"material"`
		Forces   []rates.CuttingForce      `book:"cutting_forces"`
		Rows     []rates.CuttingRow        `book:"cutting_data"`
	}{slices.DeleteFunc(tables.Known, func(m rates.ReferenceMaterial) bool { return of(m.ID) }),
		slices.DeleteFunc(slices.Clone(tables.Forces), func(f rates.CuttingForce) bool { return of(f.Material) }),
		slices.DeleteFunc(slices.Clone(tables.Reference), func(r rates.CuttingRow) bool { return of(r.Material) })}), today), nil
}

// rowsOf writes the rows of tables, each on one line.
func rowsOf(tables reflect.Value, today bom.Date) (out []shippedRow) {
	for i := range tables.NumField() {
		for j := range tables.Field(i).Len() {
			v := tables.Field(i).Index(j)
			row := shippedRow{Name: form.Words(record.FieldName(tables.Type().Field(i)))}
			var says []string
			for _, f := range reflect.VisibleFields(v.Type()) {
				name, value := record.FieldName(f), v.FieldByIndex(f.Index)
				switch {
				case f.Anonymous || name == "" || value.IsZero() || name == "material" || name == "from":
				case name == "id":
					row.Name = value.String()
				case name == "checked_on":
					row.Age = frame.Age(today, bom.Date(value.String()))
				case name == "source":
					row.Source = strings.TrimPrefix(row.Source+"; "+value.String(), "; ")
				case name == "read_against" || name == "cutting_source":
					row.Source = strings.TrimPrefix(row.Source+"; "+form.Words(name)+": "+value.String(), "; ")
				default:
					says = append(says, said(name, value))
				}
			}
			row.Says = strings.Join(says, ", ")
			out = append(out, row)
		}
	}
	return out
}

// said is a field in words: "speed 90 to 240 m/min, likely 140".
func said(name string, v reflect.Value) string {
	words, unit, _ := strings.Cut(form.Words(name), ", ")
	switch value := reflect.Indirect(v).Interface().(type) {
	case bom.Number:
		text := value.Likely.String()
		if !value.Low.Equal(value.High) {
			text = value.Low.String() + " to " + value.High.String() + ", likely " + text
		}
		return strings.TrimSpace(words + " " + text + " " + unit)
	case []rates.FeedAt:
		var at []string
		for _, f := range value {
			at = append(at, strings.TrimPrefix(said("", reflect.ValueOf(f.FeedMM)), " ")+" at "+f.DiameterMM.Likely.String()+" mm")
		}
		return "feed " + strings.Join(at, "; ")
	}
	text := strings.Trim(fmt.Sprint(reflect.Indirect(v).Interface()), "[]")
	if !strings.Contains(text, " ") || v.Kind() == reflect.Slice {
		text = strings.ReplaceAll(text, "_", " ") // a word of the book
	}
	return words + " " + text
}
