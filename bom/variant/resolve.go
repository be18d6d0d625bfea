package variant

import (
	"slices"

	"kerfbook/bom"
)

// Holds reports whether a condition is met: every option it names has one of the
// choices listed.
func Holds(when bom.When, choices map[bom.ID]bom.ID) bool {
	for option, allowed := range when {
		if !slices.Contains(allowed, choices[option]) {
			return false
		}
	}
	return true
}

// Applies reports whether a position belongs to a selection.
func Applies(p bom.Position, choices map[bom.ID]bom.ID) bool {
	return len(p.When) == 0 || slices.ContainsFunc(p.When, func(w bom.When) bool { return Holds(w, choices) })
}

// Keeps reports whether a selection keeps a rule.
func Keeps(r bom.Rule, choices map[bom.ID]bom.ID) bool {
	first, second := Holds(r.If, choices), Holds(r.Then, choices)
	if r.Kind == bom.Excludes {
		return !first || !second
	}
	// "B requires A" and "B only with A" say the same of a selection; the words
	// differ for the reader.
	return !first || second
}

// Resolve gives the positions of the variant that the choices select, in the
// order of the product. If they select none, the error is an *InvalidError with
// every fault; rules and places are judged only on a complete selection.
func Resolve(product *bom.Product, choices map[bom.ID]bom.ID) ([]bom.Position, error) {
	faults := selectionFaults(product, choices)
	if len(faults) > 0 {
		return nil, &InvalidError{Product: product.Number, Faults: faults}
	}
	faults = ruleFaults(product, choices)
	var positions []bom.Position
	for _, p := range product.Positions {
		if Applies(p, choices) {
			positions = append(positions, p)
		}
	}
	faults = append(faults, placeFaults(product, positions)...)
	if len(faults) > 0 {
		return nil, &InvalidError{Product: product.Number, Faults: faults}
	}
	return positions, nil
}

// ResolveTrim is Resolve for a trim; its error names the trim.
func ResolveTrim(product *bom.Product, trim *bom.Trim) ([]bom.Position, error) {
	positions, err := Resolve(product, trim.Choices)
	if invalid, ok := err.(*InvalidError); ok {
		invalid.Trim = trim.ID
	}
	return positions, err
}

func selectionFaults(product *bom.Product, choices map[bom.ID]bom.ID) []error {
	var faults []error
	known := map[bom.ID]bool{}
	for _, o := range product.Options {
		known[o.ID] = true
		choice, chosen := choices[o.ID]
		switch {
		case !chosen:
			faults = append(faults, &UnchosenError{o})
		case !slices.ContainsFunc(o.Choices, func(c bom.Choice) bool { return c.ID == choice }):
			faults = append(faults, &UnknownChoiceError{o, choice})
		}
	}
	var strange []bom.ID
	for option := range choices {
		if !known[option] {
			strange = append(strange, option)
		}
	}
	slices.Sort(strange)
	for _, option := range strange {
		faults = append(faults, &UnknownOptionError{option})
	}
	return faults
}

func ruleFaults(product *bom.Product, choices map[bom.ID]bom.ID) []error {
	var faults []error
	for i, r := range product.Rules {
		if !Keeps(r, choices) {
			faults = append(faults, &BrokenRuleError{i, r})
		}
	}
	return faults
}

func placeFaults(product *bom.Product, positions []bom.Position) []error {
	claims := map[bom.ID][]bom.Position{}
	for _, p := range positions {
		if p.Place != "" {
			claims[p.Place] = append(claims[p.Place], p)
		}
	}
	var faults []error
	for _, place := range product.Places {
		switch claim := claims[place.ID]; {
		case len(claim) > 1:
			faults = append(faults, &ContestedPlaceError{place, claim})
		case len(claim) == 0 && place.Required:
			faults = append(faults, &EmptyPlaceError{place})
		}
	}
	return faults
}
