package guess_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/making/guess"
)

// TestOutlineIsWhatTheBlankHasTooMuch: the outside of a part that is cut into nothing else
// goes once round it at what the blank is wider to a side, and takes half of what it is
// longer or thicker off each face; a plate has its faces already. The last 0.2 mm are a pass
// of their own, edges are broken, and a second side is faced in a clamping of its own.
func TestOutlineIsWhatTheBlankHasTooMuch(t *testing.T) {
	t.Parallel()
	size := func(text string) *bom.Number { n := bom.Exactly(decimal.RequireFromString(text)); return &n }
	flat := bom.Envelope{LengthMM: size("80"), WidthMM: size("50"), ThicknessMM: size("10")}
	for way, c := range map[bom.Way]struct {
		of   bom.Envelope
		want string
	}{
		bom.Turned: {bom.Envelope{LengthMM: size("22"), DiameterMM: size("20")}, "face_turn 21 across, 2 deep; turn 21 across to 20, 22 long; 2 × turn_profile 20 across to 19.4, 0.3 long; part_off 21 across; then face_turn 20 across"},
		bom.Milled: {flat, "2 × face 80 long, 50 wide, 1.8 deep; 2 × finish_face 80 long, 50 wide, 0.2 deep; contour 260 round, 2.3 wide, 10 deep; contour 260 round, 0.2 wide, 10 deep; 2 × chamfer 260 round, 0.3 wide"},
		bom.Cut:    {flat, "contour 260 round, 3.8 wide, 10 deep; contour 260 round, 0.2 wide, 10 deep; 2 × chamfer 260 round, 0.3 wide"},
	} {
		def := &bom.Part{Number: "P", Kind: bom.Made, Finished: &c.of, FirstGuess: &bom.FirstGuess{Way: way, WorkCentre: "M"}}
		out, err := guess.CutInto(def, nil, true, way == bom.Turned, nil)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, f := range slices.Concat(out.Routing[0].Features, out.Routing[1].Features) {
			text := string(f.Kind)
			if f.Name == "second face" {
				text = "then " + text
			}
			if f.Count != nil {
				text = f.Count.Likely.String() + " × " + text
			}
			var sizes []string
			for _, s := range []struct {
				n    *bom.Number
				said string
			}{{f.PathMM, "round"}, {f.DiameterMM, "across"}, {f.LengthMM, "long"}, {f.WidthMM, "wide"}, {f.DepthMM, "deep"}} {
				if s.n != nil {
					sizes = append(sizes, fmt.Sprintf("%s %s", s.n.Likely, s.said))
				}
			}
			if f.ToDiameterMM != nil {
				sizes[0] += " to " + f.ToDiameterMM.Likely.String()
			}
			got = append(got, text+" "+strings.Join(sizes, ", "))
		}
		if said := strings.Join(got, "; "); said != c.want {
			t.Errorf("%s: %s, want %s", way, said, c.want)
		}
		for _, c := range []struct {
			to   guess.Surface
			want string
		}{{guess.Surface{All: size("3.2")}, "3.2 3.2 3.2"}, {guess.Surface{Face: size("0.8")}, "0.8 3.2 3.2"}, {guess.Surface{All: size("6.3")}, "0.8 6.3 6.3"}, {guess.Surface{All: size("0.4"), Face: size("0.4")}, "0.4 0.4 0.4"}, {guess.Surface{All: size("0.8")}, "0.8 0.8 0.8"}} {
			if out, err = guess.CutInto(&out, nil, false, false, &c.to); err != nil || way == bom.Turned && finished(&out) != c.want {
				t.Errorf("%s: finished to %s, want %s: %v", way, finished(&out), c.want, err)
			}
		}
		if !out.FirstGuess.FeaturesEntered || def.FirstGuess.FeaturesEntered {
			t.Errorf("%s: that nothing else is cut is kept with the part that was asked, or not at all", way)
		}
	}
}

// TestCheckingApart: minutes by hand hold checking only while no operation of its own checks; one
// that says what it measures is not guessed.
func TestCheckingApart(t *testing.T) {
	t.Parallel()
	p := &bom.Part{Number: "P", Kind: bom.Made, FirstGuess: &bom.FirstGuess{Way: bom.Turned, WorkCentre: "M"}}
	asked := func(p *bom.Part) (out []string) {
		for _, q := range guess.Questions(p) {
			out = append(out, q.Field)
		}
		return out
	}
	apart, _ := guess.Answered(p, guess.HandMin, bom.Whole(1))
	if len(apart.NotCounted) > 0 || slices.Contains(asked(&apart), guess.HandMin) || !slices.Contains(asked(&apart), guess.CheckMin) {
		t.Errorf("apart: %v is asked, and said is %v", asked(&apart), apart.NotCounted)
	}
	apart.Routing[2].Characteristics = []bom.Characteristic{{}}
	if slices.Contains(asked(&apart), guess.CheckMin) {
		t.Error("what is measured is guessed")
	}
	both := *guess.Routed(p)
	both.Routing = both.Routing[:2]
	if both, _ = guess.Answered(&both, guess.HandMin, bom.Whole(1)); len(both.NotCounted) != 1 || both.NotCounted[0].What != bom.Checking {
		t.Errorf("together: %v", both.NotCounted)
	}
}

// TestWhatAQuestionTakes: an answer goes where it is asked, to the other field of the question, and
// prices of a finisher may be kept.
func TestWhatAQuestionTakes(t *testing.T) {
	t.Parallel()
	least, area := guess.Question{Field: guess.LeastCharge}, guess.Question{Field: guess.AreaPrice, Or: guess.PiecePrice}
	for _, c := range []struct {
		q     guess.Question
		field string
		takes bool
	}{{least, guess.LeastCharge, true}, {least, guess.Keep, true}, {least, guess.AreaPrice, false}, {least, "", false}, {area, guess.PiecePrice, true},
		{guess.Question{Field: guess.SetupMin}, guess.Keep, false}} {
		if got := c.q.Takes(c.field); got != c.takes {
			t.Errorf("%s takes %q: %t", c.q.Field, c.field, got)
		}
	}
}

// TestFacedLaterAsRough: a second side that is said later is as rough as what is not said finer.
func TestFacedLaterAsRough(t *testing.T) {
	t.Parallel()
	n := func(text string) *bom.Number { n := bom.Exactly(decimal.RequireFromString(text)); return &n }
	p := &bom.Part{Number: "P", Kind: bom.Made, Finished: &bom.Envelope{LengthMM: n("22"), DiameterMM: n("20")}, FirstGuess: &bom.FirstGuess{Way: bom.Turned, WorkCentre: "M"}}
	first, err := guess.CutInto(p, nil, true, false, &guess.Surface{Face: n("0.8")})
	if err != nil {
		t.Fatal(err)
	}
	out, err := guess.CutInto(&first, nil, false, true, nil)
	if err != nil || finished(&out) != "0.8 1.6 1.6" {
		t.Errorf("finished to %s: %v", finished(&out), err)
	}
	if each := out.Roughnesses(); len(each) != 2 || each[0].Likely.String() != "0.8" {
		t.Errorf("the roughnesses are %v", each)
	}
}

// finished are the roughnesses of the passes of a part, in their order.
func finished(p *bom.Part) string {
	var out []string
	for _, o := range p.Routing {
		for _, f := range o.Features {
			if f.RaUM != nil {
				out = append(out, f.RaUM.Likely.String())
			}
		}
	}
	return strings.Join(out, " ")
}
