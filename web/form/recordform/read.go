package recordform

import (
	"cmp"
	"errors"
	"reflect"
	"slices"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/book/field"
	"kerfbook/costing/book/record"
	"kerfbook/costing/text"
	"kerfbook/web/notation"
)

// Fault is what is wrong with what was typed at a place; empty for the whole record.
type Fault struct{ Place, Message string }

// Read reads what was typed as a record. Faults stand at the places of fields.
func (t Typed) Read(k record.Kind, as notation.Style) (value reflect.Value, faults []Fault) {
	w := writer{typed: t, filled: t.filled(), as: as}
	w.inner(k.Type, "", 0)
	value, _, err := k.Read([]byte(w.text()))
	return value, append(w.faults, faultsOf(err, w.faults)...)
}

// faultsOf places what the reader of texts says, but for fields that are faulty already.
func faultsOf(err error, known []Fault) []Fault {
	var found *text.Errors
	if !errors.As(err, &found) {
		if err != nil {
			return []Fault{{"", err.Error()}}
		}
		return nil
	}
	var out []Fault
	taken := map[string]bool{}
	for _, f := range known {
		taken[f.Place] = true
	}
	for _, e := range found.List {
		if at := strings.TrimSuffix(e.Path, ".likely"); !taken[at] {
			taken[at] = true
			out = append(out, Fault{at, e.Message})
		}
	}
	return out
}

// Text is what was typed as the text of a record. What cannot be read as the record is
// written as it was typed, with the fields that it needs, to be filled in.
func (t Typed) Text(k record.Kind, as notation.Style) string {
	w := writer{typed: t, filled: t.filled(), as: as}
	w.inner(k.Type, "", 0)
	if value, _, err := k.Read([]byte(w.text())); err == nil && len(w.faults) == 0 {
		if written, err := k.Write(value); err == nil {
			return string(written)
		}
	}
	w = writer{typed: t, filled: t.filled(), as: as, needs: true}
	w.inner(k.Type, "", 0)
	return w.text()
}

// writer writes what was typed as a text of the book.
type writer struct {
	typed  Typed
	filled map[string]bool
	as     notation.Style
	out    strings.Builder
	faults []Fault
	needs  bool // fields that are needed are written without a value too
}

func (w *writer) text() string {
	if w.out.Len() == 0 {
		return "{}\n"
	}
	return w.out.String()
}

func (w *writer) line(indent int, written string) {
	w.out.WriteString(strings.Repeat(" ", indent) + written + "\n")
}

func (w *writer) inner(t reflect.Type, place string, indent int) {
	for _, m := range membersOf(t) {
		at := text.Field(place, m.Name)
		switch {
		case !w.filled[at] && m.Required && w.needs:
			w.line(indent, m.Name+": ")
		case !w.filled[at]:
		case m.Shape == text.ShapeRecord:
			w.block(m.Name+":", m.Leaf, at, indent)
		case m.Shape == text.ShapeTable:
			w.line(indent, m.Name+": "+w.table(m, at))
		case m.Nested():
			w.line(indent, m.Name+":")
			for i := range w.typed.Count(at) {
				if entry := text.Index(at, i); m.Entry == text.ShapeTable {
					w.line(indent, "  - "+w.table(m, entry))
				} else {
					w.block("  -", m.Leaf, entry, indent)
				}
			}
		default:
			w.line(indent, m.Name+": "+w.value(m, at))
		}
	}
}

// block writes a record below its name or dash.
func (w *writer) block(head string, t reflect.Type, place string, indent int) {
	inside := writer{typed: w.typed, filled: w.filled, as: w.as, needs: w.needs, faults: w.faults}
	inside.inner(t, place, indent+4)
	w.faults = inside.faults
	if inside.out.Len() == 0 {
		head += " {}"
	}
	w.line(indent, head)
	w.out.WriteString(inside.out.String())
}

func (w *writer) table(m text.Member, place string) string {
	var out []string
	for _, key := range w.typed.keys(place) {
		if at := text.Key(place, key); w.filled[at] {
			out = append(out, text.Quoted(key)+": "+w.value(m.Value(), at))
		}
	}
	return "{" + strings.Join(out, ", ") + "}"
}

func (w *writer) value(m text.Member, place string) string {
	written := strings.TrimSpace(w.typed[place])
	switch m.Shape {
	case text.ShapeList:
		var out []string
		for _, one := range several(m, written) {
			out = append(out, text.Quoted(country(m, one)))
		}
		return "[" + strings.Join(out, ", ") + "]"
	case text.ShapeID, text.ShapeWord:
		return plain(written)
	case text.ShapeYesNo:
		if at := slices.Index([]string{"yes", "no"}, written); at >= 0 {
			return []string{"true", "false"}[at]
		}
	case text.ShapeDay:
		day, err := w.as.Day(written)
		w.wrong(place, err)
		return plain(cmp.Or(string(day), written))
	case text.ShapeWhole:
		plain, err := w.as.Whole(written)
		return w.figure(place, written, plain, err)
	case text.ShapeSingle, text.ShapeRange:
		return w.number(m, place, written)
	}
	return text.Quoted(country(m, written))
}

var countryType = reflect.TypeFor[bom.Country]()

// country writes a country by its code.
func country(m text.Member, written string) string {
	if m.Leaf != countryType { // names of all countries are not gone through for other texts
		return written
	}
	if code, ok := notation.Country(written); ok {
		return string(code)
	}
	return written
}

// several takes a list apart as it is typed: texts by lines, ids and codes by commas too.
func several(m text.Member, written string) []string {
	var out []string
	for one := range strings.FieldsFuncSeq(written, func(r rune) bool { return r == '\n' || r == '\r' || r == ',' && !m.Prose() }) {
		if one = strings.TrimSpace(one); one != "" {
			out = append(out, one)
		}
	}
	return out
}

// number writes one figure, or a range where its ends are typed: in fields of their own,
// or in one as 4..5..7.
func (w *writer) number(m text.Member, place, written string) string {
	_, unit := field.Unit(m.Name)
	if unit == "" && strings.Contains(written, "%") {
		unit = "share"
	}
	read := func(place, written string) string {
		n, err := w.as.Number(written, unit)
		return w.figure(place, written, n.Plain, err)
	}
	part := map[string]string{"likely": written}
	for _, name := range []string{"low", "high", "shape", "sd"} {
		part[name] = strings.TrimSpace(w.typed[place+"."+name])
	}
	if ends := strings.Fields(written); len(ends) > 0 && strings.Count(ends[0], "..") == 2 {
		three := strings.Split(ends[0], "..")
		part["low"], part["likely"], part["high"] = three[0], three[1], three[2]
		for i, name := range []string{"shape", "sd"} {
			if len(ends) > i+1 {
				part[name] = ends[i+1]
			}
		}
	}
	if part["low"] == "" && part["high"] == "" {
		return read(place, part["likely"])
	}
	var out []string
	for _, name := range []string{"low", "likely", "high", "sd"} {
		if part[name] != "" && (name != "sd" || part["shape"] == bom.Normal.String()) {
			at := place + "." + name
			if name == "likely" {
				at = place
			}
			out = append(out, name+": "+read(at, part[name]))
		}
	}
	if part["shape"] != "" {
		out = append(out, "shape: "+text.Quoted(part["shape"]))
	}
	return "{" + strings.Join(out, ", ") + "}"
}

// figure writes a number, or what was typed in its place.
func (w *writer) figure(place, written, plain string, err error) string {
	if err != nil {
		w.wrong(place, err)
		return text.Quoted(written)
	}
	return plain
}

func (w *writer) wrong(place string, err error) {
	if err != nil {
		w.faults = append(w.faults, Fault{place, err.Error()})
	}
}

// plain writes a text as the book does.
func plain(written string) string {
	if out, err := text.Scalar(written); err == nil {
		return out
	}
	return text.Quoted(written)
}
