package quote

import "kerfbook/bom"

// State is where a quote stands.
type State string

// The states. A quote is issued until its last day has passed, which no one has
// to record; revising issues its next revision; withdrawn is for good.
const (
	Draft     State = "draft" // not numbered yet
	Issued    State = "issued"
	Revised   State = "revised" // a later revision holds instead
	Withdrawn State = "withdrawn"
	Expired   State = "expired"
)

// StateError is a step that a quote in its state cannot take.
type StateError struct {
	State State
	Step  string // "revised", "withdrawn"
}

func (e *StateError) Error() string {
	return "a quote that is " + string(e.State) + " cannot be " + e.Step
}

// On gives the state of a revision on a day: stored is the state kept of the
// quote, latest its newest revision, until the last day of the revision.
func On(stored State, revision, latest int, until, day bom.Date) State {
	switch {
	case stored == Withdrawn:
		return Withdrawn
	case revision < latest:
		return Revised
	case day > until:
		return Expired
	default:
		return Issued
	}
}

// Revise gives the state kept after the next revision. A quote that has expired
// can be revised. The error is a *StateError.
func (s State) Revise() (State, error) { return s.step("revised", Issued) }

// Withdraw gives the state kept after a quote is withdrawn. The error is a
// *StateError.
func (s State) Withdraw() (State, error) { return s.step("withdrawn", Withdrawn) }

func (s State) step(name string, to State) (State, error) {
	if s != Issued {
		return s, &StateError{s, name}
	}
	return to, nil
}
