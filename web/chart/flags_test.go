package chart

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strconv"
	"testing"
)

// clashes counts labels that touch each other and lines that run through a label.
func clashes(labels []label) (touching, crossed int) {
	for i, l := range labels {
		for j, o := range labels {
			if j > i && l.lane == o.lane && l.touches(o) {
				touching++
			}
			if i != j && l.lane < o.lane && o.under(l.x) {
				crossed++
			}
		}
	}
	return touching, crossed
}

// TestLabelsKeepApart places random labels. None may ever touch another; a line
// may run through a label only where the way of placing says so.
func TestLabelsKeepApart(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(7, 11))
	crossings := 0
	for range 3000 {
		labels := make([]label, 1+r.IntN(8))
		for i := range labels {
			labels[i] = label{x: r.Float64(), width: 0.1 + 0.3*r.Float64()}
		}
		slices.SortFunc(labels, func(a, b label) int { return int(1e6 * (a.x - b.x)) })
		a := placeLabels(labels)
		touching, crossed := clashes(a.labels)
		if touching > 0 || crossed > 0 && a.crossed == 0 {
			t.Fatalf("%d labels touch, %d are crossed: %+v", touching, crossed, a)
		}
		if a.crossed > 0 {
			crossings++
		}
	}
	// Labels that fill half the width and stand at both edges leave no other way;
	// their outline keeps them readable.
	if crossings > 3000/10 {
		t.Errorf("lines run through labels in %d of 3000 charts", crossings)
	}
}

// TestClashesAreFound proves that the test above can fail.
func TestClashesAreFound(t *testing.T) {
	t.Parallel()
	touching, crossed := clashes([]label{{x: 0.2, width: 0.3}, {x: 0.4, width: 0.3}, {x: 0.5, width: 0.2, end: true, lane: 1}})
	if touching != 1 || crossed != 1 {
		t.Errorf("%d touching and %d crossed, want 1 and 1", touching, crossed)
	}
}

func TestUsualQuantilesNeedThreeLanes(t *testing.T) {
	t.Parallel()
	var spots []Spot
	for i, at := range []float64{37.91, 41.26, 42.04, 45.86, 46.2, 47.93} {
		spots = append(spots, Spot{Mark: Mark{Label: fmt.Sprint("P", i), Text: fmt.Sprint(at), Value: fmt.Sprint(at)}})
	}
	flags, lanes := flagSpots(newAxis("", 31, 58), spots)
	if lanes != 3 || len(flags) != 6 {
		t.Fatalf("%d flags in %d lanes", len(flags), lanes)
	}
	for _, f := range flags {
		if f.End != (f.at < 43) || f.LineTop > f.TextY {
			t.Errorf("the label at %v stands badly: %+v", f.at, f)
		}
	}
}

func TestSpotsWithoutValueAreNotDrawn(t *testing.T) {
	t.Parallel()
	for _, bad := range []string{"", "NaN", "Inf", "-Inf", "1e16", "1e400", "twelve", strconv.Itoa(1 << 62)} {
		if flags, lanes := flagSpots(newAxis("", 0, 1), []Spot{{Mark: Mark{Label: "price", Value: bad}}}); len(flags) != 0 || lanes != 0 {
			t.Errorf("%q is drawn", bad)
		}
	}
}
