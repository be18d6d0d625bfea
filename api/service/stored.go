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
	"kerfbook/bom/variant"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/graph/proof"
)

// Bounds of one request.
const (
	maxLines   = 200 // of a mix
	maxBatches = 500 // of a price list
)

// PriceList prices trims of the stored book.
func (s *Service) PriceList(ctx context.Context, req PriceRequest) (PriceList, Version, error) {
	held, err := s.current(ctx)
	if err != nil {
		return PriceList{}, "", err
	}
	batches := mixes(held.book, req)
	if err := priceable(held.book, req, len(batches)); err != nil {
		return PriceList{}, "", err
	}
	list := PriceList{Book: held.book.Name, Day: req.Day, Currency: string(held.book.Currency), Estimates: []Estimate{}}
	for _, mix := range batches {
		for _, q := range req.Quantities {
			for i := range mix {
				mix[i].Quantity = bom.Exactly(q)
			}
			e, err := s.evaluate(ctx, held, mix, req.Day)
			switch {
			case err == nil:
				list.Estimates = append(list.Estimates, e.figures())
			case len(held.book.Unread) > 0 && CodeOf(err) == Invalid:
				list.Estimates = append(list.Estimates, blankEstimate(mix, err))
			default:
				return PriceList{}, "", err
			}
		}
	}
	return list, held.version, nil
}

// blankEstimate is a batch without figures, with the reasons.
func blankEstimate(mix []estimate.MixLine, err error) Estimate {
	out := Estimate{Variants: []VariantPrices{}, Findings: []Finding{}}
	for _, l := range mix {
		out.Mix = append(out.Mix, MixLine{l.Product, l.Name(), Figure{Value: l.Quantity.Likely.String()}})
	}
	var known *Error
	if errors.As(err, &known) {
		for _, f := range known.Fields {
			out.Findings = append(out.Findings, Finding{Severity: "error", Message: f.Message, Path: f.Path})
		}
	}
	if len(out.Findings) == 0 {
		out.Findings = append(out.Findings, Finding{Severity: "error", Message: err.Error()})
	}
	return out
}

// priceable refuses a price list of trims that do not exist, or a very long one.
func priceable(b *book.Book, req PriceRequest, batches int) error {
	for _, t := range req.Trims {
		if _, err := productOf(b, t); err != nil {
			return invalid("%s", err)
		}
	}
	if n := batches * len(req.Quantities); n > maxBatches {
		return newError(TooLarge, "%d batches are asked for; at most %d are priced at once", n, maxBatches)
	}
	return nil
}

// Estimate gives the figures of a batch.
func (s *Service) Estimate(ctx context.Context, mix []estimate.MixLine, day bom.Date) (Estimate, Version, error) {
	held, err := s.current(ctx)
	if err != nil {
		return Estimate{}, "", err
	}
	e, err := s.evaluate(ctx, held, mix, day)
	if err != nil {
		return Estimate{}, "", err
	}
	return e.figures(), held.version, nil
}

// ExplainKey gives the proof of a figure of a batch, down to a depth; a negative
// depth opens everything.
func (s *Service) ExplainKey(ctx context.Context, mix []estimate.MixLine, day bom.Date, key string, depth int) (proof.Step, Version, error) {
	held, err := s.current(ctx)
	if err != nil {
		return proof.Step{}, "", err
	}
	e, err := s.evaluate(ctx, held, mix, day)
	if err != nil {
		return proof.Step{}, "", err
	}
	id, ok := e.est.Graph.Find(key)
	if !ok {
		return proof.Step{}, "", unknownKey(e.est.Graph, key)
	}
	return proof.Explain(e.est.Graph, e.values, id, depth), held.version, nil
}

func unknownKey(g *graph.Graph, key string) *Error {
	err := &UnknownKeyError{shortened(key), similar(g, key)}
	return &Error{Code: NotFound, Message: err.Error()}
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
	e.once.Do(func() { *e.read = figuresOf(e.est, e.values) })
	return *e.read
}

// evaluate gives a batch of a state of the book, from memory if it can.
func (s *Service) evaluate(ctx context.Context, held *shelf, mix []estimate.MixLine, day bom.Date) (*evaluated, error) {
	if err := wellFormed(mix, day); err != nil {
		return nil, err
	}
	key := asked{batch{held.version, day, structure(mix)}, quantities(mix)}
	return s.memory.results.get(ctx, key, func() (*evaluated, error) {
		b, err := s.build(ctx, held, mix, day)
		if err != nil {
			return nil, err
		}
		values, err := b.evaluator.Evaluate(b.quantities(mix))
		if outsideDecision(err) {
			return fresh(held.book, mix, day)
		}
		if err != nil {
			return nil, uncomputable(err)
		}
		return newEvaluated(b, values), nil
	})
}

// build gives the graph of a batch, from memory if it can.
func (s *Service) build(ctx context.Context, held *shelf, mix []estimate.MixLine, day bom.Date) (*built, error) {
	return s.memory.graphs.get(ctx, batch{held.version, day, structure(mix)}, func() (*built, error) {
		return newBuilt(held.book, mix, day)
	})
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
			return invalid("the mix names %s twice", shortened(name))
		}
		seen[l.Name()] = true
		if err := l.CheckQuantity(); err != nil {
			return invalid("%s", err)
		}
		if !l.Quantity.Likely.IsPositive() {
			return invalid("the quantity of %s is not more than 0", shortened(name))
		}
		if err := wholePieces(l.Quantity.Likely); err != nil {
			return invalid("the quantity of %s: %s", shortened(name), err)
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

// uncomputable words an error of an evaluation.
func uncomputable(err error) error {
	var outOfRange *exact.RangeError
	var pin *exact.PinError
	var outside *exact.OutsideDecisionError
	if errors.As(err, &outOfRange) || errors.As(err, &pin) || errors.As(err, &outside) {
		return &Error{Code: Invalid, Message: err.Error()}
	}
	return internal(err)
}

// unbuildable words all that is wrong with a batch.
func unbuildable(err error) error {
	out := invalid("the batch cannot be estimated")
	for _, one := range unjoined(err) {
		var place *estimate.BuildError
		var node *graph.FaultError
		var selection *variant.InvalidError
		switch {
		case errors.As(one, &place):
			out.Fields = append(out.Fields, FieldError{Path: place.Path, Message: place.Message})
		case errors.As(one, &node) && node.Kind == graph.TooLarge:
			out = newError(TooLarge, "%s", node.Detail)
			out.Fields = append(out.Fields, FieldError{Path: node.Path, Message: node.Detail})
			return out
		case errors.As(one, &node):
			return internal(err)
		case errors.As(one, &selection):
			out.Fields = append(out.Fields, FieldError{Message: one.Error()})
		default:
			return internal(err)
		}
	}
	if len(out.Fields) == 1 {
		out.Message = out.Fields[0].Message
	}
	return out
}

// unjoined takes errors.Join apart.
func unjoined(err error) []error {
	if joined, ok := err.(interface{ Unwrap() []error }); ok {
		return joined.Unwrap()
	}
	return []error{err}
}
