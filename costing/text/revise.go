package text

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"kerfbook/bom"
)

// Revise gives a text that says what v says and is, byte for byte, what was written
// wherever that says the same: order, comments, empty lines, quotes, blanks and line ends
// stay. What is new is written in the style of its neighbours; entries of lists are known
// again by their ids. written is the text of the struct, or a list of the one entry. A
// text that cannot be read is written anew.
func Revise(written []byte, v any) ([]byte, error) {
	anew, err := Encode(v)
	if err != nil {
		return nil, err
	}
	after := reflect.Indirect(reflect.ValueOf(v))
	s, err := schemaOf(after.Type())
	if err != nil {
		return nil, err
	}
	d, problem := newDocument(written)
	if problem != nil {
		return anew, nil
	}
	before, ok := d.read(s)
	if !ok {
		return anew, nil
	}
	r := &reviser{document: d}
	out := r.spliced(0, len(d.data), r.value(d.record(), s, before, after))
	if again, problem := newDocument([]byte(out)); problem == nil && r.err == nil {
		if said, ok := again.read(s); ok && same(s, said, after) {
			return append(slices.Clone(written[:len(written)-len(d.data)]), out...), nil // behind a byte order mark
		}
	}
	return anew, nil
}

// record is what the text says: the outermost mapping, or that in a list of one.
func (d *document) record() *yaml.Node {
	if d.root.Kind == yaml.SequenceNode && len(d.root.Content) == 1 {
		return d.root.Content[0]
	}
	return d.root
}

// read gives the value of the text.
func (d *document) read(s *schema) (reflect.Value, bool) {
	into := reflect.New(s.typ).Elem()
	r := &decoder{places: Places{}, lenient: true, end: positionAt(d.data, len(d.data))}
	r.value(d.record(), "", s, limits{}, into)
	return into, len(r.errors) == 0
}

// same reports whether two values are written the same.
func same(s *schema, a, b reflect.Value) bool {
	e := &encoder{}
	return e.flow(s, a) == e.flow(s, b) && e.err == nil
}

// reviser finds the splices that lead from what a text says to another value.
type reviser struct {
	*document
	err error
}

// write writes with an encoder, and ends lines as the text does.
func (r *reviser) write(do func(e *encoder)) string {
	e := &encoder{}
	do(e)
	if e.err != nil {
		r.err = e.err
	}
	return strings.ReplaceAll(e.out.String(), "\n", r.newline())
}

func (r *reviser) flow(s *schema, v reflect.Value) string {
	return r.write(func(e *encoder) { e.out.WriteString(e.flow(s, v)) })
}

// value goes into a node as far as it says something else.
func (r *reviser) value(n *yaml.Node, s *schema, before, after reflect.Value) []splice {
	for s.kind == pointer {
		s, before, after = s.elem, before.Elem(), after.Elem()
	}
	if s.kind == ShapeRange && n.Kind == yaml.MappingNode && after.Interface().(bom.Number).IsRange {
		s, _ = schemaOf(reflect.TypeFor[spread]())
		before, after = reflect.ValueOf(spreadOf(before.Interface().(bom.Number))), reflect.ValueOf(spreadOf(after.Interface().(bom.Number)))
	}
	switch {
	case same(s, before, after):
		return nil
	case s.kind == ShapeRecord && n.Kind == yaml.MappingNode && !isEmpty(s, after):
		return r.fields(n, s, before, after)
	case s.kind == ShapeTable && n.Kind == yaml.MappingNode && after.Len() > 0:
		return r.keys(n, s, before, after)
	case s.kind == ShapeList && n.Kind == yaml.SequenceNode && after.Len() > 0:
		return r.entries(n, s, before, after)
	}
	text := r.flow(s, after)
	if n.Style&yaml.DoubleQuotedStyle != 0 && slices.Contains([]Shape{ShapeText, checked, ShapeWord, ShapeID, ShapeDay}, s.kind) {
		text = Quoted(after.String())
	}
	start := r.starts[n]
	if n.Kind != yaml.ScalarNode && !isFlow(n) { // behind the name, where nothing but blanks stands between
		if name := strings.TrimRight(string(r.data[:start]), " \r\n"); strings.HasSuffix(name, ":") {
			start, text = len(name), " "+text
		}
	}
	return []splice{{start, r.end(n), text}}
}

// part is one piece of what a list or mapping says next: an old one with splices, or a
// new one.
type part struct {
	old     int // -1 for none
	splices []splice
	text    string
	rank    int // of a field
}

// fields goes through the fields of a record. A new one stands behind those that come
// before it in the type.
func (r *reviser) fields(n *yaml.Node, s *schema, before, after reflect.Value) []splice {
	shown := present(s, after)
	var parts []part
	known := map[int]bool{}
	for i := 0; i < len(n.Content); i += 2 {
		name := n.Content[i].Value
		at := slices.IndexFunc(s.fields, func(m member) bool { return m.name == name || m.former != "" && m.former == name })
		m := &s.fields[at]
		known[at] = true
		was, is := before.FieldByIndex(m.index), after.FieldByIndex(m.index)
		switch {
		case slices.Contains(shown, m):
			parts = append(parts, part{old: i / 2, rank: at, splices: r.value(n.Content[i+1], m.schema, was, is)})
		case IsAbsent(was): // said without need
			parts = append(parts, part{old: i / 2, rank: at})
		}
	}
	for at := range s.fields {
		m := &s.fields[at]
		if known[at] || !slices.Contains(shown, m) {
			continue
		}
		place := min(1, len(parts))
		for i, p := range parts {
			if p.rank < at {
				place = i + 1
			}
		}
		parts = slices.Insert(parts, place, part{old: -1, rank: at, text: r.field(n, m.name, m.schema, after.FieldByIndex(m.index))})
	}
	return r.joined(n, parts)
}

// field writes a new field of a mapping.
func (r *reviser) field(n *yaml.Node, name string, s *schema, v reflect.Value) string {
	if isFlow(n) {
		return name + ": " + r.flow(s, v)
	}
	return r.write(func(e *encoder) { e.field(name, s, v, n.Column-1) })
}

// keys goes through a table. New keys come last.
func (r *reviser) keys(n *yaml.Node, s *schema, before, after reflect.Value) []splice {
	var parts []part
	known := map[string]bool{}
	for i := 0; i < len(n.Content); i += 2 {
		key := reflect.ValueOf(n.Content[i].Value).Convert(s.key.typ)
		known[key.String()] = true
		if is := after.MapIndex(key); is.IsValid() {
			parts = append(parts, part{old: i / 2, splices: r.value(n.Content[i+1], s.elem, before.MapIndex(key), is)})
		}
	}
	for _, key := range sortedKeys(after) {
		if !known[key.String()] {
			name := r.write(func(e *encoder) { e.out.WriteString(e.scalar(s.key, key)) })
			parts = append(parts, part{old: -1, text: r.field(n, name, s.elem, after.MapIndex(key))})
		}
	}
	return r.joined(n, parts)
}

// entries goes through a list.
func (r *reviser) entries(n *yaml.Node, s *schema, before, after reflect.Value) []splice {
	var parts []part
	pieces := r.pieces(n)
	for i, old := range matched(s.elem, before, after) {
		if old >= 0 {
			parts = append(parts, part{old: old, splices: r.value(n.Content[old], s.elem, before.Index(old), after.Index(i))})
			continue
		}
		near := min(i, len(n.Content)-1)
		text := r.entry(n, near, s.elem, after.Index(i))
		if !isFlow(n) && len(pieces) > 1 {
			near := pieces[max(near, 1)]
			lines := emptyLines(string(r.data[near.start:near.end]))
			if i > 0 {
				text = lines + text
			} else {
				text += lines
			}
		}
		parts = append(parts, part{old: -1, text: text})
	}
	return r.joined(n, parts)
}

// entry writes a new entry as the one near it is written.
func (r *reviser) entry(n *yaml.Node, near int, s *schema, v reflect.Value) string {
	if isFlow(n) {
		return r.flow(s, v)
	}
	return r.write(func(e *encoder) { e.entry(s, v, n.Column-1, len(n.Content) > 0 && isFlow(n.Content[near])) })
}

// entry writes an entry of a list in block form.
func (e *encoder) entry(s *schema, v reflect.Value, indent int, flow bool) {
	e.dashes++
	if flow || isScalar(s) || isEmpty(s, v) {
		e.line(indent+2, e.flow(s, v))
		return
	}
	e.block(s, v, indent+2)
}

// emptyLines are those a text begins with.
func emptyLines(text string) string {
	rest := strings.TrimLeft(text, "\r\n")
	return text[:len(text)-len(rest)]
}

// joined gives the splices that make a list or mapping of its parts. Parts that are the
// old ones in their order keep what stands between.
func (r *reviser) joined(n *yaml.Node, parts []part) (out []splice) {
	pieces := r.pieces(n)
	stay := len(parts) == len(pieces)
	for i, p := range parts {
		stay = stay && p.old == i
		out = append(out, p.splices...)
	}
	if stay {
		return out
	}
	if len(parts) == 0 {
		return []splice{{r.starts[n], r.end(n), map[yaml.Kind]string{yaml.MappingNode: "{}", yaml.SequenceNode: "[]"}[n.Kind]}}
	}
	if len(pieces) == 0 {
		pieces = []piece{{r.starts[n] + 1, r.starts[n] + 1}}
	}
	var text strings.Builder
	for i, p := range parts {
		if p.old >= 0 {
			p.text = r.spliced(pieces[p.old].start, pieces[p.old].end, p.splices)
		}
		if isFlow(n) {
			text.WriteString(r.between(pieces, i, p.old) + p.text)
			continue
		}
		if p.text = r.moved(n, i, p, pieces[0].start); i < len(parts)-1 && strings.TrimRight(p.text, "\r\n") == p.text {
			p.text += r.newline()
		}
		text.WriteString(p.text)
	}
	end := pieces[len(pieces)-1].end
	out = []splice{{pieces[0].start, end, text.String()}}
	if _, whole := r.lineStart(end); !isFlow(n) && !whole { // the text ended without a line end
		out[0].text = strings.TrimRight(out[0].text, "\r\n")
	}
	return out
}

// between is what separates an entry on a line from the one before.
func (r *reviser) between(pieces []piece, i, old int) string {
	if i == 0 {
		return ""
	}
	if old <= 0 {
		old = len(pieces) - 1
	}
	if old > 0 {
		if text := string(r.data[pieces[old-1].end:pieces[old].start]); !strings.Contains(text, "#") {
			return text
		}
	}
	return ", "
}

// moved is the text of a part at another place: what stands first may begin within a line,
// behind the dash of a list around.
func (r *reviser) moved(n *yaml.Node, i int, p part, first int) string {
	_, lines := r.lineStart(first)
	switch {
	case !lines && i == 0 && p.old != 0:
		return strings.TrimLeft(p.text, " \r\n")
	case !lines && i > 0 && p.old == 0:
		return strings.Repeat(" ", n.Column-1) + p.text
	}
	return p.text
}

// matched says of each entry of a list which one it was before; -1 for none. They are
// known again by id, else by all they say; what is left over by most of what it says.
func matched(s *schema, before, after reflect.Value) []int {
	for s.kind == pointer {
		s = s.elem
	}
	taken := make([]bool, before.Len())
	names := map[string][]int{}
	for i := range before.Len() {
		name := identity(s, before.Index(i))
		names[name] = append(names[name], i)
	}
	out := make([]int, after.Len())
	for i := range out {
		name := identity(s, after.Index(i))
		out[i] = -1
		if free := names[name]; len(free) > 0 {
			out[i], names[name], taken[free[0]] = free[0], free[1:], true
		}
	}
	looked := 0
	for i := range out {
		best, most := -1, 0
		for old := 0; old < len(taken) && out[i] < 0 && looked < maxAlike; old++ {
			if taken[old] {
				continue
			}
			looked++
			if n := alike(s, before, after, old, i); n > most {
				best, most = old, n
			}
		}
		if best >= 0 {
			out[i], taken[best] = best, true
		}
	}
	return out
}

// maxAlike bounds how often entries that are not known again are held against one another.
const maxAlike = 10_000

// identity is what an entry is known by: its id, or all it says.
func identity(s *schema, v reflect.Value) string {
	v = reflect.Indirect(v)
	if s.kind == ShapeRecord {
		for _, m := range s.fields {
			if (m.name == "id" || m.name == "number") && !v.FieldByIndex(m.index).IsZero() {
				return "id " + fmt.Sprint(v.FieldByIndex(m.index).Interface())
			}
		}
	}
	return (&encoder{}).flow(s, v)
}

// alike counts what two entries have in common; one that is a single value has its place.
func alike(s *schema, before, after reflect.Value, old, i int) int {
	if s.kind != ShapeRecord {
		if old == i {
			return 1
		}
		return 0
	}
	count := 0
	a, b := reflect.Indirect(before.Index(old)), reflect.Indirect(after.Index(i))
	for _, m := range present(s, b) {
		if !IsAbsent(a.FieldByIndex(m.index)) && same(m.schema, a.FieldByIndex(m.index), b.FieldByIndex(m.index)) {
			count++
		}
	}
	return count
}

// spreadOf is a range as it is written.
func spreadOf(n bom.Number) spread {
	out := spread{Low: n.Low, Likely: n.Likely, High: n.High}
	if n.Shape != bom.Triangular {
		out.Shape = shapeWord(n.Shape.String())
	}
	if n.Shape == bom.Normal {
		out.SD = &n.SD
	}
	return out
}
