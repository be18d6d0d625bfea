package codec

import (
	"bytes"
	"encoding/json"
	"fmt"
	"unicode/utf8"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/graph"
)

// Figures are the values of a graph. ok is false for an undefined one.
type Figures interface {
	Raw(id graph.ID) (value decimal.Decimal, ok bool)
}

// TextError is text of a graph that is not UTF-8 and so cannot be written.
type TextError struct{ Key string }

func (e *TextError) Error() string { return fmt.Sprintf("a text of %q is not UTF-8", e.Key) }

// Encode writes a graph and its figures. The error is a *TextError.
func Encode(g *graph.Graph, values Figures) ([]byte, error) {
	e := encoder{units: map[graph.Unit]int{}, sources: map[graph.Source]int{}}
	e.out = form{Version: Version, Units: []string{}, Sources: []graph.Source{},
		Nodes: make([]nodeForm, 0, g.Len()), Values: make([]*string, g.Len()), Findings: []findingForm{}}
	for id := range graph.ID(g.Len()) {
		if err := e.node(g.Node(id)); err != nil {
			return nil, err
		}
		if v, ok := values.Raw(id); ok {
			text := number(v)
			e.out.Values[id] = &text
		}
	}
	for _, f := range g.Findings() {
		e.out.Findings = append(e.out.Findings, findingForm{severityWords[f.Severity], f.Key, f.Message, f.Path})
	}
	return marshal(&e.out)
}

// marshal writes the form as one line of JSON.
func marshal(f *form) ([]byte, error) {
	var out bytes.Buffer
	enc := json.NewEncoder(&out)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(f); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

type encoder struct {
	out     form
	units   map[graph.Unit]int
	sources map[graph.Source]int
}

func (e *encoder) node(n graph.Node) error {
	for _, text := range []string{n.Label, n.Of, n.Missing, n.Formula, n.Source.Where, n.Source.Path, n.Source.Cite, n.Source.CheckedOn, n.Source.RanOut} {
		if !utf8.ValidString(text) {
			return &TextError{n.Key}
		}
	}
	unit, err := e.unit(n.Unit)
	if err != nil {
		return err
	}
	f := nodeForm{Key: n.Key, Label: n.Label, Of: n.Of, Unit: unit, Op: opWords[n.Op], Kind: kindWords[n.Kind],
		Decision: decisionOf(n.Decision), Missing: n.Missing, Formula: n.Formula, Source: e.source(n.Source)}
	for _, a := range n.Args {
		f.Args = append(f.Args, int32(a))
	}
	switch n.Op {
	case graph.Constant, graph.Decided:
		f.Value = number(n.Value)
	case graph.Range:
		f.Value, f.Low, f.High = number(n.Value), number(n.Low), number(n.High)
		f.Shape = shapeWords[n.Shape]
		if n.Shape == bom.Normal {
			f.SD = number(n.SD)
		}
	case graph.Choose, graph.Check:
		f.Compare = compareWords[n.Compare]
	}
	for _, b := range n.Axes {
		b.BelowClosed = append([]bool{}, b.BelowClosed...)
		f.Axes = append(f.Axes, b)
	}
	e.out.Nodes = append(e.out.Nodes, f)
	return nil
}

// unit gives the place of a unit in the list.
func (e *encoder) unit(u graph.Unit) (int, error) {
	if at, ok := e.units[u]; ok {
		return at, nil
	}
	text, err := u.MarshalText()
	if err != nil {
		return 0, err
	}
	e.units[u] = len(e.out.Units)
	e.out.Units = append(e.out.Units, string(text))
	return e.units[u], nil
}

func (e *encoder) source(s graph.Source) int {
	at, ok := e.sources[s]
	if !ok {
		at = len(e.out.Sources)
		e.sources[s] = at
		e.out.Sources = append(e.out.Sources, s)
	}
	return at
}

func decisionOf(c *graph.Choice) *decisionForm {
	if c == nil {
		return nil
	}
	f := &decisionForm{Solver: c.Solver, Rule: c.Rule, Options: c.Options}
	for _, w := range c.Valid {
		f.Valid = append(f.Valid, windowForm{int32(w.Input), number(w.Low), number(w.High)})
	}
	if d := c.Drawn; d != nil {
		f.Drawn = &drawsForm{d.Of, d.Error, number(d.Share), d.Count, d.Seed}
	}
	return f
}

// number writes a decimal in plain notation with all its places.
func number(d decimal.Decimal) string { return d.StringFixed(max(0, -d.Exponent())) }
