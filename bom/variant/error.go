package variant

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"kerfbook/bom"
)

// InvalidError says why a selection is no variant of a product. Each fault is one
// of the types below, found with errors.As.
type InvalidError struct {
	Product bom.ID
	Trim    bom.ID // empty for a free selection
	Faults  []error
}

func (e *InvalidError) Error() string {
	subject := "product " + string(e.Product)
	if e.Trim != "" {
		subject += ", trim " + string(e.Trim)
	}
	return subject + ": " + strings.ReplaceAll(errors.Join(e.Faults...).Error(), "\n", "; ")
}

// Unwrap gives the faults.
func (e *InvalidError) Unwrap() []error { return e.Faults }

// UnchosenError is an option for which nothing is chosen.
type UnchosenError struct{ Option bom.Option }

func (e *UnchosenError) Error() string {
	return fmt.Sprintf("option %s is not chosen; choose one of %s", e.Option.ID, choiceList(e.Option))
}

// UnknownOptionError is a choice for an option that the product does not have.
type UnknownOptionError struct{ Option bom.ID }

func (e *UnknownOptionError) Error() string {
	return fmt.Sprintf("the product has no option %s", e.Option)
}

// UnknownChoiceError is a choice that the option does not have.
type UnknownChoiceError struct {
	Option bom.Option
	Choice bom.ID
}

func (e *UnknownChoiceError) Error() string {
	return fmt.Sprintf("option %s has no choice %s; choose one of %s", e.Option.ID, e.Choice, choiceList(e.Option))
}

func choiceList(o bom.Option) string {
	names := make([]string, len(o.Choices))
	for i, c := range o.Choices {
		names[i] = string(c.ID)
	}
	return strings.Join(names, ", ")
}

// BrokenRuleError is a rule that the selection does not keep.
type BrokenRuleError struct {
	Index int // in the list of rules, from 0
	Rule  bom.Rule
}

func (e *BrokenRuleError) Error() string {
	verb := map[bom.RuleKind]string{
		bom.Requires: "requires", bom.Excludes: "excludes", bom.OnlyWith: "is possible only with",
	}[e.Rule.Kind]
	text := fmt.Sprintf("rule %d is broken: %s %s %s", e.Index+1, conditionText(e.Rule.If), verb, conditionText(e.Rule.Then))
	if e.Rule.Reason != "" {
		text += " (" + e.Rule.Reason + ")"
	}
	return text
}

func conditionText(when bom.When) string {
	var terms []string
	for option, choices := range when {
		words := make([]string, len(choices))
		for i, c := range choices {
			words[i] = string(c)
		}
		terms = append(terms, string(option)+" "+strings.Join(words, " or "))
	}
	slices.Sort(terms)
	return strings.Join(terms, " and ")
}

// EmptyPlaceError is a required place for which no position applies.
type EmptyPlaceError struct{ Place bom.Place }

func (e *EmptyPlaceError) Error() string {
	return fmt.Sprintf("place %s has no part; no position for it applies", e.Place.ID)
}

// ContestedPlaceError is a place for which more than one position applies.
type ContestedPlaceError struct {
	Place     bom.Place
	Positions []bom.Position
}

func (e *ContestedPlaceError) Error() string {
	claims := make([]string, len(e.Positions))
	for i, p := range e.Positions {
		claims[i] = fmt.Sprintf("%s (position %d)", p.Part, p.Number)
	}
	return fmt.Sprintf("place %s takes one part, but %s apply", e.Place.ID, strings.Join(claims, " and "))
}
