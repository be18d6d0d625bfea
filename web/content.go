package web

import (
	"reflect"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/book/record"
	"kerfbook/costing/text"
	"kerfbook/web/frame"
)

// content shows a record as it was entered: single values, lists as tables, and
// records inside it.
type content struct {
	Title  string
	Pairs  []pair
	Tables []contentTable
	Inner  []content
}

// pair is a value with its name.
type pair struct {
	Name  string
	Value entered
}

// contentTable is a list of like records.
type contentTable struct {
	ID, Title string
	Heads     []tableHead
	Rows      [][]entered
}

// tableHead names a column; numbers stand to the right.
type tableHead struct {
	Name string
	Num  bool
}

// entered is one value: a number that leads to its proof, or text.
type entered struct {
	Text      string
	Number    frame.Fig
	Low, High string // of a range
	Shape     string // of a range
	SD        string // of a normal range
	Code      bool   // a name of the book, not prose
	Num       bool   // in a column of numbers
}

// reader lays out records. Numbers that the batch uses have the key of their
// figure; others are known by their place in the book.
type reader struct {
	sheet *answer.Sheet
	link  frame.Linker
	kind  string
	id    string
	root  string // place of the record in the book
}

// record lays out a whole record.
func (r reader) record(title string, v reflect.Value) content { return r.inside(title, v, "") }

// inside lays out a struct at a place below the record.
func (r reader) inside(title string, v reflect.Value, path string) content {
	c := content{Title: title}
	for i := range v.NumField() {
		name, value := record.FieldName(v.Type().Field(i)), v.Field(i)
		if name == "" || value.IsZero() {
			continue
		}
		r.add(&c, words(name), value, text.Field(path, name))
	}
	return c
}

func (r reader) add(c *content, name string, v reflect.Value, path string) {
	if v.Kind() == reflect.Pointer {
		v = v.Elem()
	}
	switch {
	case isSimple(v):
		c.Pairs = append(c.Pairs, pair{name, r.simple(v, path)})
	case v.Kind() == reflect.Struct:
		c.Inner = append(c.Inner, r.inside(name, v, path))
	case v.Kind() == reflect.Slice && isFlat(v):
		title := name
		if c.Title != "" {
			title += " of " + c.Title
		}
		c.Tables = append(c.Tables, r.table(title, v, path))
	case v.Kind() == reflect.Slice:
		for i := range v.Len() {
			if item := v.Index(i); item.Kind() == reflect.Struct {
				c.Inner = append(c.Inner, r.inside(name+": "+labelOf(item), item, text.Index(path, i)))
			}
		}
	}
}

// isSimple finds values that fit one cell.
func isSimple(v reflect.Value) bool {
	if v.Kind() == reflect.Pointer {
		return v.IsNil() || isSimple(v.Elem())
	}
	if _, ok := v.Interface().(bom.Number); ok {
		return true
	}
	switch v.Kind() {
	case reflect.Struct:
		return false
	case reflect.Slice:
		return v.Type().Elem().Kind() == reflect.String || v.Type().Elem().Kind() == reflect.Map
	}
	return true
}

// isFlat finds lists of records that have only simple values.
func isFlat(list reflect.Value) bool {
	for i := range list.Len() {
		for j := range list.Index(i).NumField() {
			if f := list.Index(i).Field(j); !f.IsZero() && !isSimple(f) {
				return false
			}
		}
	}
	return true
}

// table shows a list of flat records, with the columns any of them fills.
func (r reader) table(title string, list reflect.Value, path string) contentTable {
	t := contentTable{ID: "list-" + frame.FieldID(r.root+path), Title: title}
	var columns []int
	elem := list.Type().Elem()
	for j := range elem.NumField() {
		for i := range list.Len() {
			if !list.Index(i).Field(j).IsZero() {
				columns = append(columns, j)
				t.Heads = append(t.Heads, tableHead{words(record.FieldName(elem.Field(j))), isNumeric(elem.Field(j).Type)})
				break
			}
		}
	}
	for i := range list.Len() {
		var row []entered
		for _, j := range columns {
			cell := r.simple(list.Index(i).Field(j), text.Field(text.Index(path, i), record.FieldName(elem.Field(j))))
			cell.Num = isNumeric(elem.Field(j).Type)
			row = append(row, cell)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// isNumeric finds the types of fields that hold numbers.
func isNumeric(t reflect.Type) bool {
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	return t.Kind() == reflect.Int || t == reflect.TypeFor[bom.Number]()
}

// simple shows a value that fits one cell.
func (r reader) simple(v reflect.Value, path string) entered {
	if v.Kind() == reflect.Pointer {
		if v.IsNil() {
			return entered{}
		}
		v = v.Elem()
	}
	if n, ok := v.Interface().(bom.Number); ok {
		return r.number(n, path)
	}
	switch v.Kind() {
	case reflect.Bool:
		if v.Bool() {
			return entered{Text: "yes"}
		}
		return entered{Text: "no"}
	case reflect.Int:
		if v.IsZero() {
			return entered{} // left out
		}
		return r.number(bom.Whole(v.Int()), path)
	case reflect.Map:
		return entered{Text: mapText(v), Code: true}
	case reflect.Slice:
		var parts []string
		for i := range v.Len() {
			parts = append(parts, r.simple(v.Index(i), path).Text)
		}
		return entered{Text: strings.Join(parts, ", "), Code: true}
	}
	return entered{Text: v.String(), Code: true}
}

// number shows a number that was entered. It is the figure of the batch where
// the batch has it, with the same value; otherwise it is known by its place.
func (r reader) number(n bom.Number, path string) entered {
	written := n.Likely.String()
	out := entered{Number: frame.Fig{Key: enteredKey(r.kind, r.id, path), Value: written, Text: frame.Minus(written), Label: words(path), Href: enteredHref(r.kind, r.id, path)}}
	if r.root != "" && r.sheet != nil {
		f := r.sheet.Entered(text.Field(r.root, path))
		if d, ok := f.Number(); ok && d.Equal(n.Likely) {
			out.Number = r.link.Write(f, decimal.Decimal.String)
		}
	}
	if n.IsRange {
		out.Low, out.High, out.Shape = n.Low.String(), n.High.String(), n.Shape.String()
		if n.Shape == bom.Normal {
			out.SD = n.SD.String()
		}
	}
	return out
}

// enteredKey names a number by its place in a record, for numbers that no figure
// of a batch stands for.
func enteredKey(kind, id, path string) string { return "book/" + kind + "/" + id + "/" + path }

func enteredHref(kind, id, path string) string {
	return frame.Linker{Base: "/proof/"}.Href(enteredKey(kind, id, path))
}

func mapText(v reflect.Value) string {
	var parts []string
	for it := v.MapRange(); it.Next(); {
		value := it.Value()
		written := ""
		if value.Kind() == reflect.Slice {
			var items []string
			for i := range value.Len() {
				items = append(items, value.Index(i).String())
			}
			written = strings.Join(items, " or ")
		} else {
			written = value.String()
		}
		parts = append(parts, it.Key().String()+" "+written)
	}
	return strings.Join(frame.Sorted(parts), ", ")
}

// labelOf names a record inside another by the first text it has.
func labelOf(v reflect.Value) string {
	for i := range v.NumField() {
		f := v.Field(i)
		if f.Kind() == reflect.String && f.String() != "" {
			return f.String()
		}
		if f.Kind() == reflect.Slice && f.Len() > 0 && f.Index(0).Kind() == reflect.String {
			return f.Index(0).String()
		}
	}
	return ""
}

// words turns the name of a field into words; its unit stays behind.
func words(name string) string {
	if at := strings.LastIndex(name, "."); at >= 0 {
		name = name[at+1:]
	}
	for _, u := range units {
		if rest, ok := strings.CutSuffix(name, u.suffix); ok {
			return strings.ReplaceAll(rest, "_", " ") + ", " + u.unit
		}
	}
	return strings.ReplaceAll(name, "_", " ")
}

// units are the units that names of fields end in.
var units = []struct{ suffix, unit string }{
	{"_per_dm2_um", "per dm² and µm"}, {"_per_dm2", "per dm²"}, {"_per_kwh", "per kWh"}, {"_per_m2_year", "per m² and year"}, {"_per_year", "per year"}, {"_per_min", "1/min"},
	{"_m_min", "m/min"}, {"_m_s2", "m/s²"}, {"_mm_min", "mm/min"}, {"_um_h", "µm/h"}, {"_a_dm2", "A/dm²"}, {"_n_mm2", "N/mm²"}, {"_kw", "kW"}, {"_nm", "Nm"}, {"_deg", "°"}, {"_m2", "m²"}, {"_s", "s"}, {"_g_cm3", "g/cm³"}, {"_dm2", "dm²"}, {"_um", "µm"}, {"_mm", "mm"}, {"_min", "min"}, {"_g", "g"}, {"_per_h", "per h"},
}
