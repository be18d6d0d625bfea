package rates

import (
	"cmp"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
)

// StarterTool is the tool that a shop without one for a feature begins with: the largest
// of the starter sets that can cut it, or else one of them made to its size, which says so.
func StarterTool(f *bom.Feature) (bom.Tool, bool, error) {
	all, err := Starters()
	if err != nil {
		return bom.Tool{}, false, err
	}
	for _, kind := range f.Kind.ToolKinds() {
		var fits []bom.Tool
		for _, made := range []bool{false, true} {
			for _, s := range all {
				for _, t := range s.Tools {
					if made {
						t = madeToSize(t, f)
					}
					if t.Kind == kind && t.Misfit(f, "") == "" {
						fits = append(fits, t)
					}
				}
			}
			if len(fits) > 0 {
				return slices.MaxFunc(fits, func(a, b bom.Tool) int { return cmp.Or(diameterOf(a).Cmp(diameterOf(b))) }), true, nil
			}
		}
	}
	return bom.Tool{}, false, nil
}

func diameterOf(t bom.Tool) decimal.Decimal {
	if t.DiameterMM == nil {
		return decimal.Decimal{}
	}
	return t.DiameterMM.Likely
}

// madeToSize is a tool of a starter set with the diameter and pitch of a feature, where
// the tool cuts its own size, and long enough for it.
func madeToSize(t bom.Tool, f *bom.Feature) bom.Tool {
	if f.DepthMM == nil || t.ReachMM == nil {
		return t
	}
	after, kind, size := t.ID, strings.TrimRight(string(t.ID), "0123456789."), ""
	name := strings.TrimRight(t.Name, "0123456789. H")
	if own := t.Kind == bom.DrillTool || t.Kind == bom.TapTool || t.Kind == bom.Reamer; own && f.DiameterMM != nil {
		t.DiameterMM = f.DiameterMM
		if t.Kind == bom.TapTool {
			t.PitchMM = f.PitchMM
		}
	}
	size = diameterOf(t).String()
	if t.Kind == bom.TapTool && t.PitchMM != nil {
		size += "X" + t.PitchMM.Likely.String()
	}
	if t.ReachMM.Likely.LessThan(f.DepthMM.Likely) {
		t.ReachMM = f.DepthMM
		size += "-" + f.DepthMM.Likely.String()
	}
	t.ID, t.Name = bom.ID(kind+size), name+" "+size
	t.Source += "; made to size after " + string(after)
	return t
}
