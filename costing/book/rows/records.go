package rows

import (
	"reflect"
	"slices"
	"strings"

	dictionary "kerfbook/costing/book/field"
	"kerfbook/costing/book/record"
	"kerfbook/costing/text"
)

// Columns lists the columns of a table of the records of a kind, or of a list in them.
func Columns(k record.Kind, list string) []Column {
	if list == "" {
		return columnsOf(k.Name, "", k.Type)
	}
	e, _ := dictionary.Under(k.Name, list)
	return columnsOf(k.Name, list, e.Leaf)
}

// Lists names the lists of records that a record of a kind has.
func Lists(k record.Kind) []dictionary.Entry {
	return slices.DeleteFunc(dictionary.All(k.Type), func(e dictionary.Entry) bool {
		return e.Shape != text.ShapeList || e.Entry != text.ShapeRecord
	})
}

// Write gives a table: its heads, in words or as fields are named in the book, then a row
// for each record. Columns that no row fills are left out; where there is no row all stand
// there, to be filled in. Numbers have a decimal comma where one is asked for.
func Write(columns []Column, values []reflect.Value, inWords, decimalComma bool) [][]string {
	var lines []map[string]string
	for _, v := range values {
		lines = append(lines, markFor(decimalComma).cells(columns, v))
	}
	var needed []string
	for _, c := range columns {
		if c.Shape != text.ShapeRecord && (len(values) == 0 || c.Required && !strings.Contains(c.Path, ".")) {
			needed = append(needed, c.Path)
		}
	}
	return laid(columns, lines, needed, inWords)
}

func markFor(decimalComma bool) mark {
	if decimalComma {
		return comma
	}
	return point
}

// laid puts cells in rows under the columns that some row fills, or that are always there.
func laid(columns []Column, lines []map[string]string, always []string, inWords bool) [][]string {
	used := slices.DeleteFunc(slices.Clone(columns), func(c Column) bool {
		return !slices.Contains(always, c.Path) && !slices.ContainsFunc(lines, func(l map[string]string) bool { return l[c.Path] != "" })
	})
	byHead := headed(columns)
	out := [][]string{make([]string, len(used))}
	for i, c := range used {
		if out[0][i] = c.Path; inWords && byHead[strings.ToLower(c.Head)] == c.Path {
			out[0][i] = c.Head
		}
	}
	for _, l := range lines {
		row := make([]string, len(used))
		for i, c := range used {
			row[i] = l[c.Path]
		}
		out = append(out, row)
	}
	return out
}

// Entry is a record as a row says it is.
type Entry struct {
	ID string // of a record of the book, or the one that it takes
	Placement
	Value reflect.Value
}

// ReadEntries reads the table of a list in the records of a kind. What is wrong comes back
// at once as *Errors.
func ReadEntries(data []byte, k record.Kind, list string) ([]Entry, error) {
	e, _ := dictionary.Under(k.Name, list)
	return read(data, Columns(k, list), e.Leaf, func(values []reflect.Value) []whose { return make([]whose, len(values)) })
}

// ReadRecords reads the table of the records of a kind. held are those of the book: a row
// is about the one whose id it has; of two of the same name, about that of the same day.
func ReadRecords(data []byte, k record.Kind, held []record.Record) ([]Entry, error) {
	return read(data, Columns(k, ""), k.Type, func(values []reflect.Value) []whose { return assigned(k, held, values) })
}

// whose says which record a row is about.
type whose struct {
	id     string
	before reflect.Value // of the record in the book; invalid for a new one
	twice  bool          // it had a row already
	named  string        // the column with its id
}

// assigned finds the records that rows are about: first those of the same name and day, then
// those of the same name, which get another day; others are new.
func assigned(k record.Kind, held []record.Record, values []reflect.Value) []whose {
	exact, named, taken := map[string][]int{}, map[string][]int{}, map[string]bool{}
	for i, r := range held {
		ids, _ := k.Identify(r.Value)
		last := ids[len(ids)-1]
		exact[last], named[ids[0]], taken[r.ID] = append(exact[last], i), append(named[ids[0]], i), true
	}
	out, claimed := make([]whose, len(values)), map[int]bool{}
	claim := func(row int, of []int) {
		if at := slices.IndexFunc(of, func(i int) bool { return !claimed[i] }); at >= 0 && out[row].id == "" {
			claimed[of[at]] = true
			out[row].id, out[row].before = held[of[at]].ID, held[of[at]].Value
		}
	}
	rows := make([][]string, len(values))
	for i, v := range values {
		rows[i], out[i].named = k.Identify(v)
		claim(i, exact[rows[i][len(rows[i])-1]])
	}
	for i, ids := range rows {
		claim(i, named[ids[0]])
		if out[i].id != "" {
			continue
		}
		free := slices.IndexFunc(ids, func(id string) bool { return !taken[id] })
		out[i].id, out[i].twice = ids[max(0, free)], free < 0
		taken[out[i].id] = true
	}
	return out
}

// read reads rows as records of a type. A first reading tells whose they are.
func read(data []byte, columns []Column, of reflect.Type, whose func([]reflect.Value) []whose) ([]Entry, error) {
	t, err := open(data, columns)
	if err != nil {
		return nil, err
	}
	t.Rows = slices.DeleteFunc(t.Rows, func(line Row) bool { return !t.fits(line) })
	wide := t.errors
	var values []reflect.Value
	for _, line := range t.Rows {
		v, _ := t.record(line, columns, of, reflect.Value{}) // whatever is wrong is said below
		values = append(values, v)
	}
	t.errors = wide
	var out []Entry
	for i, w := range whose(values) {
		value, err := t.record(t.Rows[i], columns, of, w.before)
		if w.twice {
			_, column := t.cell(t.Rows[i], w.named)
			t.fail(t.Rows[i].Line, column, "%s has a row already", w.id)
		}
		if err := t.refused(err); err != nil {
			return nil, err
		}
		out = append(out, Entry{w.id, t.Placement, value})
	}
	return out, t.err()
}

// record reads a row; what could be read of it comes with the error.
func (t *table) record(line Row, columns []Column, of reflect.Type, before reflect.Value) (reflect.Value, error) {
	t.Placement = Placement{text.Places{}, t.heads}
	value := reflect.New(of)
	_, err := text.DecodeRecord([]byte(together(columns, t.values(line, columns, before, ""), "")+"\n"), value.Interface(), dictionary.Hints{})
	return value.Elem(), err
}
