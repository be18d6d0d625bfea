package codec

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/graph"
)

// FormError is bytes that are no graph in the form of this package.
type FormError struct{ Detail string }

func (e *FormError) Error() string { return "stored graph: " + e.Detail }

// Values are the figures of a decoded graph.
type Values struct{ all []*decimal.Decimal }

// Raw gives a figure; ok is false where it is undefined.
func (v *Values) Raw(id graph.ID) (value decimal.Decimal, ok bool) {
	if id < 0 || int(id) >= len(v.all) || v.all[id] == nil {
		return decimal.Decimal{}, false
	}
	return *v.all[id], true
}

// Decode reads what Encode wrote. The error is a *FormError, or joins the faults
// of nodes that no graph has.
func Decode(data []byte) (*graph.Graph, *Values, error) {
	d := decoder{}
	if err := d.read(data); err != nil {
		return nil, nil, err
	}
	nodes, values := make([]graph.Node, len(d.in.Nodes)), &Values{make([]*decimal.Decimal, len(d.in.Values))}
	for i := range d.in.Nodes {
		nodes[i] = d.node(&d.in.Nodes[i])
	}
	for i, text := range d.in.Values {
		if text != nil {
			v := d.number(*text)
			values.all[i] = &v
		}
	}
	found := d.findings()
	if d.fault != "" {
		return nil, nil, &FormError{d.fault}
	}
	g, err := graph.Restore(nodes, found)
	if err != nil {
		return nil, nil, err
	}
	return g, values, canonical(g, values, data)
}

// canonical wants the bytes to be those that Encode writes.
func canonical(g *graph.Graph, values *Values, data []byte) error {
	again, err := Encode(g, values)
	if err != nil {
		return err
	}
	if !bytes.Equal(again, data) {
		return &FormError{"not in canonical form"}
	}
	return nil
}

type decoder struct {
	in    form
	units []graph.Unit
	fault string // the first
}

func (d *decoder) fail(format string, args ...any) {
	if d.fault == "" {
		d.fault = fmt.Sprintf(format, args...)
	}
}

func (d *decoder) read(data []byte) error {
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&d.in); err != nil {
		return &FormError{err.Error()}
	}
	if d.in.Version != Version {
		return &FormError{fmt.Sprintf("version %d is not known; this program reads version %d", d.in.Version, Version)}
	}
	if len(d.in.Values) != len(d.in.Nodes) {
		return &FormError{fmt.Sprintf("%d figures for %d nodes", len(d.in.Values), len(d.in.Nodes))}
	}
	d.units = make([]graph.Unit, len(d.in.Units))
	for i, text := range d.in.Units {
		if err := d.units[i].UnmarshalText([]byte(text)); err != nil {
			return &FormError{err.Error()}
		}
	}
	return nil
}

func (d *decoder) node(f *nodeForm) graph.Node {
	n := graph.Node{Key: f.Key, Label: f.Label, Of: f.Of, Missing: f.Missing, Formula: f.Formula}
	if f.Unit < 0 || f.Unit >= len(d.units) || f.Source < 0 || f.Source >= len(d.in.Sources) {
		d.fail("%.40q has a unit or source that is not listed", f.Key)
		return n
	}
	n.Unit, n.Source = d.units[f.Unit], d.in.Sources[f.Source]
	n.Op = graph.Op(d.word(opWords[:], f.Op))
	n.Kind = graph.Kind(d.word(kindWords[:], f.Kind))
	for _, a := range f.Args {
		n.Args = append(n.Args, graph.ID(a))
	}
	switch n.Op {
	case graph.Constant, graph.Decided:
		n.Value = d.number(f.Value)
	case graph.Range:
		n.Value, n.Low, n.High = d.number(f.Value), d.number(f.Low), d.number(f.High)
		n.Shape = bom.Shape(d.word(shapeWords[:], f.Shape))
		if n.Shape == bom.Normal {
			n.SD = d.number(f.SD)
		}
	case graph.Choose, graph.Check:
		n.Compare = graph.Comparison(d.word(compareWords[:], f.Compare))
	}
	for _, a := range f.Axes {
		if len(a.BelowClosed) == 0 {
			a.BelowClosed = nil
		}
		n.Axes = append(n.Axes, a)
	}
	n.Decision = d.decision(f.Decision)
	return n
}

func (d *decoder) decision(f *decisionForm) *graph.Choice {
	if f == nil {
		return nil
	}
	c := &graph.Choice{Solver: f.Solver, Rule: f.Rule, Options: f.Options}
	for _, w := range f.Valid {
		c.Valid = append(c.Valid, graph.Window{Input: graph.ID(w.Input), Low: d.number(w.Low), High: d.number(w.High)})
	}
	if w := f.Drawn; w != nil {
		c.Drawn = &graph.Draws{Of: w.Of, Error: w.Error, Share: d.number(w.Share), Count: w.Count, Seed: w.Seed}
	}
	return c
}

func (d *decoder) findings() []graph.Finding {
	var out []graph.Finding
	for _, f := range d.in.Findings {
		out = append(out, graph.Finding{Severity: graph.Severity(d.word(severityWords[:], f.Severity)), Key: f.Key, Message: f.Message, Path: f.Path})
	}
	return out
}

func (d *decoder) word(words []string, word string) int {
	at := slices.Index(words, word)
	if at < 0 {
		d.fail("the word %.40q is not known", word)
		return 0
	}
	return at
}

// longestNumber is what a figure may take to write: figures lie between 10^-60
// and 10^60 and have 34 digits.
const longestNumber = 140

// number reads plain notation. Its length is looked at before the library sees it.
func (d *decoder) number(text string) decimal.Decimal {
	if text == "" || len(text) > longestNumber || strings.Trim(text, "-.0123456789") != "" {
		d.fail("%.40q is no number", text)
		return decimal.Decimal{}
	}
	v, err := decimal.NewFromString(text)
	if err != nil {
		d.fail("%.40q is no number", text)
	}
	return v
}
