package service

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph/exact"
)

// maxLines bounds a mix.
const maxLines = 200

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
	graphs  *cache[batch, *built]
	results *cache[asked, *evaluated]
}

// Room in memory, in nodes of graphs and of evaluations.
const (
	graphRoom  = 300_000
	resultRoom = 600_000
)

// NewMemory is empty.
func NewMemory() *Memory {
	return &Memory{
		graphs:  newCache[batch](graphRoom, func(b *built) int { return b.est.Graph.Len() }),
		results: newCache[asked](resultRoom, func(e *evaluated) int { return e.est.Graph.Len() }),
	}
}

// batch names a graph: everything its structure depends on.
type batch struct {
	version Version
	day     bom.Date
	lines   string
}

// built is a graph ready to be evaluated for any quantities.
type built struct {
	est       *estimate.Estimate
	evaluator *exact.Evaluator
}

// asked names an evaluation.
type asked struct {
	batch
	quantities string
}

// evaluated is a batch with its figures, which must not be changed.
type evaluated struct {
	*built
	values *exact.Values
	once   *sync.Once
	read   *Estimate
}

func newEvaluated(b *built, values *exact.Values) *evaluated {
	return &evaluated{built: b, values: values, once: new(sync.Once), read: new(Estimate)}
}

// figures are those a person looks for first.
func (e *evaluated) figures() Estimate {
	e.once.Do(func() { *e.read = e.headlines() })
	return *e.read
}

// Evaluate gives a batch, from memory if it can.
func (o Origin) Evaluate(ctx context.Context, mix []estimate.MixLine, day bom.Date) (*evaluated, error) {
	if err := wellFormed(mix, day); err != nil {
		return nil, err
	}
	key := o.asked(mix, day)
	return o.Memory.results.get(ctx, key, func() (*evaluated, error) {
		b, err := o.build(ctx, mix, day)
		if err != nil {
			return nil, err
		}
		values, err := b.evaluator.Evaluate(b.quantities(mix))
		if outsideDecision(err) {
			return fresh(o.Book, mix, day)
		}
		if err != nil {
			return nil, uncomputable(err)
		}
		return newEvaluated(b, values), nil
	})
}

// build gives the graph of a batch, from memory if it can.
func (o Origin) build(ctx context.Context, mix []estimate.MixLine, day bom.Date) (*built, error) {
	return o.Memory.graphs.get(ctx, o.asked(mix, day).batch, func() (*built, error) {
		return newBuilt(o.Book, mix, day)
	})
}

// asked names a question about a batch.
func (o Origin) asked(mix []estimate.MixLine, day bom.Date) asked {
	return asked{batch{o.Version, day, structure(mix)}, quantities(mix)}
}

func newBuilt(b *book.Book, mix []estimate.MixLine, day bom.Date) (*built, error) {
	est, err := estimate.Build(b, mix, day)
	if err != nil {
		return nil, unbuildable(err)
	}
	return &built{est, exact.New(est.Graph)}, nil
}

// fresh builds a batch with its decisions taken for just these quantities.
func fresh(b *book.Book, mix []estimate.MixLine, day bom.Date) (*evaluated, error) {
	made, err := newBuilt(b, mix, day)
	if err != nil {
		return nil, err
	}
	values, err := made.evaluator.Evaluate(nil)
	if err != nil {
		return nil, uncomputable(err)
	}
	return newEvaluated(made, values), nil
}

// quantities pins the quantities of a mix.
func (b *built) quantities(mix []estimate.MixLine) exact.Pins {
	pins := exact.Pins{}
	for i, l := range mix {
		pins[b.est.Variants[i].Quantity] = l.Quantity.Likely
	}
	return pins
}

// wellFormed refuses a mix that the engine would not understand.
func wellFormed(mix []estimate.MixLine, day bom.Date) error {
	if _, err := bom.ParseDate(string(day)); err != nil {
		return invalid("day: %s", err)
	}
	if len(mix) == 0 {
		return invalid("the mix names no variant")
	}
	if len(mix) > maxLines {
		return newError(TooLarge, "the mix has %d lines; at most %d are priced at once", len(mix), maxLines)
	}
	seen := map[string]bool{}
	for _, l := range mix {
		name := string(l.Product) + "/" + l.Name()
		if seen[l.Name()] {
			return invalid("the mix names %s twice", bom.Shorten(name))
		}
		seen[l.Name()] = true
		if err := l.CheckQuantity(); err != nil {
			return invalid("%s", err)
		}
		if !l.Quantity.Likely.IsPositive() {
			return invalid("the quantity of %s is not more than 0", bom.Shorten(name))
		}
		if err := wholePieces(l.Quantity.Likely); err != nil {
			return invalid("the quantity of %s: %s", bom.Shorten(name), err)
		}
	}
	return nil
}

// structure names what the graph of a mix depends on.
func structure(mix []estimate.MixLine) string {
	var b strings.Builder
	for _, l := range mix {
		fmt.Fprintf(&b, "%s/%s", l.Product, l.Trim)
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

func outsideDecision(err error) bool {
	var outside *exact.OutsideDecisionError
	return errors.As(err, &outside)
}
