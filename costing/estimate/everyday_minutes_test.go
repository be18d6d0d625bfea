package estimate_test

import (
	"fmt"
	"math"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
)

// madeStep is what the shop takes for a step: minutes of the machine by piece, and
// the features behind it with their tools, for the eye.
type madeStep struct {
	minutes float64
	how     string
}

// madeIn prices a part alone, a hundred pieces, and gives the minutes of the
// machine by step and in all. A tool change falls on the step that first uses the
// tool in its operation.
func madeIn(t *testing.T, b *book.Book, part *bom.Part) (steps map[bom.ID]madeStep, cycle float64) {
	t.Helper()
	all := 0.0
	s := evaluate(t, build(t, b, []estimate.MixLine{{Product: "one-" + part.Number, Trim: part.Number, Quantity: bom.Whole(100)}}), nil)
	steps = map[bom.ID]madeStep{}
	for _, op := range part.Routing {
		key := fmt.Sprintf("part/%s/op/%d/", part.Number, op.Number)
		cycle += s.minutes(key+"piece-time") + s.minutes(key+"load-time") - s.minutes(key+"handling") - s.minutes(key+"worn-edge")
		change, used := 0.0, map[bom.ID]bool{}
		if changes := s.minutes(key + "tool-changes"); changes > 0 {
			change = changes / s.minutes(key+"tools-used")
		}
		for i := range op.Features {
			f := &op.Features[i]
			at := key + "feature/" + string(f.ID) + "/"
			tool, m := s.toolOf(b, at), steps[stepOf(f)]
			cut, move := s.minutes(at+"cutting"), s.minutes(at+"positioning")
			if !used[tool] {
				cut += change
			}
			m.minutes += cut + move
			used[tool] = true
			all += cut + move
			m.how += fmt.Sprintf(" %s %.2f + %.2f", tool, cut, move)
			steps[stepOf(f)] = m
		}
		all += s.minutes(key + "positioning-entered")
	}
	if math.Abs(all-cycle) > 1e-9 {
		t.Errorf("the steps of %s take %g min, and its cycle %g", part.Number, all, cycle)
	}
	return steps, cycle
}

// minutes is a figure, and nothing where the estimate has none.
func (s sheet) minutes(key string) float64 {
	if !s.Has(key) {
		return 0
	}
	m, _ := s.key(key).Float64()
	return m
}

// toolOf is the tool that a feature is cut with.
func (s sheet) toolOf(b *book.Book, feature string) bom.ID {
	for _, tool := range b.Tools {
		chosen := feature + "chosen/" + string(tool.ID)
		if s.Has(chosen) && s.key(chosen).Sign() > 0 || s.Has(feature+"with/"+string(tool.ID)+"/cutting") && !s.Has(feature+"tool") {
			return tool.ID
		}
	}
	return ""
}

// The bounds within which the product must agree with the estimator.
const (
	partFactor = 1.5
	stepFactor = 2
)

// apart names each part that is further from its estimate than partFactor, and each
// step that is further than stepFactor, with the reason. None is named in vain.
var apart = map[string]string{
	"enclosure/contour": "the estimator takes two depths of 14 mm and a finish at 0.6 of the feed; priced are one of 28 mm, since 1.8 mm is little for a mill of 16, and a finish at the full feed: shops do both",
	"pin/turn-d4":       "the estimator roughs and finishes at half the usual feed, since the pin is slender; the drawing asks no finish of this length, so that one cut at the usual feed is priced: two seconds less",

	"bush/undercut":            "the estimator feeds slowly into the corner, with the finishing tool; priced is a short profile at the usual feed: two seconds less",
	"spindle/undercut":         "as the undercut of the bush",
	"lug/face-1":               "the estimator takes 1.5 mm at once at 0.12 mm a tooth and 55 m/min, the rows of titanium 1 mm at 0.08 and 45, from memory: twice the passes, and half the feed",
	"lug/face-2":               "as the first face of the lug",
	"lug/bore-d20":             "the estimator mills titanium at 70 m/min and 0.05 mm a tooth; the row, of four sources, has 55 and 0.036",
	"lug/countersink":          "the estimator runs a countersink of high-speed steel at 20 m/min, this shop a chamfer mill of carbide",
	"lug/mark":                 "seven of the estimator's 15 seconds are the door, the start and moves of the field, which the operation has and not the characters",
	"pivot-bracket/saw":        "the estimator saws S355 at 15 cm² a minute, the tables read give 42 to 75: a small saw is a row of the shop's own",
	"spindle/saw":              "as the saw cut of the bracket",
	"thumb-screw/chamfer-head": "the estimator counts half an index for the tool that comes in again; a tool change falls on the step that first uses it",
	"thumb-screw/part-off":     "the estimator counts a catcher of 2.4 s and slows down at the centre",
	"thumb-screw/polish":       "2.7 cm² take ten seconds by their area; the estimator adds taking up, chucking and wiping",
	"window/polish":            "the estimator sands an edge of acrylic clear by hand, with wet paper; priced is bright polishing by area",
}

// TestEveryday compares the minutes of the machine with what the estimator said.
func TestEveryday(t *testing.T) {
	t.Parallel()
	b := everyday(t)
	steps, farSteps, farParts, ratios := 0, 0, 0, 0.0
	for i := range b.Parts {
		part := &b.Parts[i]
		d := drawingOf(t, part.Number)
		made, cycle := madeIn(t, b, part)
		ratios += math.Log(cycle / d.CycleMin.Likely.InexactFloat64())
		farParts += compared(t, string(part.Number), cycle, d.CycleMin, partFactor, "")
		for _, step := range d.Steps {
			m := made[step.ID]
			steps++
			farSteps += compared(t, string(part.Number)+"/"+string(step.ID), m.minutes, step.Minutes, stepFactor, m.how)
		}
	}
	// All together they neither run over nor under.
	if mean := math.Exp(ratios / float64(len(b.Parts))); mean < 0.85 || mean > 1.15 {
		t.Errorf("the geometric mean of product ÷ estimate is %.3f", mean)
	}
	if farSteps*10 > steps || farSteps+farParts != len(apart) {
		t.Errorf("%d of %d steps and %d parts are further apart than they may be; %d are named", farSteps, steps, farParts, len(apart))
	}
}

// compared writes a line of the table, and gives one where the minutes made are
// further from those said than a factor; that must be named with its reason.
func compared(t *testing.T, name string, made float64, minutes bom.Number, factor float64, how string) int {
	t.Helper()
	said := minutes.Likely.InexactFloat64()
	ratio := made / said
	t.Logf("%-27s %7.2f min, %7.2f said, ratio %.2f%s", name, made, said, ratio, how)
	far := ratio > factor || ratio*factor < 1
	if _, named := apart[name]; far != named {
		t.Errorf("%s takes %.2f min, the estimator said %.2f: named as further apart than a factor of %g: %v", name, made, said, factor, named)
	}
	if far {
		return 1
	}
	return 0
}
