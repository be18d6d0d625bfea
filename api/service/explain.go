package service

import (
	"fmt"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/graph/proof"
)

// UnknownKeyError is a key that no figure of the estimate has.
type UnknownKeyError struct {
	Key     string
	Similar []string // keys that contain or resemble it, at most ten
}

func (e *UnknownKeyError) Error() string {
	if len(e.Similar) == 0 {
		return fmt.Sprintf("no figure has the key %q", e.Key)
	}
	return fmt.Sprintf("no figure has the key %q; similar keys:\n  %s", e.Key, strings.Join(e.Similar, "\n  "))
}

// Explain gives the proof of a figure of an estimate, down to a depth; a
// negative depth opens everything. The error is an *UnknownKeyError for a key
// that does not exist.
func Explain(b *book.Book, mix []estimate.MixLine, day bom.Date, key string, depth int) (proof.Step, error) {
	e, err := NewExplainer(b, mix, day)
	if err != nil {
		return proof.Step{}, err
	}
	return e.Explain(key, depth)
}

// Explainer gives the proofs of one estimate.
type Explainer struct {
	g      *graph.Graph
	values *exact.Values
}

// NewExplainer builds and evaluates an estimate to be asked about.
func NewExplainer(b *book.Book, mix []estimate.MixLine, day bom.Date) (*Explainer, error) {
	est, values, err := evaluateMix(b, mix, day)
	if err != nil {
		return nil, err
	}
	return &Explainer{est.Graph, values}, nil
}

// Explain does as the function of that name.
func (e *Explainer) Explain(key string, depth int) (proof.Step, error) {
	id, ok := e.g.Find(key)
	if !ok {
		return proof.Step{}, &UnknownKeyError{key, similar(e.g, key)}
	}
	return proof.Explain(e.g, e.values, id, depth), nil
}
