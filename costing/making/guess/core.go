package guess

import (
	"maps"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/rates"
)

// coreOf begins the name of the core hole that a thread brings.
const coreOf = "core hole of "

// andCoreOf stands in the name of a hole that is one, before the thread.
const andCoreOf = ", core of "

// coresOnce cuts a hole that is entered beside a thread, and is its core hole, once: a drawing
// tells both. It is as deep as the deeper of the two, and there are as many of it as
// there are of both; what is over of either stays. Named for both, it is taken for no other thread.
func coresOnce(op *bom.Operation) {
	for i := 0; i < len(op.Features); i++ {
		core := op.Features[i]
		thread, is := strings.CutPrefix(core.Name, coreOf)
		if !is {
			continue
		}
		at := slices.IndexFunc(op.Features, func(f bom.Feature) bool { return isCore(&f, &core, op.Features[i:]) })
		if at < 0 {
			continue
		}
		hole := op.Features[at]
		name, _ := strings.CutSuffix(hole.Name, acrossWord)
		of, too := countOf(&core), countOf(&hole)
		both := hole
		both.ID, both.Name, both.Count = core.ID, name+andCoreOf+thread, counted(decimal.Min(of, too), hole.Count)
		if core.DepthMM.Likely.GreaterThan(hole.DepthMM.Likely) {
			both.DepthMM = core.DepthMM
		}
		op.Features[i] = both
		if of.GreaterThan(too) {
			core.ID, core.Count = freeID(op, core.Name), counted(of.Sub(too), core.Count)
			op.Features = slices.Insert(op.Features, i+1, core)
			if at > i {
				at++
			}
		}
		if too.GreaterThan(of) {
			op.Features[at].Count = counted(too.Sub(of), hole.Count)
		} else {
			op.Features = slices.Delete(op.Features, at, at+1)
			i = -1 // places have moved
		}
	}
}

// acrossWord ends the name of what lies across the axis.
const acrossWord = " across"

func liesAcross(f *bom.Feature) bool { return strings.HasSuffix(f.Name, acrossWord) }

// isCore reports that a hole is the core hole of the next thread tapped after it.
func isCore(f, core *bom.Feature, after []bom.Feature) bool {
	if f.Kind != bom.Drill || strings.HasPrefix(f.Name, coreOf) || strings.Contains(f.Name, andCoreOf) ||
		liesAcross(f) != liesAcross(core) || f.DiameterMM == nil || f.DepthMM == nil || core.DiameterMM == nil || core.DepthMM == nil {
		return false
	}
	at := slices.IndexFunc(after, func(f bom.Feature) bool { return f.Kind == bom.Tap && f.PitchMM != nil && f.DepthMM != nil })
	return at >= 0 && !f.DepthMM.Likely.LessThan(after[at].DepthMM.Likely) && rates.MetricThread(*after[at].DiameterMM, *after[at].PitchMM).Core(*f.DiameterMM)
}

// EndInMetal names the holes across the axis of a turned part that end before its widest hole
// along the axis, or within a part that has none.
func EndInMetal(def *bom.Part) (out []string) {
	if def.FirstGuess.Way != bom.Turned {
		return nil
	}
	wide, across := decimal.Zero, map[string]decimal.Decimal{}
	for _, o := range def.Routing {
		for _, f := range o.Features {
			switch {
			case f.Inside || f.Kind == bom.Bore: // turned or bored out, wherever it begins
				return nil
			case f.Kind != bom.Drill || f.DiameterMM == nil || f.DepthMM == nil:
			case liesAcross(&f):
				across[f.Name] = f.DepthMM.Likely
			default:
				wide = decimal.Max(wide, f.DiameterMM.Likely)
			}
		}
	}
	far := def.Finished.DiameterMM.Likely.Sub(wide)
	if wide.IsPositive() {
		far = far.Div(decimal.New(2, 0))
	}
	for _, name := range slices.Sorted(maps.Keys(across)) {
		if across[name].LessThan(far) {
			out = append(out, name)
		}
	}
	return out
}

// across is how many holes across the axis a part has, each of which leaves a burr where it ends.
func across(def *bom.Part) decimal.Decimal {
	n := decimal.Zero
	for _, o := range def.Routing {
		for i := range o.Features {
			if f := &o.Features[i]; f.Kind == bom.Drill && liesAcross(f) {
				n = n.Add(countOf(f))
			}
		}
	}
	return n
}

func countOf(f *bom.Feature) decimal.Decimal {
	if f.Count == nil {
		return decimal.New(1, 0)
	}
	return f.Count.Likely
}

// counted is a count; none where one was said by saying none.
func counted(n decimal.Decimal, was *bom.Number) *bom.Number {
	if was == nil && n.Equal(decimal.New(1, 0)) {
		return nil
	}
	out := bom.Exactly(n)
	return &out
}
