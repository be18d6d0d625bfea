package answer

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/ask/simulate"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// maxLines bounds a mix.
const maxLines = 200

// Version names one state of the book or of a record, opaque to everyone else.
// AnyVersion, as the version a change is for, stands for whatever is there.
type Version string

// AnyVersion changes whatever is there.
const AnyVersion Version = "*"

// Figures names the state of the book as far as figures rest on it: what follows the
// point says only which comments and blanks its text has.
func (v Version) Figures() Version {
	figures, _, _ := strings.Cut(string(v), ".")
	return Version(figures)
}

// Origin is a state of a book, of which anything may be asked: the stored one, or
// one that was sent along or read from a file.
type Origin struct {
	Version Version // empty for a book that is not stored
	Book    *book.Book
	Memory  *Memory
}

// Of takes a book that is not stored. What was built for one question about it is
// there for the next.
func Of(b *book.Book) Origin { return Origin{Book: b, Memory: NewMemory()} }

// Memory is what has been built and evaluated, of any states of the stored book or
// of one book. All of it can be made again.
type Memory struct {
	graphs  *Cache[batch, *Frame]
	results *Cache[Key, *Evaluation]
}

// Room in memory, in nodes of graphs and of evaluations.
const (
	graphRoom  = 300_000
	resultRoom = 600_000
)

// NewMemory is empty.
func NewMemory() *Memory {
	return &Memory{
		graphs:  NewCache[batch](graphRoom, func(b *Frame) int { return b.Estimate.Graph.Len() }),
		results: NewCache[Key](resultRoom, func(e *Evaluation) int { return e.Estimate.Graph.Len() }),
	}
}

// batch names a graph: everything its structure depends on.
type batch struct {
	version Version
	day     bom.Date
	lines   string
}

// Frame is a graph ready to be evaluated for any quantities.
type Frame struct {
	Estimate  *estimate.Estimate
	Evaluator func() *exact.Evaluator // made when it is first asked for
}

func newFrame(est *estimate.Estimate) *Frame {
	return &Frame{est, sync.OnceValue(func() *exact.Evaluator { return exact.New(est.Graph) })}
}

// Evaluate evaluates the graph with some figures pinned. What a price rests on is drawn
// with them, where it does not rest on the likely cost.
func (b *Frame) Evaluate(ctx context.Context, pins exact.Pins) (*exact.Values, error) {
	return simulate.Evaluate(ctx, b.Evaluator(), pins)
}

// Drawn gives the figures of an evaluated graph that were drawn, with their standard
// errors, as pins.
func Drawn(g *graph.Graph, values interface {
	Raw(id graph.ID) (decimal.Decimal, bool)
}) exact.Pins {
	out := exact.Pins{}
	for _, id := range g.Drawn() {
		if v, ok := values.Raw(id); ok {
			out[id] = v
		}
		if of, there := g.Find(g.Node(id).Decision.Drawn.Error); there {
			if v, ok := values.Raw(of); ok {
				out[of] = v
			}
		}
	}
	return out
}

// Key names an evaluation.
type Key struct {
	batch
	quantities string
}

// Evaluation is a batch with its figures, which must not be changed.
type Evaluation struct {
	*Frame
	Values *exact.Values
	read   func() Estimate
	sheet  func() *Sheet
}

func NewEvaluated(b *Frame, values *exact.Values) *Evaluation {
	e := &Evaluation{Frame: b, Values: values}
	e.read, e.sheet = sync.OnceValue(e.headlines), sync.OnceValue(func() *Sheet { return newSheet(e) })
	return e
}

// Figures are those a person looks for first.
func (e *Evaluation) Figures() Estimate { return e.read() }

// Sheet gives it for looking up.
func (e *Evaluation) Sheet() *Sheet { return e.sheet() }

// Evaluate gives a batch, from memory if it can.
func (o Origin) Evaluate(ctx context.Context, mix []estimate.MixLine, day bom.Date) (*Evaluation, error) {
	if err := WellFormed(mix, day); err != nil {
		return nil, err
	}
	key := o.Key(mix, day)
	return o.Memory.results.Get(ctx, key, func() (*Evaluation, error) {
		b, err := o.Graph(ctx, mix, day)
		if err != nil {
			return nil, err
		}
		values, err := b.Evaluate(ctx, b.Quantities(mix))
		if err != nil {
			return nil, Uncomputable(err)
		}
		return NewEvaluated(b, values), nil
	})
}

// Graph gives the graph of a batch, from memory if it can.
func (o Origin) Graph(ctx context.Context, mix []estimate.MixLine, day bom.Date) (*Frame, error) {
	return o.Memory.graphs.Get(ctx, o.Key(mix, day).batch, func() (*Frame, error) {
		return NewBuilt(o.Book, mix, day)
	})
}

// Key names a question about a batch.
func (o Origin) Key(mix []estimate.MixLine, day bom.Date) Key {
	return Key{batch{o.Version, day, structure(mix)}, quantities(mix)}
}

func NewBuilt(b *book.Book, mix []estimate.MixLine, day bom.Date) (*Frame, error) {
	est, err := estimate.Build(b, mix, day)
	if err != nil {
		return nil, Unbuildable(err)
	}
	return newFrame(est), nil
}

// Quantities pins the quantities of a mix.
func (b *Frame) Quantities(mix []estimate.MixLine) exact.Pins {
	pins := exact.Pins{}
	for i, l := range mix {
		pins[b.Estimate.Variants[i].Quantity] = l.Quantity.Likely
	}
	return pins
}

// WellFormed refuses a mix that the engine would not understand.
func WellFormed(mix []estimate.MixLine, day bom.Date) error {
	if _, err := bom.ParseDate(string(day)); err != nil {
		return Invalidf("day: %s", err)
	}
	if len(mix) == 0 {
		return Invalidf("the mix names no variant")
	}
	if len(mix) > maxLines {
		return Errorf(TooLarge, "the mix has %d lines; at most %d are priced at once", len(mix), maxLines)
	}
	seen := map[string]bool{}
	for _, l := range mix {
		name := string(l.Product) + "/" + l.Name()
		if seen[l.Name()] {
			return Invalidf("the mix names %s twice", bom.Shorten(name))
		}
		seen[l.Name()] = true
		if err := l.Check(); err != nil {
			return Invalidf("%s", err)
		}
		if !l.Quantity.Likely.IsPositive() {
			return Invalidf("the quantity of %s is not more than 0", bom.Shorten(name))
		}
		if err := WholePieces(l.Quantity.Likely); err != nil {
			return Invalidf("the quantity of %s: %s", bom.Shorten(name), err)
		}
	}
	return nil
}

// structure names what the graph of a mix depends on.
func structure(mix []estimate.MixLine) string {
	var b strings.Builder
	for _, l := range mix {
		fmt.Fprintf(&b, "%s/%s", l.Product, l.Word())
		if l.Margin != nil {
			fmt.Fprintf(&b, "@%+v", *l.Margin)
		}
		for _, place := range l.Destinations {
			b.WriteString("+to:" + place)
		}
		for _, option := range slices.Sorted(maps.Keys(l.Choices)) {
			fmt.Fprintf(&b, "+%s:%s", option, l.Choices[option])
		}
		b.WriteByte(';')
	}
	return b.String()
}

func quantities(mix []estimate.MixLine) string {
	var b strings.Builder
	for _, l := range mix {
		b.WriteString(l.Quantity.Likely.String() + ";")
	}
	return b.String()
}

func OutsideDecision(err error) bool {
	var outside *exact.OutsideDecisionError
	return errors.As(err, &outside)
}
