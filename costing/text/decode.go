package text

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"kerfbook/bom"
)

// Decode reads text into the struct that into points at. It reports all that is
// wrong with the text as *Errors; into then holds what could be read and should
// not be used. Any other error is a mistake in the tags of the struct.
func Decode(data []byte, into any) (Places, error) { return decode(data, into, &decoder{}) }

// DecodeAnyText reads as [Decode] does what somebody else looks at: every text is taken as
// it is.
func DecodeAnyText(data []byte, into any) (Places, error) {
	return decode(data, into, &decoder{anyText: true})
}

func decode(data []byte, into any, d *decoder) (Places, error) {
	target := reflect.ValueOf(into)
	if target.Kind() != reflect.Pointer || target.IsNil() || target.Elem().Kind() != reflect.Struct {
		return nil, fmt.Errorf("text: cannot read into %T, only into a pointer to a struct", into)
	}
	s, err := schemaOf(target.Elem().Type())
	if err != nil {
		return nil, err
	}
	data, problem := scan(data)
	if problem != nil {
		return nil, NewErrors([]Error{*problem})
	}
	if left := conflicts(data); len(left) > 0 {
		return nil, NewErrors(left)
	}
	root, ok := parseJSON(data)
	if !ok {
		if root, problem = parse(data); problem != nil {
			return nil, NewErrors([]Error{*problem})
		}
	}
	d.places, d.end = Places{}, positionAt(data, len(data))
	d.inspect(root, "", 1)
	d.value(root, "", s, limits{}, target.Elem())
	if len(d.errors) > 0 {
		return d.places, NewErrors(d.errors)
	}
	return d.places, nil
}

// decoder carries what one reading finds.
type decoder struct {
	places  Places
	errors  []Error
	lenient bool // a required number may be missing
	anyText bool // a text may be longer, empty or of other characters
	hints   Hints
	end     Position
}

func (d *decoder) fail(n *yaml.Node, path, message string) {
	at := Position{n.Line, n.Column}
	if at.Line > d.end.Line {
		at = d.end // the parser puts a value missing at the end one line further
	}
	d.errors = append(d.errors, Error{at.Line, at.Column, path, message})
}

// full says that more errors would help nobody.
func (d *decoder) full() bool { return len(d.errors) >= maxCollected }

// value reads one node into out.
func (d *decoder) value(n *yaml.Node, path string, s *schema, bounds limits, out reflect.Value) {
	d.places[path] = Position{n.Line, n.Column}
	switch {
	case d.full() || n.Kind == yaml.AliasNode: // reported
		return
	case isNull(n):
		d.fail(n, path, "no value is given; write one, or leave the field out")
		return
	}
	switch s.kind {
	case pointer:
		out.Set(reflect.New(s.elem.typ))
		d.value(n, path, s.elem, bounds, out.Elem())
	case ShapeList:
		d.list(n, path, s, bounds, out)
	case ShapeTable:
		d.table(n, path, s, bounds, out)
	case ShapeRecord:
		d.record(n, path, s, bounds, out)
	case ShapeRange:
		d.number(n, path, bounds, out)
	default:
		d.scalar(n, path, s, bounds, out)
	}
}

func isNull(n *yaml.Node) bool { return n.Kind == yaml.ScalarNode && n.Tag == "!!null" }

// expect checks the kind of a node.
func (d *decoder) expect(n *yaml.Node, path string, want yaml.Kind) bool {
	if n.Kind == want {
		return true
	}
	found := map[yaml.Kind]string{yaml.ScalarNode: "a single value", yaml.SequenceNode: "a list", yaml.MappingNode: "a mapping"}
	wanted := map[yaml.Kind]string{
		yaml.ScalarNode:   "a single value is",
		yaml.SequenceNode: "a list of entries that begin with \"- \" is",
		yaml.MappingNode:  "fields written as \"name: value\" are",
	}
	d.fail(n, path, fmt.Sprintf("%s expected here, not %s", wanted[want], found[n.Kind]))
	return false
}

// list reads entries; an empty list is the same as none.
func (d *decoder) list(n *yaml.Node, path string, s *schema, bounds limits, out reflect.Value) {
	if !d.expect(n, path, yaml.SequenceNode) || len(n.Content) == 0 {
		return
	}
	entries := reflect.MakeSlice(s.typ, len(n.Content), len(n.Content))
	for i, entry := range n.Content {
		at := Index(path, i)
		d.value(entry, at, s.elem, bounds, entries.Index(i))
		d.notEmpty(entry, at, s.elem)
	}
	out.Set(entries)
}

// table reads a mapping whose names are data.
func (d *decoder) table(n *yaml.Node, path string, s *schema, bounds limits, out reflect.Value) {
	if !d.expect(n, path, yaml.MappingNode) || len(n.Content) == 0 {
		return
	}
	entries := reflect.MakeMapWithSize(s.typ, len(n.Content)/2)
	for i := 0; i+1 < len(n.Content) && !d.full(); i += 2 {
		name, value := n.Content[i], n.Content[i+1]
		if name.Kind != yaml.ScalarNode || isMerge(name) {
			continue // reported
		}
		at := Key(path, bom.Shorten(name.Value))
		key, entry := reflect.New(s.key.typ).Elem(), reflect.New(s.elem.typ).Elem()
		d.value(name, at, s.key, limits{}, key)
		d.value(value, at, s.elem, bounds, entry)
		d.notEmpty(value, at, s.elem)
		entries.SetMapIndex(key, entry)
	}
	out.Set(entries)
}

// notEmpty refuses a list inside a list or table that has no entries: leaving it
// out would be something else.
func (d *decoder) notEmpty(n *yaml.Node, path string, s *schema) {
	if s.kind == ShapeList && n.Kind == yaml.SequenceNode && len(n.Content) == 0 {
		d.fail(n, path, "the list is empty; write at least one entry")
	}
}

// record reads a mapping whose names are the fields of a struct.
func (d *decoder) record(n *yaml.Node, path string, s *schema, bounds limits, out reflect.Value) {
	if !d.expect(n, path, yaml.MappingNode) {
		return
	}
	given := make([]string, len(s.fields)) // by what name
	for i := 0; i+1 < len(n.Content) && !d.full(); i += 2 {
		name, value := n.Content[i], n.Content[i+1]
		if name.Kind != yaml.ScalarNode || isMerge(name) {
			continue // reported
		}
		index := slices.IndexFunc(s.fields, func(m member) bool { return m.name == name.Value || m.former != "" && m.former == name.Value })
		if index < 0 {
			d.fail(name, Key(path, bom.Shorten(name.Value)), d.unknown(name.Value, s))
			continue
		}
		f := &s.fields[index]
		switch given[index] {
		case "":
			given[index] = name.Value
			d.field(value, Field(path, f.name), f, bounds, out)
		case name.Value: // reported
		default:
			d.fail(name, Field(path, f.name), fmt.Sprintf("given twice, once as %s, which it was called before; keep one", f.former))
		}
	}
	for i := range s.fields {
		switch {
		case !s.fields[i].required || given[i] != "":
		case d.lenient && s.fields[i].schema.kind == ShapeRange:
			out.FieldByIndex(s.fields[i].index).Set(reflect.ValueOf(bom.Number{Missing: true}))
		default:
			d.fail(n, Field(path, s.fields[i].name), s.fields[i].name+" is missing; add this field"+wordsHint(s.fields[i].schema)+d.says(": ", s, s.fields[i].name))
		}
	}
}

func (d *decoder) field(n *yaml.Node, path string, f *member, bounds limits, out reflect.Value) {
	if f.limits != (limits{}) {
		bounds = f.limits
	}
	before := len(d.errors)
	d.value(n, path, f.schema, bounds, out.FieldByIndex(f.index))
	if f.required && len(d.errors) == before && out.FieldByIndex(f.index).IsZero() {
		d.blank(n, path, f.schema)
	}
}

// blank refuses a required field that is there but holds nothing.
func (d *decoder) blank(n *yaml.Node, path string, s *schema) {
	switch s.kind {
	case ShapeText:
		if !d.anyText {
			d.fail(n, path, "the text is empty; write one")
		}
	case ShapeList, ShapeTable:
		d.fail(n, path, "nothing is listed; write at least one entry")
	}
}

func wordsHint(s *schema) string {
	if s.kind != ShapeWord {
		return ""
	}
	return " (" + strings.Join(valuesOf(s), ", ") + ")"
}

// DecodeRecord reads as [Decode] does what a shop keeps. A required number that is
// not there is no error but missing: [Missing] lists it. Hints, if any are given, make its
// errors say more.
func DecodeRecord(data []byte, into any, hints ...Hints) (Places, error) {
	d := &decoder{lenient: true}
	for _, h := range hints {
		d.hints = h
	}
	return decode(data, into, d)
}

// Missing gives the paths of the required numbers of a value that nobody has entered.
func Missing(v any) []string {
	value := reflect.Indirect(reflect.ValueOf(v))
	s, err := schemaOf(value.Type())
	if err != nil {
		return nil // Decode says so
	}
	var out []string
	missing(s, value, "", &out)
	return out
}

func missing(s *schema, value reflect.Value, path string, out *[]string) {
	switch s.kind {
	case ShapeRange:
		if value.Interface().(bom.Number).Missing {
			*out = append(*out, path)
		}
	case pointer:
		if !value.IsNil() {
			missing(s.elem, value.Elem(), path, out)
		}
	case ShapeList:
		for i := range value.Len() {
			missing(s.elem, value.Index(i), Index(path, i), out)
		}
	case ShapeRecord:
		for i := range s.fields {
			missing(s.fields[i].schema, value.FieldByIndex(s.fields[i].index), Field(path, s.fields[i].name), out)
		}
	}
}
