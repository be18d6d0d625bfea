package change

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/booktest"
	"kerfbook/costing/rates"
)

const knobBook = `kerfbook: 1
name: shop
country: PT
currency: EUR
rate_cards: [{id: r, from: 2026-01-01, source: x}]
tools: [{id: MINE, name: my drill, kind: drill, grade: hss, diameter_mm: 5, point_angle_deg: 118, reach_mm: 40, source: own}]
work_centres: [{id: LATHE, name: lathe, machine_rate_per_h: 58, labour_rate_per_h: 0}]
parts:
  - number: KNOB
    name: brass knob
    kind: made
    finished: {length_mm: 22, diameter_mm: 20}
    first_guess: {way: turned, material: brass, work_centre: LATHE}
`

func cutOf(shape string, sizes map[string]string) Cut {
	c := Cut{Shape: shape, Sizes: map[string]bom.Number{}}
	for name, size := range sizes {
		c.Sizes[name] = bom.Exactly(decimal.RequireFromString(size))
	}
	return c
}

// TestWhatIsCutBringsItsTools: a tool of the shop goes before a starter tool; one of no
// starter set is made to size and says so; a thread is known by its name; the material comes
// with them, and each says where it is from.
func TestWhatIsCutBringsItsTools(t *testing.T) {
	t.Parallel()
	drafts, err := Split(booktest.Read(t, []byte(knobBook)), nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	shelf := (&Shelf{Book: &book.Book{}}).With(drafts)
	thread := cutOf("thread", map[string]string{"depth": "15"})
	thread.Thread, _, err = rates.ThreadOf("m6")
	if err != nil || thread.Thread.PitchMM.Likely.String() != "1" {
		t.Fatalf("M6 has a pitch of %s: %v", thread.Thread.PitchMM.Likely, err)
	}
	saved, err := shelf.Answered("KNOB", Said{Cuts: []Cut{cutOf("hole", map[string]string{"diameter": "5", "depth": "20"}), cutOf("hole", map[string]string{"diameter": "5.3", "depth": "12"}), thread,
		cutOf("knurl", map[string]string{"depth": "8"})}, All: true})
	if err != nil {
		t.Fatal(err)
	}
	var ids []string
	for _, d := range saved[1:] {
		ids = append(ids, d.ID)
		if written, _ := d.Kind.Write(d.Value); !strings.Contains(string(written), "starter ") && !strings.Contains(string(written), "reference material") {
			t.Errorf("%s does not say where it is from: %s", d.ID, written)
		}
	}
	if want := []string{"brass", "TURNING-R0.8", "PARTING-2", "DRILL-5.3", "TAP-M6X1-15", "KNURLING-1"}; !slices.Equal(ids, want) {
		t.Errorf("there come %v, want %v", ids, want)
	}
	part := saved[0].Value.Interface().(bom.Part)
	if f := part.Routing[0].Features; len(f) != 8 || f[5].Name != "core hole of M6" || f[5].DiameterMM.Likely.String() != "5" || f[5].DepthMM.Likely.String() != "18" || !part.FirstGuess.FeaturesEntered {
		t.Errorf("cut are %+v", f)
	}
}

// TestThreads: a thread is known by what a drawing calls it; its core is the diameter less
// the pitch, to the tenth that drills are made in.
func TestThreads(t *testing.T) {
	t.Parallel()
	for name, want := range map[string]string{"M3": "0.5 2.5", "m 10 x 1": "1 9", "M8×0,75": "0.75 7.25", "M7": "", "6": "", "M6x9": ""} {
		got, known, err := rates.ThreadOf(name)
		if err != nil || known != (want != "") || known && got.PitchMM.Likely.String()+" "+got.CoreMM.Likely.String() != want {
			t.Errorf("%s: %v %+v %v", name, known, got, err)
		}
	}
}

// TestAcrossTheAxis: a hole across the axis of a turned part is drilled in a clamping of its
// own, at a machine of the shop or at a drill press that comes with the hour of the shop; a
// second one there joins it. In the same clamping it is one more feature.
func TestAcrossTheAxis(t *testing.T) {
	t.Parallel()
	drafts, err := Split(booktest.Read(t, []byte(strings.Replace(knobBook, "work_centres: [", "work_centres: [{id: MILL, name: mill}, ", 1))), nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	shelf := (&Shelf{Book: &book.Book{}}).With(drafts)
	part, _ := shelf.Book.Part("KNOB")
	sides := ShapesOf(shelf.Book, part)[0].Sides
	if want := []string{"", "across:MILL", "across:DRILL-PRESS", "across:LATHE"}; len(sides) != len(want) || !slices.EqualFunc(sides, want, func(s CutSide, w string) bool { return s.Value == w }) {
		t.Fatalf("offered are %v", sides)
	}
	hole := func(side string) Cut {
		c := cutOf("hole", map[string]string{"diameter": "4", "depth": "20"})
		c.Side = side
		return c
	}
	for side, want := range map[string]string{"": "10 LATHE", "across:LATHE": "10 LATHE", "across:MILL": "15 MILL", "across:DRILL-PRESS": "15 DRILL-PRESS"} {
		saved, err := shelf.Answered("KNOB", Said{Cuts: []Cut{hole(side), hole(side)}})
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, o := range saved[0].Value.Interface().(bom.Part).Routing {
			if len(o.Features) == 2 && (side == "") != strings.HasSuffix(o.Features[1].Name, "across") {
				got = append(got, fmt.Sprint(o.Number, " ", o.WorkCentre))
			}
		}
		if strings.Join(got, ", ") != want {
			t.Errorf("%s is cut at %v, want %s", side, got, want)
		}
		press := slices.IndexFunc(saved, func(d Draft) bool { return d.ID == string(DrillPress) })
		if (press >= 0) != (side == "across:DRILL-PRESS") {
			t.Errorf("%s: a drill press comes: %t", side, press >= 0)
		} else if press >= 0 {
			if w := saved[press].Value.Interface().(rates.WorkCentre); w.LabourRatePerH == nil || w.LabourRatePerH.Likely.String() != "58" || !strings.HasPrefix(w.HourRate.Source, "starter machine-drill-press") {
				t.Errorf("the drill press: %+v", w)
			}
		}
	}
}
