package form

import (
	"reflect"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/book/field"
	"kerfbook/costing/book/record"
	"kerfbook/costing/text"
	"kerfbook/costing/trade"
	"kerfbook/web/frame"
)

// Content shows a record as it was entered: single values, lists as tables, and
// records inside it.
type Content struct {
	Title  string
	Pairs  []pair
	Tables []ContentTable
	Inner  []Content
	Long   bool // so that it is folded inside another
}

// pair is a value with its name.
type pair struct {
	Name  string
	Value Entry
}

// ContentTable is a list of like records.
type ContentTable struct {
	ID, Title string
	Heads     []TableHead
	Rows      [][]Entry
	Long      bool // so that it is folded
}

// TableHead names a column; numbers stand to the right.
type TableHead struct {
	Name string
	Num  bool
}

// Entry is one value: a number that leads to its proof, or text.
type Entry struct {
	Text      string
	Number    frame.Fig
	Low, High string // of a range
	Shape     string // of a range
	SD        string // of a normal range
	Code      bool   // a name of the book, not prose
	Num       bool   // in a column of numbers
}

// Reader lays out records. Numbers that the batch uses have the key of their
// figure; others are known by their place in the book.
type Reader struct {
	Sheet *answer.Sheet
	Link  frame.Linker
	Kind  string
	Id    string
	Root  string // place of the record in the book
}

// Record lays out a whole record.
func (r Reader) Record(title string, v reflect.Value) Content { return r.Inside(title, v, "") }

// Inside lays out a struct at a place below the record.
func (r Reader) Inside(title string, v reflect.Value, path string) Content {
	c := Content{Title: title}
	all := field.All(v.Type())
	for i := range v.NumField() {
		name, value := record.FieldName(v.Type().Field(i)), v.Field(i)
		if name == "" || value.IsZero() {
			continue
		}
		r.add(&c, namedIn(all, name), value, text.Field(path, name))
	}
	c.Long = c.lines() > longContent
	return c
}

// namedIn is what the field of a struct is called on a page.
func namedIn(all []field.Entry, name string) string {
	if i := slices.IndexFunc(all, func(e field.Entry) bool { return e.Name == name }); i >= 0 {
		return all[i].Named()
	}
	return Words(name)
}

// Label is what the field at a place of a record is called on a page.
func Label(kind, path string) string {
	if e, ok := field.Under(kind, path); ok {
		return e.Named()
	}
	return Words(path)
}

// longContent is how many lines stand open inside a record.
const longContent = 5

func (c *Content) lines() int {
	n := len(c.Pairs)
	for _, t := range c.Tables {
		n += 2 + len(t.Rows)
	}
	for i := range c.Inner {
		n += 2 + c.Inner[i].lines()
	}
	return n
}

func (r Reader) add(c *Content, name string, v reflect.Value, path string) {
	if v.Kind() == reflect.Pointer {
		v = v.Elem()
	}
	switch {
	case IsSimple(v):
		c.Pairs = append(c.Pairs, pair{name, r.Simple(v, path)})
	case v.Kind() == reflect.Struct:
		c.Inner = append(c.Inner, r.Inside(name, v, path))
	case v.Kind() == reflect.Slice && isFlat(v):
		title := name
		if c.Title != "" {
			title += " of " + c.Title
		}
		c.Tables = append(c.Tables, r.Table(title, v, path))
	case v.Kind() == reflect.Slice:
		for i := range v.Len() {
			if item := v.Index(i); item.Kind() == reflect.Struct {
				c.Inner = append(c.Inner, r.Inside(name+": "+labelOf(item), item, text.Index(path, i)))
			}
		}
	}
}

// IsSimple finds values that fit one cell.
func IsSimple(v reflect.Value) bool {
	if v.Kind() == reflect.Pointer {
		return v.IsNil() || IsSimple(v.Elem())
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
			if f := list.Index(i).Field(j); !f.IsZero() && !IsSimple(f) {
				return false
			}
		}
	}
	return true
}

// Table shows a list of flat records, with the columns any of them fills.
func (r Reader) Table(title string, list reflect.Value, path string) ContentTable {
	t := ContentTable{ID: "list-" + frame.FieldID(r.Root+path), Title: title}
	var columns []int
	elem := list.Type().Elem()
	all := field.All(elem)
	for j := range elem.NumField() {
		for i := range list.Len() {
			if !list.Index(i).Field(j).IsZero() {
				columns = append(columns, j)
				t.Heads = append(t.Heads, TableHead{namedIn(all, record.FieldName(elem.Field(j))), IsNumeric(elem.Field(j).Type)})
				break
			}
		}
	}
	for i := range list.Len() {
		var row []Entry
		for _, j := range columns {
			cell := r.Simple(list.Index(i).Field(j), text.Field(text.Index(path, i), record.FieldName(elem.Field(j))))
			cell.Num = IsNumeric(elem.Field(j).Type)
			row = append(row, cell)
		}
		t.Rows = append(t.Rows, row)
	}
	t.Long = len(t.Rows) > 2*longContent
	return t
}

// IsNumeric finds the types of fields that hold numbers.
func IsNumeric(t reflect.Type) bool {
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	return t.Kind() == reflect.Int || t == reflect.TypeFor[bom.Number]()
}

// Simple shows a value that fits one cell.
func (r Reader) Simple(v reflect.Value, path string) Entry {
	if v.Kind() == reflect.Pointer {
		if v.IsNil() {
			return Entry{}
		}
		v = v.Elem()
	}
	if n, ok := v.Interface().(bom.Number); ok {
		return r.Number(n, path)
	}
	switch v.Kind() {
	case reflect.Bool:
		if v.Bool() {
			return Entry{Text: "yes"}
		}
		return Entry{Text: "no"}
	case reflect.Int:
		if v.IsZero() {
			return Entry{} // left out
		}
		return r.Number(bom.Whole(v.Int()), path)
	case reflect.Map:
		return Entry{Text: mapText(v), Code: true}
	case reflect.Slice:
		var parts []string
		for i := range v.Len() {
			parts = append(parts, r.Simple(v.Index(i), path).Text)
		}
		return Entry{Text: strings.Join(parts, ", "), Code: true}
	}
	return Entry{Text: field.Says(v), Code: true}
}

// Number shows a number that was entered. It is the figure of the batch where
// the batch has it, with the same value; otherwise it is known by its place.
func (r Reader) Number(n bom.Number, path string) Entry {
	written := n.Likely.String()
	out := Entry{Number: frame.Fig{Key: enteredKey(r.Kind, r.Id, path), Value: written, Text: frame.Minus(written), Label: Label(r.Kind, path), Href: enteredHref(r.Kind, r.Id, path)}}
	if r.Root != "" && r.Sheet != nil {
		f := r.Sheet.Entered(text.Field(r.Root, path))
		if d, ok := f.Number(); ok && d.Equal(n.Likely) {
			out.Number = r.Link.Write(f, decimal.Decimal.String)
		}
	}
	if n.IsRange {
		out.Low, out.High, out.Shape = n.Low.String(), n.High.String(), frame.ShapeWords(n.Shape.String())
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
		written := value.String()
		if value.Kind() == reflect.Slice {
			var items []string
			for i := range value.Len() {
				items = append(items, value.Index(i).String())
			}
			written = strings.Join(items, " or ")
		}
		parts = append(parts, it.Key().String()+" "+written)
	}
	slices.Sort(parts)
	return strings.Join(parts, ", ")
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

// Words turns the name of a field into words; its unit stays behind.
func Words(name string) string {
	if at := strings.LastIndex(name, "."); at >= 0 {
		name = name[at+1:]
	}
	stem, unit := field.Unit(name)
	words := strings.ReplaceAll(stem, "_", " ")
	if unit == "" {
		return words
	}
	return words + ", " + strings.TrimPrefix(unit, "money ")
}

// ReferenceNumber finds a number of a reference row by the id of its row, such as
// taxes[3], and the place in it.
func ReferenceNumber(id, path string) (bom.Number, bool) {
	reference, err := trade.Reference()
	if err != nil {
		return bom.Number{}, false
	}
	return record.Number(reflect.ValueOf(reference), id+"."+path)
}
