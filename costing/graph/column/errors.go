package column

import (
	"fmt"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// OutsideDecisionError is a decision asked to hold for an input it was not made
// for; Value is the first such value.
type OutsideDecisionError = exact.OutsideDecisionError

// OptionError is an option that cannot be met.
type OptionError struct {
	ID     graph.ID
	Key    string // "" if there is no such figure
	Detail string
}

func (e *OptionError) Error() string {
	return fmt.Sprintf("figure %d %s: %s", e.ID, e.Key, e.Detail)
}

// SizeError is a run of more draws than there is room for.
type SizeError struct {
	Draws, Most int
}

func (e *SizeError) Error() string {
	return fmt.Sprintf("%d draws in one run, at most %d", e.Draws, e.Most)
}
