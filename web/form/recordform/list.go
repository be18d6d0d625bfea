package recordform

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"kerfbook/costing/book/field"
	"kerfbook/costing/text"
	"kerfbook/web/frame"
)

// mostCells bounds the fields that stand in the row of an entry.
const mostCells = 6

// longList is how many entries a list has at most that stands open.
const longList = 12

// list lays out a list as a table: what nearly every entry has in cells, the rest below
// the row that is open.
func (l *layout) list(m text.Member, e field.Entry, at, context string) List {
	out := List{Group: l.group(e, at, context), Place: l.Prefix + at, One: one(e.Label), To: l.Action}
	if strings.Contains(out.Error, " is missing; add this field") {
		out.Error = "enter at least one"
		l.faulty[at] = out.Error
	}
	if m.Required && l.sheet.Typed.Count(at) == 0 {
		l.sheet.Typed[text.Index(at, 0)] = "" // the first is there to be filled in
	}
	columns := l.columns(m, at)
	for _, c := range columns {
		head := frame.Field{Label: capital(c.Label), Suffix: strings.Replace(c.Unit, "money", l.Currency, 1)}
		if c.Shape == text.ShapeWhole || c.Shape == text.ShapeSingle || c.Shape == text.ShapeRange {
			head.Mode = "decimal"
		}
		out.Heads = append(out.Heads, head)
	}
	for i := range l.sheet.Typed.Count(at) {
		out.Rows = append(out.Rows, l.row(m, columns, at, context, i))
	}
	for i := range out.Rows {
		out.Rows[i].First, out.Rows[i].Last, out.Rows[i].ListID = i == 0, i == len(out.Rows)-1, out.ID
		out.More = out.More || out.Rows[i].More
	}
	for i := range out.Rows {
		out.Rows[i].More = out.More
	}
	if n := len(out.Rows); n > 0 {
		out.Set = strconv.Itoa(n)
	}
	for _, member := range membersOf(m.Leaf) {
		if member.Name == "kind" && member.Shape == text.ShapeWord {
			kinds := l.words(member, l.entry(at, "kind"), "")
			out.Add = &frame.Field{Name: l.Prefix + "new." + at, Label: capital(out.One) + " to add", Options: kinds[1:]}
		}
	}
	l.labels["paste."+at] = "The table for " + e.Label
	if m.Entry == text.ShapeTable {
		return out
	}
	out.Paste = frame.Field{Name: l.Prefix + "paste." + at, Label: "A table for " + e.Label + ", from a spreadsheet", Rows: 5, Wide: true, Value: l.Pasted[at], Error: l.faulty["paste."+at],
		Hint: "Its first line names the columns, as here or as the text does; then a line for each. It is shown in the form before anything is saved."}
	return out
}

// one is the name of an entry of a list.
func one(many string) string {
	if known, ok := ones[many]; ok {
		return known
	}
	for _, end := range [][2]string{{"ies", "y"}, {"xes", "x"}, {"s", ""}} {
		if stem, ok := strings.CutSuffix(many, end[0]); ok {
			return stem + end[1]
		}
	}
	return "entry of " + many
}

// ones are entries of lists that are not called by their list.
var ones = map[string]string{"parts list": "line", "consists of": "part", "only when": "case", "not counted": "matter", "other": "other cost", "exchange": "rate", "clearance": "fee", "tariff": "row"}

// columns are the fields that stand in the row itself.
func (l *layout) columns(m text.Member, at string) []field.Entry {
	var all, first []field.Entry
	flat := true
	for _, member := range membersOf(m.Leaf) {
		e := l.entry(at, member.Name)
		simple := member.Shape != text.ShapeRecord && member.Shape != text.ShapeTable && member.Shape != text.ShapeList
		flat = flat && simple
		if !simple {
			continue
		}
		all = append(all, e)
		if e.Rank == field.First && !(e.Name == "id" && member.Shape == text.ShapeID) {
			first = append(first, e)
		}
	}
	if flat && len(all) <= mostCells {
		return all
	}
	return first[:min(len(first), mostCells)]
}

func (l *layout) row(m text.Member, columns []field.Entry, list, context string, i int) Row {
	at := text.Index(list, i)
	row := Row{Place: l.Prefix + at, Error: l.faulty[at], ID: frame.FieldID(l.Prefix + at), To: l.Action, Name: strconv.Itoa(i + 1)}
	e := l.entry("", list)
	row.Name = one(e.Label) + " " + cmp.Or(l.sheet.Typed[at+".name"], l.sheet.Typed[at+".id"], strconv.Itoa(i+1))
	l.labels[at] = capital(context + row.Name)
	context += row.Name + ", "
	if m.Entry == text.ShapeTable {
		g := l.table(m.Value(), field.Entry{Label: row.Name}, at, context)
		row.Rest, row.Open = &g, true
		return row
	}
	for _, c := range columns {
		row.Cells = append(row.Cells, l.cell(c, text.Field(at, c.Name), context))
	}
	row.Open = l.sheet.Open[at] != "" || l.wrongInside(at, columns)
	if !row.Open {
		row.More = len(membersOf(m.Leaf)) > len(columns)
		return row
	}
	g := Group{ID: row.ID, Title: row.Name}
	g.Items, g.Rare = l.items(m.Leaf, at, context)
	l.fold(&g)
	row.Rest = &g
	row.More = len(g.Items)+len(g.Rare) > 0
	return row
}

// wrongInside says that something is wrong that only an open row shows.
func (l *layout) wrongInside(at string, columns []field.Entry) bool {
	for place := range l.faulty {
		rest, ok := strings.CutPrefix(place, at+".")
		if ok && !slices.ContainsFunc(columns, func(c field.Entry) bool { return rest == c.Name || strings.HasPrefix(rest, c.Name+".") }) {
			return true
		}
	}
	return false
}

// cell is a field in a row. A range is typed into it as 4..5..7.
func (l *layout) cell(e field.Entry, at, context string) Input {
	in := l.input(e.Member, e, at, context)
	in.Hint = ""
	if in.Range == nil {
		return in
	}
	if in.Spread {
		low, high := in.Range[0], in.Range[1]
		in.Value = strings.Join([]string{low.Value, in.Value, high.Value}, "..")
		for _, f := range in.Range[2:] {
			in.Value = strings.TrimSpace(in.Value + " " + l.sheet.Typed[strings.TrimPrefix(f.Name, l.Prefix)])
		}
		for _, f := range in.Range {
			in.Error = cmp.Or(in.Error, f.Error)
		}
	}
	in.Range = nil
	return in
}
