package estimate

import (
	"errors"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/graph"
)

// override puts the numbers of a book that are in force on a day in the place of
// computed figures.
func override(b *graph.Builder, list []book.Override, day bom.Date) {
	for _, i := range book.OverridesOn(list, day) {
		o := list[i]
		b.Override(string(o.Figure), graph.Override{
			Number: o.Value, Unit: o.Unit, Reason: o.Reason, Since: o.From, Path: index("overrides", i) + ".value"})
	}
}

// misplaced turns faults of overrides into faults of the book; any other error is
// given back as it is.
func misplaced(b *book.Book, day bom.Date, err error) error {
	var out []error
	for _, one := range graph.Joined(err) {
		var f *graph.FaultError
		if errors.As(one, &f) && f.Kind == graph.BadOverride {
			for _, i := range book.OverridesOn(b.Overrides, day) {
				if string(b.Overrides[i].Figure) == f.Key {
					one = &BuildError{index("overrides", i), f.Detail}
				}
			}
		}
		out = append(out, one)
	}
	return errors.Join(out...)
}
