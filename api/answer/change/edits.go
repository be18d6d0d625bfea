package change

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/field"
	"kerfbook/costing/book/record"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/text"
)

// maxChanges is the most inputs changed at once.
const maxChanges = 200

// edit is a change that has found its input.
type edit struct {
	Change
	at    int // in the list of changes
	value decimal.Decimal
	node  *graph.Node
	// kind, id and rest are the place of the input in the book; kind and id are
	// empty for an input that is no part of it.
	kind record.Kind
	id   string
	rest string
	// field says that a field of a record is named by its place, whether or not
	// it is a number of the batch; node stands in for the input then.
	field bool
	was   string // text of the field before
}

// inBook reports whether the input is a field of a record.
func (e edit) inBook() bool { return e.id != "" }

// fail words what is wrong with a change. The pointer is below the list of
// changes, the path is the key of the figure.
func (e edit) fail(format string, args ...any) answer.FieldError {
	return answer.FieldError{Path: e.Key, Pointer: fmt.Sprintf("/%d/value", e.at), Message: fmt.Sprintf(format, args...)}
}

// edits finds the inputs of changes in graphs built from a state of the book.
func (s *Shelf) edits(changes []Change, graphs []*graph.Graph) ([]edit, error) {
	if len(changes) == 0 || len(changes) > maxChanges {
		return nil, answer.Invalidf("name 1 to %d changes", maxChanges)
	}
	bad := answer.Invalidf("some changes cannot be made")
	seen := map[string]bool{}
	var out []edit
	for i, c := range changes {
		e, fault := s.edit(i, c, graphs)
		switch {
		case fault != nil:
			bad.Fields = append(bad.Fields, *fault)
		case seen[e.node.Key]:
			bad.Fields = append(bad.Fields, e.fail("is changed twice"))
		}
		seen[c.Key] = true
		out = append(out, e)
	}
	if len(bad.Fields) > 0 {
		return nil, bad
	}
	return out, nil
}

// fieldPrefix begins the key of a change that names a field of a record by its
// place, such as book/parts/A-10/routing[0].features[1].rz_um.
const fieldPrefix = "book/"

func (s *Shelf) edit(at int, c Change, graphs []*graph.Graph) (edit, *answer.FieldError) {
	e := edit{Change: c, at: at}
	if place, ok := strings.CutPrefix(c.Key, fieldPrefix); ok {
		return s.fieldEdit(e, place)
	}
	refuse := func(field, format string, args ...any) (edit, *answer.FieldError) {
		return e, &answer.FieldError{Path: bom.Shorten(c.Key), Pointer: fmt.Sprintf("/%d/%s", at, field), Line: 0, Column: 0, Message: fmt.Sprintf(format, args...)}
	}
	for _, g := range graphs {
		if id, ok := g.Find(c.Key); ok && e.node == nil {
			node := g.Node(id)
			e.node = &node
		}
	}
	switch {
	case e.node == nil:
		return refuse("key", "no figure has this key")
	case e.node.Kind != graph.Input:
		return refuse("key", "%s is no input; open it and change what it is made of", e.node.Label)
	}
	var err error
	if e.value, err = bom.ParseDecimal(strings.TrimSpace(c.Value)); err != nil {
		return refuse("value", "%s", err)
	}
	if strings.HasPrefix(c.Key, "mix/") {
		if err := answer.WholePieces(e.value); err != nil {
			return refuse("value", "%s", err)
		}
	}
	if k, position, rest, ok := record.Locate(e.node.Source.Path); ok && position < len(s.readable(k.Name)) {
		e.kind, e.id, e.rest = k, s.readable(k.Name)[position].ID, rest
	}
	return e, nil
}

// fieldEdit finds the record of a change that names a field by its place.
func (s *Shelf) fieldEdit(e edit, place string) (edit, *answer.FieldError) {
	parts := strings.SplitN(place, "/", 3)
	refuse := func(format string, args ...any) (edit, *answer.FieldError) {
		return e, &answer.FieldError{Path: bom.Shorten(e.Key), Pointer: fmt.Sprintf("/%d/key", e.at), Line: 0, Column: 0, Message: fmt.Sprintf(format, args...)}
	}
	taken := strings.TrimSpace(e.Value) == ""
	if len(parts) < 2 || len(parts) == 2 && !taken || len(parts) == 3 && parts[2] == "" {
		return refuse("the key names no field of a record")
	}
	k, err := KindOf(parts[0])
	if err != nil {
		return refuse("%s", err)
	}
	list := s.readable(k.Name)
	position := slices.IndexFunc(list, func(h holding) bool { return h.ID == parts[1] })
	if position < 0 {
		return refuse("there is no record %s %s that can be read", k.Name, bom.Shorten(parts[1]))
	}
	value := list[position].value
	e.kind, e.id, e.field = k, parts[1], true
	if len(parts) == 3 {
		e.rest = parts[2]
		e.was = record.Text(value, e.rest)
	}
	e.node = &graph.Node{Key: e.Key, Label: FieldLabel(k.Name, value, e.rest), Of: k.Title(value), Kind: graph.Input,
		Source: graph.Source{Where: k.Name + " " + e.id, Path: text.Field(k.Path(position), e.rest)}}
	return e, nil
}

// FieldLabel names a field as the dictionary does, with the entry of a list that it is in;
// a whole entry, or a whole record, by that alone.
func FieldLabel(kind string, value reflect.Value, place string) string {
	entry := record.Entry(value, place)
	switch {
	case place == "":
		return "the whole record"
	case strings.HasSuffix(place, "]"):
		return entry
	}
	label := strings.ReplaceAll(place[strings.LastIndex(place, ".")+1:], "_", " ")
	if e, ok := field.Under(kind, place); ok && e.Label != "" {
		label = e.Label
	}
	if entry != "" {
		label += " of " + entry
	}
	return label
}

// rebuilds reports whether a change may alter what is built: a field of any kind,
// and the dimensions by which tools are found for a feature.
func (e edit) rebuilds() bool {
	return e.field || e.kind.Name == "tools" || e.kind.Name == "cutting_data" || strings.Contains(e.rest, ".features[")
}

// takes reports whether an edit takes something away.
func (e edit) takes() bool { return e.field && strings.TrimSpace(e.Value) == "" }

// set writes the edit into a copy of its record.
func (e edit) set(into reflect.Value) error {
	switch {
	case e.takes():
		return record.Remove(into, e.rest)
	case e.field:
		return record.SetText(into, e.rest, e.Value)
	}
	return record.SetFigure(into, e.rest, e.value)
}

// inTurn puts edits in the order they are written in: what is taken away comes last, and
// of a list from its end, so that no other edit finds its place moved.
func inTurn(edits []edit) []edit {
	out := slices.Clone(edits)
	slices.SortStableFunc(out, func(a, b edit) int {
		switch {
		case !a.takes() && !b.takes():
			return 0
		case !a.takes():
			return -1
		case !b.takes():
			return 1
		}
		one, _ := text.Steps(a.rest)
		other, _ := text.Steps(b.rest)
		return slices.CompareFunc(other, one, func(x, y text.Step) int { return cmp.Or(x.Index-y.Index, strings.Compare(x.Name, y.Name)) })
	})
	return out
}

// drafts writes edits into the records they belong to, and checks the book with
// them.
func (s *Shelf) drafts(edits []edit) ([]Draft, error) {
	bad := answer.Invalidf("some changes cannot be made")
	var out []Draft
	for _, e := range inTurn(edits) {
		if !e.inBook() {
			continue
		}
		at := slices.IndexFunc(out, func(d Draft) bool { return d.Kind.Name == e.kind.Name && d.ID == e.id })
		if e.takes() && e.rest == "" { // the whole record, whatever else was to become of it
			out = append(slices.DeleteFunc(out, func(d Draft) bool { return d.Kind.Name == e.kind.Name && d.ID == e.id }), Draft{Kind: e.kind, ID: e.id, Deleted: true})
			continue
		}
		if at < 0 {
			d, err := s.copyOf(e)
			if err != nil {
				return nil, answer.Unexpected(err)
			}
			at, out = len(out), append(out, d)
		}
		if err := e.set(out[at].Value); err != nil {
			bad.Fields = append(bad.Fields, e.fail("%s", err))
		}
	}
	if len(bad.Fields) > 0 {
		return nil, bad
	}
	for i := range out {
		if out[i].Deleted {
			continue
		}
		if err := out[i].renew(edits); err != nil {
			return nil, err
		}
	}
	if err := s.Check(out, s.With(out)); err != nil {
		return nil, placed(err, edits, func(e edit) string { return e.kind.Name + "/" + e.id + "." })
	}
	return out, nil
}

// copyOf reads the record of an edit anew, so that it can be changed.
func (s *Shelf) copyOf(e edit) (Draft, error) {
	found, _ := s.Find(e.kind.Name, e.id)
	value, places, err := e.kind.Read(e.kind.Plain(found.Text))
	return Draft{Kind: e.kind, ID: e.id, Value: value, places: places, byValue: true, root: e.kind.Name + "/" + e.id}, err
}

// renew writes the text of a changed record and reads it back, which holds the
// new figures against the bounds of their fields.
func (d *Draft) renew(edits []edit) error {
	written, err := d.Kind.Write(d.Value)
	if err != nil {
		return answer.Invalidf("%s %s cannot be written: %s", d.Kind.Name, d.ID, err)
	}
	value, places, err := d.Kind.Read(written)
	var found *text.Errors
	if errors.As(err, &found) {
		own := slices.DeleteFunc(slices.Clone(edits), func(e edit) bool { return e.kind.Name != d.Kind.Name || e.id != d.ID })
		return placed(Malformed("the record", err), own, func(edit) string { return "" })
	}
	d.Value, d.places, d.Written = value, places, written
	return answer.Unexpected(err)
}

// placed turns the faults of changed records into faults of the changes that are
// to blame, as far as they are at the same place, inside it, or about a record that is
// taken away.
func placed(err error, edits []edit, root func(edit) string) error {
	var e *answer.Error
	if !errors.As(err, &e) {
		return err
	}
	for i, f := range e.Fields {
		for _, ed := range edits {
			rest, own := strings.CutPrefix(f.Path, root(ed))
			if ed.blamed(rest, own, f.Message) {
				e.Fields[i] = ed.fail("%s", f.Message)
				break
			}
			if own {
				e.Fields[i].Path = rest
			}
		}
	}
	return e
}

// blamed reports whether a fault at a place, in the edit's own record or elsewhere, is
// the edit's doing.
func (e edit) blamed(place string, own bool, message string) bool {
	switch {
	case !e.inBook():
		return false
	case e.rest == "":
		return strings.Contains(message, " "+e.id)
	}
	return own && (place == e.rest || strings.HasPrefix(place, e.rest+".") || e.takes() && place != "" && strings.HasPrefix(e.rest, place))
}

// everyTrim gives the batches in which an input is looked for: all trims of a
// product, then each trim with each choice that differs from its own.
func everyTrim(b *book.Book) [][]estimate.MixLine {
	var out [][]estimate.MixLine
	for _, p := range b.Products {
		var all []estimate.MixLine
		var other [][]estimate.MixLine
		for _, t := range p.Trims {
			l := estimate.MixLine{Product: p.Number, Trim: t.ID, Quantity: bom.Whole(1)}
			all = append(all, l)
			for _, o := range p.Options {
				for _, c := range o.Choices {
					if t.Choices[o.ID] != c.ID {
						l.Choices = map[bom.ID]bom.ID{o.ID: c.ID}
						other = append(other, []estimate.MixLine{l})
					}
				}
			}
		}
		if len(all) > 0 {
			out = append(append(out, all), other...)
		}
	}
	return out
}

// GraphsWith builds batches until every key has been found in one. A batch that
// cannot be built, as a choice that a rule forbids, has nothing to offer.
func (o Origin) GraphsWith(ctx context.Context, changes []Change, day bom.Date) ([]*graph.Graph, error) {
	missing := map[string]bool{}
	for _, c := range changes {
		missing[c.Key] = true
	}
	var out []*graph.Graph
	for _, mix := range everyTrim(o.Book) {
		b, err := o.Graph(ctx, mix, day)
		if answer.CodeOf(err) == answer.Busy {
			return nil, err
		}
		if err != nil {
			continue
		}
		out = append(out, b.Estimate.Graph)
		for key := range missing {
			if _, ok := b.Estimate.Graph.Find(key); ok {
				delete(missing, key)
			}
		}
		if len(missing) == 0 {
			break
		}
	}
	return out, nil
}
