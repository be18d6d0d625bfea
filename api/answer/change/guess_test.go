package change

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/making/guess"
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
	shelf := shelfOf(t, []byte(knobBook))
	thread := cutOf("thread", map[string]string{"depth": "15"})
	m6, _, err := rates.ThreadOf("m6")
	thread.Thread = m6
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
	if want := []string{"brass", "TURNING-R0.8", "DRILL-5.3", "TAP-M6X1-15", "KNURLING-1", "PARTING-2"}; !slices.Equal(ids, want) {
		t.Errorf("there come %v, want %v", ids, want)
	}
	part := saved[0].Value.Interface().(bom.Part)
	if f := part.Routing[0].Features; len(f) != 8 || f[4].Name != "hole 5, core of M6" || f[4].DiameterMM.Likely.String() != "5" || f[4].DepthMM.Likely.String() != "20" || f[7].Kind != bom.PartOff || !part.FirstGuess.FeaturesEntered {
		t.Errorf("cut are %+v", f)
	}
}

// TestOneHour: another hour goes to the machine of a part and to each that took it over, also one
// that comes with the same answer, and to none that has a wage of its own; where it is worked out
// from answers, the machine that comes names them as its wage.
func TestOneHour(t *testing.T) {
	t.Parallel()
	hour := bom.Whole(60)
	across := cutOf("hole", map[string]string{"diameter": "3", "depth": "12"})
	across.Side = "across:DRILL-PRESS"
	rates := func(book string, said Said) (out []string) {
		saved, err := shelfOf(t, []byte(book)).Answered("KNOB", said)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range saved {
			if w, ok := d.Value.Interface().(rates.WorkCentre); ok {
				for _, n := range []*bom.Number{w.MachineRatePerH, w.LabourRatePerH} {
					if n != nil {
						out = append(out, d.ID+" "+n.Likely.String())
					}
				}
				if w.Wage != "" {
					out = append(out, d.ID+" "+string(w.Wage))
				}
			}
		}
		return out
	}
	routed := strings.NewReplacer("labour_rate_per_h: 0}]", `labour_rate_per_h: 0}, {id: PRESS, name: press, machine_rate_per_h: 3, labour_rate_per_h: 58}, {id: BENCH, name: bench, machine_rate_per_h: 1, labour_rate_per_h: 30}]`).Replace(knobBook) +
		"    routing: [{number: 10, name: turn, kind: machining, work_centre: LATHE}, {number: 15, name: drill, kind: machining, work_centre: PRESS, piece_min: 1}, {number: 20, name: hands, kind: manual, work_centre: BENCH}]\n"
	owned := strings.Replace(knobBook, "machine_rate_per_h: 58, labour_rate_per_h: 0}]", "own_hour: me}]\nwages: [{id: me, name: me, pay_per_year: 30000, hours_per_year: 1000}]", 1)
	for what, c := range map[string]struct {
		got, want []string
	}{
		"another hour":            {rates(routed, Said{Hour: &hour}), []string{"LATHE 60", "LATHE 0", "PRESS 3", "PRESS 60"}},
		"with a hole":             {rates(knobBook, Said{Hour: &hour, Cuts: []Cut{across}}), []string{"LATHE 60", "LATHE 0", "DRILL-PRESS 60"}},
		"worked out, with a hole": {rates(owned, Said{Cuts: []Cut{across}}), []string{"DRILL-PRESS me"}},
	} {
		if !slices.Equal(c.got, c.want) {
			t.Errorf("%s: %q, want %q", what, c.got, c.want)
		}
	}
	if _, err := shelfOf(t, []byte(owned)).Answered("KNOB", Said{Hour: &hour}); answer.CodeOf(err) != answer.Conflict {
		t.Errorf("an hour that is worked out is entered: %v", err)
	}
}

// TestOutsideOfAnyMaterial: with the tools that come, the outside of a part is cut, finished and
// broken at its edges in each material that ships, and a turned part faced on its second side:
// nothing is missing.
func TestOutsideOfAnyMaterial(t *testing.T) {
	t.Parallel()
	for way, sizes := range map[bom.Way]string{bom.Turned: "length_mm: 22, diameter_mm: 20", bom.Milled: "length_mm: 80, width_mm: 50, thickness_mm: 10", bom.Cut: "length_mm: 80, width_mm: 50, thickness_mm: 10"} {
		for _, material := range rates.ReferenceMaterialNames() {
			text := strings.NewReplacer("way: turned, material: brass", "way: "+string(way)+", material: "+string(material), "length_mm: 22, diameter_mm: 20", sizes).Replace(knobBook)
			shelf := shelfOf(t, []byte(text))
			saved, err := shelf.Answered("KNOB", Said{All: true, Second: true})
			if err != nil {
				t.Fatal(err)
			}
			part := saved[0].Value.Interface().(bom.Part)
			if second := slices.ContainsFunc(part.Routing, func(o bom.Operation) bool { return o.Name == "second side" }); second != (way == bom.Turned) {
				t.Errorf("%s: a second side: %t", way, second)
			}
			est, err := estimate.Build(shelf.With(saved).Book, []estimate.MixLine{{Part: "KNOB", Quantity: bom.Whole(100)}}, "2026-11-25")
			if err != nil {
				t.Fatal(err)
			}
			if missing := est.Graph.Standing(nil).Missing(est.Variants[0].Full); len(missing) > 0 {
				t.Errorf("%s of %s lacks %s", way, material, missing[0].Missing)
			}
		}
	}
}

// TestACoreHoleIsCutOnce: a hole on the side of a thread, of the size of its core hole and as
// deep as the thread, is that core hole, whichever is entered first; there are as many as threads.
func TestACoreHoleIsCutOnce(t *testing.T) {
	t.Parallel()
	hole := func(diameter, depth, count, side string) Cut {
		c := cutOf(guess.Hole, map[string]string{"diameter": diameter, "depth": depth, "count": count})
		c.Side = side
		return c
	}
	thread := func(depth, count, side string) Cut {
		c := cutOf(guess.Thread, map[string]string{"depth": depth, "count": count})
		c.Side = side
		c.Thread, _, _ = rates.ThreadOf("M6")
		return c
	}
	const press = "across:DRILL-PRESS"
	for want, saves := range map[string][][]Cut{
		"1 hole 5, core of M6 15, 1 thread M6, pitch 1 12":                         {{hole("5", "15", "1", ""), thread("12", "1", "")}},
		"1 hole 5, core of M6 14.4, 1 thread M6, pitch 1 12":                       {{hole("5", "12", "1", "")}, {thread("12", "1", "")}},
		"1 hole 5.1, core of M6 15, 1 thread M6, pitch 1 12":                       {{thread("12", "1", "")}, {hole("5.1", "15", "1", "")}},
		"4 hole 5, core of M6 15, 4 thread M6, pitch 1 12, 2 hole 5 15":            {{thread("12", "4", "")}, {hole("5", "15", "6", "")}},
		"2 hole 5, core of M6 15, 2 core hole of M6 14.4, 4 thread M6, pitch 1 12": {{hole("5", "15", "2", "")}, {thread("12", "4", "")}},
		"1 hole 5, core of M6 15, 1 thread M6, pitch 1 12, 1 hole 5 15":            {{hole("5", "15", "1", ""), thread("12", "1", "")}, {hole("5", "15", "1", "")}},
		"1 hole 5 11.9, 1 core hole of M6 14.4, 1 thread M6, pitch 1 12":           {{hole("5", "11.9", "1", ""), thread("12", "1", "")}},
		"1 hole 5.2 15, 1 core hole of M6 14.4, 1 thread M6, pitch 1 12":           {{hole("5.2", "15", "1", ""), thread("12", "1", "")}},
		"1 core hole of M6 14.4, 1 thread M6, pitch 1 12, 1 hole 5 across 15":      {{hole("5", "15", "1", press), thread("12", "1", "")}},
		"1 hole 5, core of M6 across 15, 1 thread M6, pitch 1 across 12":           {{hole("5", "15", "1", press)}, {thread("12", "1", press)}},
		"1 hole 5 15, 1 turned down for M6 12, 1 thread M6, pitch 1 12":            {{hole("5", "15", "1", ""), thread("12", "1", "outside")}},
	} {
		shelf := shelfOf(t, []byte(knobBook))
		for _, cuts := range saves {
			saved, err := shelf.Answered("KNOB", Said{Cuts: cuts})
			if err != nil {
				t.Fatal(err)
			}
			shelf = shelf.With(saved)
		}
		part, _ := shelf.Book.Part("KNOB")
		var got []string
		ids := map[bom.ID]bool{}
		for _, o := range part.Routing {
			for _, f := range o.Features {
				ids[f.ID] = true
				got = append(got, fmt.Sprint(f.Count.Likely, " ", f.Name, " ", cmp.Or(f.DepthMM, f.LengthMM).Likely))
			}
		}
		if strings.Join(got, ", ") != want || len(ids) != len(got) {
			t.Errorf("cut are %s with %d ids, want %s", strings.Join(got, ", "), len(ids), want)
		}
	}
}

// TestTakenAway: a feature goes by itself, a thread with the core hole that it brought, a
// clamping with the last that is cut in it; without any the rest on the machine is not entered either,
// and is asked whole.
func TestTakenAway(t *testing.T) {
	t.Parallel()
	shelf := shelfOf(t, []byte(knobBook))
	thread := cutOf(guess.Thread, map[string]string{"depth": "12"})
	thread.Thread, _, _ = rates.ThreadOf("M6")
	across := cutOf(guess.Hole, map[string]string{"diameter": "3", "depth": "8"})
	across.Side = "across:MILL-SMALL"
	say := func(said Said) *bom.Part {
		saved, err := shelf.Answered("KNOB", said)
		if err != nil {
			t.Fatal(err)
		}
		shelf = shelf.With(saved)
		part, _ := shelf.Book.Part("KNOB")
		return part
	}
	say(Said{Cuts: []Cut{cutOf(guess.Hole, map[string]string{"diameter": "5", "depth": "15"}), thread, thread, across}})
	if w, _ := shelf.Book.WorkCentre("MILL-SMALL"); w == nil || w.LabourRatePerH.Likely.String() != "58" {
		t.Errorf("the mill that came: %+v", w)
	}
	part := say(Said{Guesses: []GuessAnswer{{guess.RestMin, bom.Whole(1)}}})
	if rest := RestOf(part); rest == nil || rest.Likely.String() != "1" {
		t.Errorf("said of the rest: %v", rest)
	}
	away := func(name string) string {
		for _, o := range part.Routing {
			for _, f := range o.Features {
				if f.Name == name {
					return fmt.Sprint(o.Number, "/", f.ID)
				}
			}
		}
		t.Fatalf("there is no %s", name)
		return ""
	}
	for _, step := range []struct{ gone, left string }{
		{"hole 3 across", "hole 5, core of M6; thread M6, pitch 1; core hole of M6; thread M6, pitch 1"},
		{"thread M6, pitch 1", "hole 5; core hole of M6; thread M6, pitch 1"},
		{"thread M6, pitch 1", "hole 5"},
		{"hole 5", ""},
	} {
		part = say(Said{Away: away(step.gone)})
		var left []string
		for _, o := range part.Routing {
			for _, f := range o.Features {
				left = append(left, f.Name)
			}
		}
		if got := strings.Join(left, "; "); got != step.left || len(part.Routing) != 3 {
			t.Errorf("without %s there are %s in %d operations, want %s", step.gone, got, len(part.Routing), step.left)
		}
	}
	if asked := Questions(shelf.Book, part); RestOf(part) != nil || part.Routing[0].HandlingMin != nil || asked[0].Field != guess.PieceMin {
		t.Errorf("asked first is %+v", asked)
	}
	if _, err := shelf.Answered("KNOB", Said{Away: "10/1-hole-5"}); answer.CodeOf(err) != answer.Conflict {
		t.Errorf("what is not there, taken away: %v", err)
	}
}

// TestAHoleStaysWithoutItsThread: a hole that was entered, and is the core hole of a thread, stays
// when the thread goes, whichever was said first, or both in one form.
func TestAHoleStaysWithoutItsThread(t *testing.T) {
	t.Parallel()
	hole, thread := cutOf(guess.Hole, map[string]string{"diameter": "5", "depth": "15"}), cutOf(guess.Thread, map[string]string{"depth": "12"})
	thread.Thread, _, _ = rates.ThreadOf("M6")
	for order, saves := range [][]Said{
		{{Cuts: []Cut{hole}}, {Cuts: []Cut{thread}, All: true}}, {{Cuts: []Cut{thread}}, {Cuts: []Cut{hole}, All: true}},
		{{Cuts: []Cut{thread}, All: true}, {Cuts: []Cut{hole}}}, {{Cuts: []Cut{hole, thread}, All: true}}, {{Cuts: []Cut{thread, hole}}},
	} {
		shelf := shelfOf(t, []byte(knobBook))
		for _, said := range append(saves, Said{}) {
			part, _ := shelf.Book.Part("KNOB")
			if said.Cuts == nil {
				op := &part.Routing[0]
				said.Away = "10/" + string(op.Features[slices.IndexFunc(op.Features, func(f bom.Feature) bool { return f.Kind == bom.Tap })].ID)
			}
			saved, err := shelf.Answered("KNOB", said)
			if err != nil {
				t.Fatal(err)
			}
			shelf = shelf.With(saved)
		}
		part, _ := shelf.Book.Part("KNOB")
		var drilled []string
		for _, f := range part.Routing[0].Features {
			if f.Kind == bom.Drill || f.Kind == bom.Tap {
				drilled = append(drilled, fmt.Sprint(f.Name, " ", f.DiameterMM.Likely, " ", f.DepthMM.Likely))
			}
		}
		if got := strings.Join(drilled, ", "); got != "hole 5 5 15" {
			t.Errorf("order %d: left are %s", order, got)
		}
	}
}

// TestScrapIsFoundLast: pieces lost have all work of the shop in them, and are neither finished
// outside nor packed.
func TestScrapIsFoundLast(t *testing.T) {
	t.Parallel()
	shelf := shelfOf(t, []byte(knobBook))
	for _, said := range []Said{{Finish: "finish-nickel"}, {Entered: map[bom.Matter]bom.Number{bom.Packing: bom.Whole(1), bom.Scrap: bom.Whole(3)}}} {
		saved, err := shelf.Answered("KNOB", said)
		if err != nil {
			t.Fatal(err)
		}
		shelf = shelf.With(saved)
	}
	part, _ := shelf.Book.Part("KNOB")
	for _, o := range part.Routing {
		if got := o.Yield != nil && o.Yield.Likely.String() == "0.97"; got != (o.Kind == bom.Inspection) {
			t.Errorf("%s: yield %v", o.Name, o.Yield)
		}
	}
}

// TestPackingStaysLast: a finish that is said after the packing comes before it, by its number too.
func TestPackingStaysLast(t *testing.T) {
	t.Parallel()
	shelf := shelfOf(t, []byte(knobBook))
	for _, said := range []Said{{Entered: map[bom.Matter]bom.Number{bom.Packing: bom.Whole(1)}}, {Finish: "finish-nickel"}} {
		saved, err := shelf.Answered("KNOB", said)
		if err != nil {
			t.Fatal(err)
		}
		shelf = shelf.With(saved)
	}
	part, _ := shelf.Book.Part("KNOB")
	n := len(part.Routing)
	if n < 3 || part.Routing[n-2].Kind != bom.Outside || part.Routing[n-1].Kind != bom.Packs {
		t.Errorf("%+v", part.Routing)
	}
	for i := range n - 1 {
		if part.Routing[i].Number >= part.Routing[i+1].Number {
			t.Errorf("operation %d stands before %d", part.Routing[i].Number, part.Routing[i+1].Number)
		}
	}
}

// TestMovesTakeMinutes: moves between cuts are minutes of a piece, entered once for all its
// clampings; where the rest on the machine is said with them it holds them.
func TestMovesTakeMinutes(t *testing.T) {
	t.Parallel()
	shelf := shelfOf(t, []byte(knobBook))
	cut, err := shelf.Answered("KNOB", Said{Cuts: []Cut{cutOf(guess.Hole, map[string]string{"diameter": "5", "depth": "15"})}, All: true})
	if err != nil {
		t.Fatal(err)
	}
	shelf = shelf.With(cut)
	moves := map[bom.Matter]bom.Number{bom.Moves: bom.Whole(2)}
	for _, c := range []struct {
		said  Said
		moves string
	}{{Said{Entered: moves}, "2"}, {Said{Entered: moves, Guesses: []GuessAnswer{{guess.RestMin, bom.Whole(1)}}}, "none"}} {
		saved, err := shelf.Answered("KNOB", c.said)
		if err != nil {
			t.Fatal(err)
		}
		part := saved[0].Value.Interface().(bom.Part)
		got := "none"
		if n := part.Routing[0].PositioningMin; n != nil {
			got = n.Likely.String()
		}
		with := shelf.With(saved)
		_, at := with.Book.Part("KNOB")
		asked := slices.ContainsFunc(answer.NotCountedPart(with.Book, at), func(n answer.NotCounted) bool { return n.What == string(bom.Moves) && !n.Answered() })
		if got != c.moves || asked {
			t.Errorf("moves of %s min, want %s; asked again: %t", got, c.moves, asked)
		}
	}
}

// TestALayerChangesThreads: a coated thread is told until somebody says that it is masked; an
// outer one is held against its play with the layer said: 4 × 10 µm are more than the 26 µm that
// M6 leaves, 4 × 5 µm are not. A finish without a layer has none. Figures are those of the graph.
func TestALayerChangesThreads(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		side, finish, layer, want string
	}{
		{"", "finish-nickel", "", "nickel plating, usually of 10 µm, takes 40 µm off the pitch diameter of the inner thread M6: cut it that much larger (ask your plater"},
		{"", "finish-nickel", "5", "nickel plating of 5 µm takes 20 µm off the pitch diameter of the inner thread M6"},
		{"outside", "finish-nickel", "", "usually of 10 µm, adds 40 µm to the pitch diameter of the outer thread M6: cut it that much smaller"},
		{"outside", "finish-nickel", "10", "cut the thread smaller or coat thinner"}, {"outside", "finish-nickel", "5", ""}, {"", "finish-blasting", "", ""},
	} {
		shelf := shelfOf(t, []byte(knobBook))
		thread := cutOf(guess.Thread, map[string]string{"depth": "12"})
		thread.Side = c.side
		thread.Thread, _, _ = rates.ThreadOf("M6")
		said := Said{Finish: bom.ID(c.finish)}
		if c.layer != "" {
			layer := bom.Exactly(decimal.RequireFromString(c.layer))
			said.Layer = &layer
		}
		for _, said := range []Said{{Cuts: []Cut{thread}}, said} {
			saved, err := shelf.Answered("KNOB", said)
			if err != nil {
				t.Fatal(err)
			}
			shelf = shelf.With(saved)
		}
		e, err := answer.Of(shelf.Book).Evaluate(t.Context(), []estimate.MixLine{{Part: "KNOB", Quantity: bom.Whole(100)}}, "2026-11-25")
		if err != nil {
			t.Fatal(err)
		}
		var told []string
		for _, f := range answer.NewReader(e.Estimate.Graph, e.Values).Findings([]graph.ID{e.Estimate.Variants[0].Full}) {
			if f.Severity == "warning" && !strings.HasSuffix(f.Key, "/"+estimate.Guessed) {
				told = append(told, f.Message)
			}
		}
		if len(told) > 1 || strings.Join(told, "") == "" != (c.want == "") || !strings.Contains(strings.Join(told, ""), c.want) {
			t.Errorf("%v: told %q", c, told)
		}
	}
	layer := bom.Whole(5)
	if _, _, err := finished(&book.Book{}, bom.Part{Number: "P", FirstGuess: &bom.FirstGuess{Material: "brass"}}, "finish-blasting", &layer); answer.CodeOf(err) != answer.Invalid {
		t.Errorf("a layer of blasting: %v", err)
	}
}

// TestAPlaterAsksByThePiece: a price by the piece goes in the place of that by area, and the finish is the
// shop's own once the least charge is said too.
func TestAPlaterAsksByThePiece(t *testing.T) {
	t.Parallel()
	shelf := shelfOf(t, []byte(knobBook))
	price := bom.Exactly(decimal.RequireFromString("0.35"))
	for _, said := range []Said{{Finish: "finish-nickel-barrel"}, {Guesses: []GuessAnswer{{guess.PiecePrice, price}, {guess.LeastCharge, bom.Whole(60)}}}} {
		saved, err := shelf.Answered("KNOB", said)
		if err != nil {
			t.Fatal(err)
		}
		shelf = shelf.With(saved)
	}
	p, _ := shelf.Book.Process("finish-nickel-barrel")
	if p.AreaPrice != nil || p.PiecePrice == nil || p.PiecePrice.Likely.String() != "0.35" || p.Source != "" {
		t.Errorf("the finish is %+v", p)
	}
	if _, err := shelf.Answered("KNOB", Said{Guesses: []GuessAnswer{{guess.PiecePrice, price}}}); answer.CodeOf(err) != answer.Conflict {
		t.Errorf("answered again: %v", err)
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
	shelf := shelfOf(t, []byte(strings.Replace(knobBook, "work_centres: [", "work_centres: [{id: MILL, name: mill}, ", 1)))
	part, _ := shelf.Book.Part("KNOB")
	sides := ShapesOf(shelf.Book, part)[0].Sides
	if want := []string{"", "across:MILL", "across:DRILL-PRESS", "across:LATHE"}; len(sides) != len(want) || !slices.EqualFunc(sides, want, func(s CutSide, w string) bool { return s.Value == w }) {
		t.Fatalf("offered are %v", sides)
	}
	alone := shelfOf(t, []byte(knobBook))
	if sides := ShapesOf(alone.Book, part)[0].Sides; len(sides) != 4 || sides[2].Words != "across the axis, at a mill (comes with the program)" {
		t.Errorf("a shop without a mill is offered %v", sides)
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
			if w := saved[press].Value.Interface().(rates.WorkCentre); w.LabourRatePerH == nil || w.LabourRatePerH.Likely.String() != "58" || w.SpindleMaxPerMin == nil || w.SpindleMaxPerMin.Likely.String() != "3000" || !strings.HasPrefix(w.HourRate.Source, "starter machine-drill-press") {
				t.Errorf("the drill press: %+v", w)
			}
		}
	}
}
