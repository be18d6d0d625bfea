package exact

import (
	"fmt"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// RangeError is a figure that is not zero and lies outside 10^-60 to 10^60 in
// size: no price does, so it is a mistake in an input.
type RangeError struct {
	Key string
}

func (e *RangeError) Error() string {
	return fmt.Sprintf("%s is too large or too small to be computed", e.Key)
}

// UndefinedError is a figure without a value.
type UndefinedError struct {
	Key   string // the figure asked for
	Cause string // the figure whose own operation has no value; it may be Key
	// Why says what is missing and Path where in the book, if the graph knows.
	Why, Path string
}

func (e *UndefinedError) Error() string {
	if e.Why != "" {
		return fmt.Sprintf("%s has no value: %s", e.Key, e.Why)
	}
	if e.Key == e.Cause {
		return fmt.Sprintf("%s has no value", e.Key)
	}
	return fmt.Sprintf("%s has no value, because %s has none", e.Key, e.Cause)
}

// OutsideDecisionError is a decision asked to hold for an input it was not made
// for.
type OutsideDecisionError struct {
	Key              string // the decision
	Input            string // key of the input
	Value, Low, High decimal.Decimal
}

func (e *OutsideDecisionError) Error() string {
	return fmt.Sprintf("decision %s holds for %s from %s to %s, not for %s", e.Key, e.Input, e.Low, e.High, e.Value)
}

// PinError is a pin that cannot be set.
type PinError struct {
	ID     graph.ID
	Key    string // "" if there is no such node
	Detail string
}

func (e *PinError) Error() string {
	return fmt.Sprintf("pin of figure %d %s: %s", e.ID, e.Key, e.Detail)
}

// NoNodeError is a request for a figure that the graph does not have.
type NoNodeError struct {
	ID graph.ID
}

func (e *NoNodeError) Error() string { return fmt.Sprintf("there is no figure %d", e.ID) }
