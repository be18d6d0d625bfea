package change

import (
	"context"
	"slices"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// Change is a new value for an input, by the key of its figure; or a new text for
// a field of a record, by its place: book/parts/A-10/routing[0].features[1].rz_um.
// An empty text takes an optional field away.
type Change struct {
	Key   string `json:"key" book:"key,required"`
	Value string `json:"value" book:"value"` // decimal text; of a field also a word, a name, names with commas, yes or no
}

// WhatIf is a batch before and after changes that nothing has been done about.
type WhatIf struct {
	Version answer.Version  `json:"version"` // of the book the answer is about
	Changes []ChangedFigure `json:"changes"`
	Before  answer.Estimate `json:"before"`
	After   answer.Estimate `json:"after"`
	// Rebuilt says that a decision (a layout, a price point) is another one than
	// before the changes.
	Rebuilt bool `json:"rebuilt"`
	// Moves are the figures that move, of each trim and of the parts that are changed.
	Moves []Moves `json:"moves"`
	// Lapsed are changes of a scenario that apply no longer; nothing is computed of them.
	Lapsed []Lapsed `json:"lapsed,omitempty"`
}

// ChangedFigure is an input with its value before and after.
type ChangedFigure struct {
	Before answer.Figure `json:"before"`
	After  answer.Figure `json:"after"`
	Path   string        `json:"path"`           // in the book; empty for what is no part of it, such as a quantity
	Kind   string        `json:"kind,omitempty"` // of the record it is in
	ID     string        `json:"id,omitempty"`
}

// WhatIf gives a batch before and after changes of its inputs; nothing is
// written. Faults are fields whose Pointer is below the list of changes
// (/0/value) and whose Path is the key.
func (o Origin) WhatIf(ctx context.Context, mix []estimate.MixLine, day bom.Date, changes []Change) (WhatIf, error) {
	if len(changes) == 0 {
		return WhatIf{}, answer.Invalidf("name 1 to %d changes", maxChanges)
	}
	return o.whatIf(ctx, mix, day, changes)
}

func (o Origin) whatIf(ctx context.Context, mix []estimate.MixLine, day bom.Date, changes []Change) (WhatIf, error) {
	held, before, edits, err := o.found(ctx, mix, day, changes)
	if err != nil {
		return WhatIf{}, err
	}
	drafts, err := held.drafts(edits)
	if err != nil {
		return WhatIf{}, err
	}
	after, rebuilt, err := changed(ctx, before, held, mix, edits, drafts)
	if err != nil {
		return WhatIf{}, err
	}
	out := WhatIf{Version: o.Version, Changes: []ChangedFigure{}, Before: before.Figures(), After: after.Figures(), Rebuilt: rebuilt}
	for _, e := range edits {
		out.Changes = append(out.Changes, e.figures(before, after))
	}
	c := comparing{before: before, after: after, was: before.Sheet(), is: after.Sheet()}
	if c.alone, err = held.trials(ctx, before, mix, edits); err != nil {
		return out, err
	}
	out.Moves, err = c.moves(o.Book, edits)
	return out, err
}

// found finds the inputs of changes in a batch.
func (o Origin) found(ctx context.Context, mix []estimate.MixLine, day bom.Date, changes []Change) (*Shelf, *answer.Evaluation, []edit, error) {
	held, err := o.Shelf()
	if err != nil {
		return nil, nil, nil, err
	}
	before, err := o.Evaluate(ctx, mix, day)
	if err != nil {
		return nil, nil, nil, err
	}
	var edits []edit
	if len(changes) > 0 {
		edits, err = held.edits(changes, []*graph.Graph{before.Estimate.Graph})
	}
	return held, before, edits, err
}

// SheetWith gives a batch as it would be after changes that nothing has been
// done about.
func (o Origin) SheetWith(ctx context.Context, mix []estimate.MixLine, day bom.Date, changes []Change) (*answer.Sheet, error) {
	held, err := o.Shelf()
	if err != nil {
		return nil, err
	}
	before, err := o.Evaluate(ctx, mix, day)
	if err != nil {
		return nil, err
	}
	after, err := held.changedBy(ctx, before, mix, changes)
	if err != nil {
		return nil, err
	}
	return after.Sheet(), nil
}

// figures gives the input before and after. A change of structure may leave no
// such input; then its new value stands for it.
func (e edit) figures(before, after *answer.Evaluation) ChangedFigure {
	out := ChangedFigure{Path: e.node.Source.Path, Kind: e.kind.Name, ID: e.id}
	if e.field {
		out.Before = answer.Figure{Key: e.Key, Label: e.node.Label, Of: e.node.Of, Value: e.was}
		out.After = out.Before
		out.After.Value = strings.TrimSpace(e.Value)
		return out
	}
	id, _ := before.Estimate.Graph.Find(e.Key)
	out.Before = answer.ReadFigure(before.Estimate.Graph, before.Values, id)
	out.After = out.Before
	out.After.Value = e.value.String()
	if id, ok := after.Estimate.Graph.Find(e.Key); ok {
		out.After = answer.ReadFigure(after.Estimate.Graph, after.Values, id)
	}
	return out
}

// decides reports whether a batch holds a decision that another does not have, or
// has otherwise. What is drawn is no decision of anybody.
func decides(e *answer.Evaluation, other *answer.Evaluation) bool {
	for id := range graph.ID(e.Estimate.Graph.Len()) {
		n := e.Estimate.Graph.Node(id)
		if n.Op != graph.Decided || n.Decision.Drawn != nil {
			continue
		}
		twin, ok := other.Estimate.Graph.Find(n.Key)
		if !ok {
			return true
		}
		mine, has := e.Values.Raw(id)
		theirs, have := other.Values.Raw(twin)
		if has != have || !mine.Equal(theirs) {
			return true
		}
	}
	return false
}

// failsWhatHeld reports whether a check that held before does not any more. A
// part heavier than its blank is no batch, and building it says why.
func failsWhatHeld(e *answer.Evaluation, values *exact.Values) bool {
	for id := range graph.ID(e.Estimate.Graph.Len()) {
		if e.Estimate.Graph.Node(id).Op != graph.Check {
			continue
		}
		held, ok := e.Values.Raw(id)
		holds, still := values.Raw(id)
		if ok && !held.IsZero() && (!still || holds.IsZero()) {
			return true
		}
	}
	return false
}

// changed evaluates a batch with its inputs changed: in the same graph where its
// decisions and checks hold, otherwise in one built from the changed book. It reports
// whether a decision is another one then.
func changed(ctx context.Context, e *answer.Evaluation, held *Shelf, mix []estimate.MixLine, edits []edit, drafts []Draft) (*answer.Evaluation, bool, error) {
	mix = withQuantities(e, mix, edits)
	if err := answer.WellFormed(mix, e.Estimate.Day); err != nil {
		return nil, false, err
	}
	pins, ok := pins(e, mix, edits)
	if ok {
		values, err := e.Evaluate(ctx, pins)
		switch {
		case err == nil && !failsWhatHeld(e, values):
			after := answer.NewEvaluated(e.Frame, values)
			return after, decides(e, after), nil
		case err != nil && !answer.OutsideDecision(err):
			return nil, false, answer.Uncomputable(err)
		}
	}
	made, err := answer.NewBuilt(held.With(drafts).Book, mix, e.Estimate.Day)
	if err != nil {
		return nil, true, err
	}
	values, err := made.Evaluate(ctx, outsideBook(made, edits))
	if err != nil {
		return nil, true, answer.Uncomputable(err)
	}
	after := answer.NewEvaluated(made, values)
	return after, decides(e, after) || decides(after, e), nil
}

// pins gives the inputs to pin; it is not ok where only the changed book says what
// becomes of them.
func pins(e *answer.Evaluation, mix []estimate.MixLine, edits []edit) (exact.Pins, bool) {
	pins := e.Quantities(mix)
	g := e.Estimate.Graph
	for _, ed := range edits {
		id, found := g.Find(ed.Key)
		if !found || ed.rebuilds() {
			return nil, false
		}
		if len(g.Drawn()) > 0 && g.Node(id).Op == graph.Range {
			return nil, false // it is saved as a range around another likely value, and so drawn
		}
		pins[id] = ed.value
	}
	return pins, true
}

// outsideBook pins those changed inputs that the book does not hold.
func outsideBook(b *answer.Frame, edits []edit) exact.Pins {
	pins := exact.Pins{}
	for _, ed := range edits {
		if id, ok := b.Estimate.Graph.Find(ed.Key); ok && !ed.inBook() {
			pins[id] = ed.value
		}
	}
	return pins
}

// withQuantities is the mix with those of its quantities that are changed.
func withQuantities(b *answer.Evaluation, mix []estimate.MixLine, edits []edit) []estimate.MixLine {
	out := slices.Clone(mix)
	for i := range out {
		key := b.Estimate.Graph.Node(b.Estimate.Variants[i].Quantity).Key
		for _, ed := range edits {
			if ed.Key == key {
				out[i].Quantity = bom.Exactly(ed.value)
			}
		}
	}
	return out
}

// Applied gives the records with the changes made, and refuses changes of what
// the book does not hold.
func (s *Shelf) Applied(changes []Change, graphs func(*Shelf) ([]*graph.Graph, error)) ([]Draft, error) {
	found, err := graphs(s)
	if err != nil {
		return nil, err
	}
	edits, err := s.edits(changes, found)
	if err != nil {
		return nil, err
	}
	bad := answer.Invalidf("some changes cannot be saved")
	for _, e := range edits {
		if !e.inBook() {
			bad.Fields = append(bad.Fields, e.fail("%s is no part of the book: it comes from %s", e.node.Label, e.node.Source.Where))
		}
	}
	if len(bad.Fields) > 0 {
		return nil, bad
	}
	return s.drafts(edits)
}
