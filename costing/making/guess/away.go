package guess

import (
	"slices"
	"strings"

	"kerfbook/bom"
)

// TakenAway is a part without a feature that was entered; a thread goes with the core hole
// that it brought, and a hole that was both is a hole again. A further clamping that nothing is
// left to cut in goes with it; where the first machining is left with nothing, what was said of
// the rest of it goes too, and it is guessed whole. ok is false where there is no such feature.
func TakenAway(def *bom.Part, operation int, feature bom.ID) (out bom.Part, ok bool) {
	out = *def
	at := slices.IndexFunc(def.Routing, func(o bom.Operation) bool { return o.Number == operation })
	if at < 0 {
		return out, false
	}
	out.Routing = slices.Clone(def.Routing)
	op := &out.Routing[at]
	place := slices.IndexFunc(op.Features, func(f bom.Feature) bool { return f.ID == feature })
	if place < 0 {
		return out, false
	}
	first := out.FirstMachined(op)
	gone := op.Features[place]
	op.Features = slices.Delete(slices.Clone(op.Features), place, place+1)
	if gone.Kind == bom.Tap {
		withoutCore(op, place)
	}
	switch {
	case len(op.Features) > 0:
	case first && def.FirstGuess != nil:
		g := *def.FirstGuess
		g.FeaturesEntered, out.FirstGuess, op.HandlingMin = false, &g, nil
		out.NotCounted = slices.DeleteFunc(slices.Clone(out.NotCounted), func(c bom.CountAnswer) bool { return c.Where == bom.BesideCutting || c.Where == bom.RestOfMachine })
	case op.Kind == bom.Machining && !first:
		out.Routing = slices.Delete(out.Routing, at, at+1)
	}
	return out, true
}

// withoutCore takes away the core holes that stand right before the place of a thread that
// has gone.
func withoutCore(op *bom.Operation, thread int) {
	for i := thread - 1; i >= 0; i-- {
		f := &op.Features[i]
		hole, word, both := strings.Cut(f.Name, andCoreOf)
		switch {
		case strings.HasPrefix(f.Name, coreOf):
			op.Features = slices.Delete(op.Features, i, i+1)
		case both:
			f.Name = hole
			if strings.HasSuffix(word, acrossWord) {
				f.Name += acrossWord
			}
		default:
			return
		}
	}
}
