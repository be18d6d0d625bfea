package estimate_test

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/ask/simulate"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/making/guess"
	"kerfbook/costing/trade"
)

// guessedBook makes a bracket of 60 × 40 × 20 of which nothing more is known.
func guessedBook(t *testing.T, more string) *book.Book {
	t.Helper()
	return smallBook(t, bracketText+more+bracketProduct)
}

const bracketText = `work_centres: [{id: MILL, name: mill, machine_rate_per_h: 45, labour_rate_per_h: 40}]
parts:
  - number: P
    name: bracket
    kind: made
    finished: {length_mm: 60, width_mm: 40, thickness_mm: 20}
    first_guess: {way: milled, material: aluminium-6082, work_centre: MILL}
`

const bracketProduct = `products:
  - {number: X, name: product, positions: [{number: 10, part: P, quantity: 1}], trims: [{id: only, name: Only}]}
`

// TestFirstGuess holds the terms of a bracket against those worked out by hand from the
// likely values: 65 × 45 × 24 mm are 70.2 cm³, of which 0.5 at 32 cm³/min; 0.88 dm² at
// 0.8 min; 16 features of 0.09 min; 6 changes of 0.13 min; 2.3 clampings of 1 min; all of
// it by 0.6. Set-up: 2.3 times 25 min, 6 tools of 3 min, 12 min to the first good piece.
func TestFirstGuess(t *testing.T) {
	t.Parallel()
	s := smallSheet(t, guessedBook(t, ""), 25)
	for key, want := range map[string]float64{
		"roughing-time": 1.096875, "finishing-time": 0.704, "features-time": 1.44, "changes-time": 0.78, "loading-time": 2.3,
		"machine-time": 0.6 * 6.320875, "setup-time": 2.3*25 + 6*3 + 12, "edges-time": 0.48 * 2.2 * 0.8, "stock": 25 * 0.18954 * 6 * 1.08,
	} {
		if got, _ := s.key("part/P/guess/" + key).Float64(); math.Abs(got-want) > 1e-6*want {
			t.Errorf("%s is %g, want %g", key, got, want)
		}
	}
	if n := s.est.Graph.Node(s.ID("starter/milled/share-removed")); n.Op != graph.Range || !n.Source.Unverified {
		t.Errorf("the share removed is no unverified range: %+v", n)
	}
}

// TestEdgesBrokenByATool: 1.2 times the 0.48 m around the bracket are left to break by hand,
// at 0.8 min a metre, of 2.2 times.
func TestEdgesBrokenByATool(t *testing.T) {
	t.Parallel()
	s := smallSheet(t, guessedBook(t, "    routing: [{number: 10, name: mill, kind: machining, work_centre: MILL, features: [{id: E, name: edges, kind: chamfer, path_mm: 200}]}, {number: 20, name: edges, kind: manual, work_centre: MILL}]\n"), 25)
	if got, _ := s.key("part/P/guess/edges-time").Float64(); math.Abs(got-0.48*1.2*0.8) > 1e-9 {
		t.Errorf("edges take %g min", got)
	}
}

// guessedKnob is the part P, turned of brass and guessed at, of a length and a diameter, with
// what puts it on sale.
func guessedKnob(length, diameter, routing string) string {
	return `parts:
  - number: P
    name: knob
    kind: made
    finished: {length_mm: ` + length + `, diameter_mm: ` + diameter + `}
    first_guess: {way: turned, material: brass, work_centre: LATHE}
    routing: [` + routing + `]
` + bracketProduct
}

// TestFurtherClamping holds what two holes across take in a clamping of their own against a second
// account: from the likely values in a vice, loading 0.6 min, moves of 0.035 min a hole (0.025 in
// the chuck that turned it) and one change of 0.13 min a piece, which goes where the machine says
// what it takes; 10 min and 3 min for the drill to set up, 8 and 3.5 in the chuck that turned it.
// What is entered takes its place. The first machining is then one clamping, of 0.2 and 20 min.
func TestFurtherClamping(t *testing.T) {
	t.Parallel()
	guessed := func(at, more string) sheet {
		return smallSheet(t, smallBook(t, `tools: [{id: D, name: drill, kind: drill, grade: hss, diameter_mm: 4, point_angle_deg: 118, reach_mm: 40, source: own}]
materials: [{id: brass, name: brass, density_g_cm3: 8.5}]
work_centres: [{id: LATHE, name: lathe, machine_rate_per_h: 45, labour_rate_per_h: 40}, {id: PRESS, name: press, machine_rate_per_h: 5, labour_rate_per_h: 40}, {id: MILL, name: mill, machine_rate_per_h: 5, labour_rate_per_h: 40, tool_change_s: 6}]
`+guessedKnob("22", "20", `{number: 10, name: turn, kind: machining, work_centre: LATHE}, {number: 15, name: drilling across, kind: machining, work_centre: `+at+`, features: [{id: A, name: hole, kind: drill, diameter_mm: 4, depth_mm: 20}, {id: B, name: hole, kind: drill, diameter_mm: 4, depth_mm: 5}]`+more+`}`)), 25)
	}
	for at, want := range map[string][2]float64{"PRESS": {0.8, 13}, "MILL": {0.67, 13}, "LATHE": {0.78, 11.5}} {
		s := guessed(at, "")
		piece, _ := s.key("part/P/guess/op/15/handling-time").Float64()
		setup, _ := s.key("part/P/guess/op/15/setup-time").Float64()
		if math.Abs(piece-want[0]) > 1e-9 || math.Abs(setup-want[1]) > 1e-9 {
			t.Errorf("at the %s a piece takes %g min and a set-up %g, want %v", at, piece, setup, want)
		}
		if where := s.est.Graph.Node(s.ID("starter/milled/small/loading")).Source.Where; where != "minutes of loading and unloading by hand (starter range, milled part or further clamping, small)" {
			t.Errorf("loading again comes from %q", where)
		}
		if got := s.minutes("part/P/op/15/piece-time"); math.Abs(got-s.minutes("part/P/op/15/cutting")-piece) > 1e-9 {
			t.Errorf("a piece takes %g min", got)
		}
		if loading, set := s.minutes("part/P/guess/loading-time"), s.minutes("part/P/guess/setup-clampings"); math.Abs(loading-0.2) > 1e-9 || math.Abs(set-20) > 1e-9 {
			t.Errorf("the first clamping takes %g min a piece and %g to set up", loading, set)
		}
	}
	if s := guessed("PRESS", ", setup_min: 20, handling_min: 0.5"); s.Has("part/P/guess/op/15/handling-time") || s.Has("part/P/guess/op/15/setup-time") {
		t.Error("what is entered is guessed as well")
	}
}

// TestAHoleAcrossThatMeetsNothing: a hole across that ends before the widest hole along the axis,
// or within the metal where there is none, is told; one to that hole or through is not.
func TestAHoleAcrossThatMeetsNothing(t *testing.T) {
	t.Parallel()
	along := func(diameter string) string {
		return "{id: A, name: hole, kind: drill, diameter_mm: " + diameter + ", depth_mm: 15}"
	}
	for _, c := range []struct {
		along, depth string
		told         bool
	}{{along("5"), "9.5", false}, {along("4"), "9.5", true}, {"", "9.5", true}, {"", "23", true}, {"", "24", false}} {
		s := smallSheet(t, smallBook(t, `work_centres: [{id: LATHE, name: lathe, machine_rate_per_h: 45, labour_rate_per_h: 40}]
`+guessedKnob("18", "24", `{number: 10, name: turn, kind: machining, work_centre: LATHE, features: [`+strings.Join(slices.DeleteFunc([]string{c.along, "{id: B, name: hole 3 across, kind: drill, diameter_mm: 3, depth_mm: " + c.depth + "}"}, func(f string) bool { return f == "" }), ", ")+`]}`)), 25)
		told := slices.ContainsFunc(s.est.Graph.Findings(), func(f graph.Finding) bool { return strings.Contains(f.Message, "hole 3 across ends in the metal") })
		if told != c.told {
			t.Errorf("%s deep beside %q: told %t", c.depth, c.along, told)
		}
	}
}

// TestToolsFollowWhatIsCut: once all that is cut is entered, the tools changed and set up are
// those that the features take, each once; a thread that goes takes its tap along. Until then
// their number is guessed. What is cut by hand takes none, and no moves.
func TestToolsFollowWhatIsCut(t *testing.T) {
	t.Parallel()
	const holes = "{id: A, name: hole, kind: drill, diameter_mm: 5, depth_mm: 15}, {id: B, name: hole, kind: drill, diameter_mm: 5, depth_mm: 5}"
	const thread = ", {id: C, name: thread, kind: tap, diameter_mm: 6, pitch_mm: 1, depth_mm: 12}"
	for _, c := range []struct {
		features, all string
		tools         float64
	}{{holes + thread, "", 6}, {holes + thread, "true", 2}, {holes, "true", 1}, {"{id: D, name: edges, kind: deburr, path_mm: 100, unit_min: 1}", "true", 0}} {
		text := strings.Replace(bracketText, "work_centre: MILL}", "work_centre: MILL, features_entered: "+cmp.Or(c.all, "false")+"}", 1)
		s := smallSheet(t, smallBook(t, `tools: [{id: D5, name: drill, kind: drill, grade: hss, diameter_mm: 5, point_angle_deg: 118, reach_mm: 40, source: own}, {id: T6, name: tap, kind: tap, grade: hss, diameter_mm: 6, pitch_mm: 1, reach_mm: 40, source: own}]
materials: [{id: aluminium-6082, name: aluminium, density_g_cm3: 2.7}]
`+text+"    routing: [{number: 10, name: mill, kind: machining, work_centre: MILL, features: ["+c.features+"]}]\n"+bracketProduct), 25)
		setup, _ := s.key("part/P/guess/setup-time").Float64()
		changes := 0.0
		if c.tools > 0 {
			changes, _ = s.key("part/P/guess/changes-time").Float64()
		}
		if moves := s.Has("part/P/guess/moves-time"); moves != (c.all != "" && c.tools > 0) {
			t.Errorf("%s, all of it: %q: moves are guessed: %t", c.features, c.all, moves)
		}
		if math.Abs(setup-2.3*25-12-3*c.tools) > 1e-9 || math.Abs(changes-0.13*c.tools) > 1e-9 {
			t.Errorf("%s, all of it: %q: a set-up takes %g min and the changes %g, want those of %g tools", c.features, c.all, setup, changes, c.tools)
		}
	}
}

// TestMovesBurrsAndChecking: of a knob whose five cuts are all entered, moves of 0.025 min each
// are guessed while the lathe does not say what they take; 0.25 min of each of two holes across is
// in the work by hand, beside 1.2 times the 0.1257 m of its edges at 0.8 min a metre and, where
// no operation checks, 0.35 min.
func TestMovesBurrsAndChecking(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		lathe, after           string
		moves, byHand, checked float64
	}{
		{"", ", {number: 20, name: edges, kind: manual, work_centre: LATHE}", 0.125, 0.5 + 0.12064 + 0.35, 0},
		{"", ", {number: 20, name: edges, kind: manual, work_centre: LATHE}, {number: 30, name: check, kind: inspection, work_centre: LATHE}", 0.125, 0.5 + 0.12064, 0.35},
		{"", ", {number: 20, name: edges, kind: manual, work_centre: LATHE}, {number: 30, name: check, kind: inspection, work_centre: LATHE, piece_min: 0.1}", 0.125, 0.5 + 0.12064, 0},
		{", rapid_mm_min: 15000", "", 0.125, 0, 0},
		{", rapid_mm_min: 15000, approach_mm: 50", "", 0, 0, 0},
	} {
		s := smallSheet(t, smallBook(t, `tools: [{id: D, name: drill, kind: drill, grade: hss, diameter_mm: 3, point_angle_deg: 118, reach_mm: 40, source: own}, {id: T, name: tool, kind: turning, grade: carbide, nose_radius_mm: 0.4, source: own}]
materials: [{id: brass, name: brass, density_g_cm3: 8.5}]
work_centres: [{id: LATHE, name: lathe, machine_rate_per_h: 45, labour_rate_per_h: 40`+c.lathe+`}]
`+strings.Replace(guessedKnob("22", "20", `{number: 10, name: turn, kind: machining, work_centre: LATHE, features: [{id: A, name: hole, kind: drill, diameter_mm: 3, depth_mm: 20, count: 2}, {id: E, name: edges, kind: turn_profile, diameter_mm: 20, to_diameter_mm: 19, length_mm: 0.5}, {id: B, name: hole 3 across, kind: drill, diameter_mm: 3, depth_mm: 9, count: 2}]}`+c.after), "work_centre: LATHE}", "work_centre: LATHE, features_entered: true}", 1)), 25)
		for key, want := range map[string]float64{"moves-time": c.moves, "hand-time": c.byHand, "check-time": c.checked} {
			got := s.minutes("part/P/guess/" + key)
			if math.Abs(got-want) > 1e-4 {
				t.Errorf("%q, %q: %s is %g, want %g", c.lathe, c.after, key, got, want)
			}
		}
	}
}

// TestFirstGuessGivesWay: what is entered takes the place of its ranges, and nothing of
// a guess is left once all is.
func TestFirstGuessGivesWay(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		what, more string
		keys       map[string]bool
	}{
		{"nothing", "", map[string]bool{"machine-time": true, "setup-time": true, "stock": true, "edges-time": true, "features-left": false}},
		{"a set-up", "    routing: [{number: 10, name: mill, kind: machining, work_centre: MILL, setup_min: 40}]\n",
			map[string]bool{"machine-time": true, "setup-time": false, "stock": true}},
		{"hands without minutes", "    routing: [{number: 10, name: mill, kind: machining, work_centre: MILL, piece_min: 6}, {number: 20, name: edges, kind: manual, work_centre: MILL}]\n",
			map[string]bool{"machine-time": false, "setup-time": true, "stock": true, "edges-time": true}},
		{"a set-up and minutes", "    routing: [{number: 10, name: mill, kind: machining, work_centre: MILL, setup_min: 40, piece_min: 6}, {number: 20, name: edges, kind: manual, work_centre: MILL, piece_min: 1}]\n",
			map[string]bool{"machine-time": false, "setup-time": false, "handling-time": false}},
		{"no hands", "    routing: [{number: 10, name: mill, kind: machining, work_centre: MILL}]\n",
			map[string]bool{"machine-time": true, "setup-time": true, "stock": true, "edges-time": false}},
		{"minutes", "    routing: [{number: 10, name: mill, kind: machining, work_centre: MILL, piece_min: 6}, {number: 20, name: edges, kind: manual, work_centre: MILL, piece_min: 1}]\n",
			map[string]bool{"machine-time": false, "setup-time": true, "stock": true, "edges-time": false}},
		{"a blank", "    blank: {stock: BAR, length_mm: 65}\nstocks: [{id: BAR, name: bar, material: aluminium-6082, form: bar, length_mm: 1000, width_mm: 45, thickness_mm: 25}]\n" +
			"offers: [{for: BAR, supplier: S, unit: piece, currency: EUR, breaks: [{from: 1, price: 30}]}]\n",
			map[string]bool{"machine-time": true, "stock": false}},
	} {
		s := smallSheet(t, guessedBook(t, c.more), 25)
		for key, want := range c.keys {
			if s.Has("part/P/guess/"+key) != want {
				t.Errorf("%s entered: %s is there: %t", c.what, key, !want)
			}
		}
		if full := s.est.Variants[0].Full; s.rat(full).Sign() <= 0 {
			t.Errorf("%s entered: no cost", c.what)
		}
	}
}

// TestPriceOnAFirstGuess: a part is asked what eight of ten batches do not cost more than
// while a first guess stands in it, and its likely cost once there is none.
func TestPriceOnAFirstGuess(t *testing.T) {
	t.Parallel()
	margin, hundred := bom.Exactly(decimal.RequireFromString("0.4")), decimal.New(100, 0)
	b := guessedBook(t, "")
	price := func() estimate.ChannelPrice {
		return priced(t, b, estimate.Alone("P", hundred, &margin)).est.Variants[0].Prices[0]
	}
	if p := price(); p.Def.RestsOn != trade.NotExceeded("80") || p.Added == graph.None {
		t.Errorf("rests on the %s, to which the draws add %v", p.Def.RestsOn.Words(), p.Added)
	}
	part, _ := b.Part("P")
	part.FirstGuess = nil
	if p := price(); p.Def.RestsOn.Drawn() {
		t.Errorf("without a guess: rests on the %s", p.Def.RestsOn.Words())
	}
}

// TestFirstGuessLacks: what a first guess lacks itself is named once, by its cause.
func TestFirstGuessLacks(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ from, to, want string }{
		{"finished: {length_mm: 60, width_mm: 40, thickness_mm: 20}", "mass_g: 1", "outer size of bracket"},
		{"length_mm: 60", "length_mm: 600", "no first guess beyond 300 mm"},
		{"material: aluminium-6082", "material: unobtainium", "material unobtainium"},
	} {
		b := smallBook(t, strings.Replace(bracketText, c.from, c.to, 1)+bracketProduct)
		says(t, lacking(t, b, []estimate.MixLine{{Product: "X", Trim: "only", Quantity: bom.Whole(25)}}), c.want)
	}
}

// made is the way and the outer size of an everyday part, as its drawing has them.
type outer struct {
	way                                bom.Way
	length, width, thickness, diameter string
}

var everydayOutlines = map[bom.ID]outer{
	"knob":           {way: bom.Turned, length: "18", diameter: "24"},
	"hole-plate":     {way: bom.Cut, length: "200", width: "120", thickness: "10"},
	"bracket":        {way: bom.Milled, length: "80", width: "50", thickness: "38"},
	"fin-block":      {way: bom.Milled, length: "60", width: "60", thickness: "29"},
	"enclosure":      {way: bom.Milled, length: "120", width: "80", thickness: "30"},
	"shaft":          {way: bom.Turned, length: "150", diameter: "18"},
	"spacer":         {way: bom.Turned, length: "14", diameter: "18"},
	"engraved-plate": {way: bom.Cut, length: "80", width: "50", thickness: "3"},
	"lens":           {way: bom.Cut, length: "62", width: "62", thickness: "7.6"},
	"shade":          {way: bom.Turned, length: "60", diameter: "78"},
	"panel":          {way: bom.Cut, length: "156", width: "96", thickness: "5"},
	"pin":            {way: bom.Turned, length: "30", diameter: "5"},

	"bearing-block": {way: bom.Milled, length: "80", width: "60", thickness: "30"},
	"bush":          {way: bom.Turned, length: "27", diameter: "30"},
	"clamp-nut":     {way: bom.Turned, length: "22", diameter: "42"},
	"grip-knob":     {way: bom.Turned, length: "24", diameter: "36"},
	"hose-fitting":  {way: bom.Turned, length: "44", diameter: "20"},
	"housing-half":  {way: bom.Milled, length: "110", width: "70", thickness: "22"},
	"lug":           {way: bom.Milled, length: "60", width: "40", thickness: "16"},
	"name-plate":    {way: bom.Cut, length: "100", width: "60", thickness: "3"},
	"pivot-bracket": {way: bom.Milled, length: "100", width: "56", thickness: "18"},
	"spindle":       {way: bom.Turned, length: "180", diameter: "28"},
	"thumb-screw":   {way: bom.Turned, length: "34", diameter: "17.6"},
	"window":        {way: bom.Cut, length: "90", width: "60", thickness: "10"},
}

// TestFirstBands: the full cost of the everyday parts, as priced from their features,
// lies within what nine of ten draws of their first guess say, for all but a few: a band
// that held all would be too wide to tell anything.
func TestFirstBands(t *testing.T) {
	t.Parallel()
	inside, told := 0, 0
	for part, o := range everydayOutlines {
		b := everyday(t)
		mix := []estimate.MixLine{{Product: "one-" + part, Trim: part, Quantity: bom.Whole(100)}}
		done := evaluate(t, build(t, b, mix), nil)
		final, _ := done.rat(done.est.Variants[0].Full).Float64()
		guessAt(b, part, o)
		cost, _ := bandsOf(t, b, mix)
		told++
		if cost.low <= final && final <= cost.high {
			inside++
		} else {
			t.Logf("%s costs %.2f, outside %.2f to %.2f, in the middle %.2f", part, final, cost.low, cost.high, cost.middle)
		}
	}
	// The fins of a heat sink and two thirds of a metre of engraving are what an outer size
	// cannot tell. The ranges were centred on the first twelve parts; the other twelve were
	// priced afterwards.
	if inside < 20 || inside > 23 {
		t.Errorf("%d of %d are inside", inside, told)
	}
}

// guessAt leaves of an everyday part what is known before anything is entered.
func guessAt(b *book.Book, part bom.ID, o outer) *bom.Part {
	at := slices.IndexFunc(b.Parts, func(p bom.Part) bool { return p.Number == part })
	was := b.Parts[at]
	material, _ := bom.MaterialOf(&was, bom.PartsByNumber(b.Parts), b.Stocks)
	centre := bom.ID("MILL")
	if o.way == bom.Turned {
		centre = "LATHE"
	}
	number := func(text string) *bom.Number {
		if text == "" {
			return nil
		}
		n := bom.Exactly(decimal.RequireFromString(text))
		return &n
	}
	b.Parts[at] = bom.Part{Number: was.Number, Name: was.Name, Kind: bom.Made,
		Finished:   &bom.Envelope{LengthMM: number(o.length), WidthMM: number(o.width), ThicknessMM: number(o.thickness), DiameterMM: number(o.diameter)},
		FirstGuess: &bom.FirstGuess{Way: o.way, Material: material, WorkCentre: centre}}
	if !slices.ContainsFunc(was.Routing, func(o bom.Operation) bool { return o.Kind == bom.Manual }) {
		// A part that is priced without work by hand is guessed at without it.
		b.Parts[at].Routing = []bom.Operation{{Number: 10, Name: "machine", Kind: bom.Machining, WorkCentre: centre}}
	}
	return &b.Parts[at]
}

// band gives what a twentieth, half and all but a twentieth of the draws of a figure do not
// exceed.
type band struct{ low, middle, high float64 }

func (b band) width() float64 { return b.high - b.low }

// bandsOf draws the full cost, and the figures of some keys.
func bandsOf(t *testing.T, b *book.Book, mix []estimate.MixLine, keys ...string) (cost band, of []band) {
	t.Helper()
	est := build(t, b, mix)
	outputs := []graph.ID{est.Variants[0].Full}
	for _, key := range keys {
		id, ok := est.Graph.Find(key)
		if !ok {
			t.Fatalf("there is no %s", key)
		}
		outputs = append(outputs, id)
	}
	out, err := simulate.Run(context.Background(), exact.New(est.Graph), simulate.Request{Outputs: outputs, Draws: 4096, Seed: 5}, func(int, int) {})
	if err != nil {
		t.Fatal(err)
	}
	for i := range out.Outputs {
		o := &out.Outputs[i]
		of = append(of, band{o.Quantile(0.05).Value, o.Quantile(0.5).Value, o.Quantile(0.95).Value})
	}
	return of[0], of[1:]
}

// unkept are the answers that narrow the band by less than half of what was promised, or by
// more than twice as much, with the reason.
var unkept = map[string]string{
	"fin-block/piece_min": "its fins take ten times the minutes guessed, so that how far a person is tied to the machine spreads the cost by more than all that was guessed",
}

// TestAnswersKeepTheirPromise: an answer is promised to narrow the first band by as much as
// it would if it were what half of the draws of its guess do not exceed. Given as the part
// turns out, it narrows the band by that within a factor of two.
func TestAnswersKeepTheirPromise(t *testing.T) {
	t.Parallel()
	told := 0
	for part, o := range everydayOutlines {
		b := everyday(t)
		mix := []estimate.MixLine{{Product: "one-" + part, Trim: part, Quantity: bom.Whole(100)}}
		def, _ := b.Part(part)
		done := evaluate(t, build(t, b, mix), nil)
		is := map[string]float64{}
		for _, op := range def.Routing {
			key := fmt.Sprintf("part/%s/op/%d/", part, op.Number)
			piece, setup := guess.PieceMin, guess.SetupMin
			if op.Kind == bom.Manual {
				piece, setup = guess.HandMin, ""
			}
			is[piece] += done.minutes(key+"piece-time") + done.minutes(key+"load-time")
			is[setup] += done.minutes(key + "setup-total")
		}
		p := guessAt(b, part, o)
		guessed := *p
		for _, q := range guess.Questions(p) {
			if q.Field == guess.PricePerKg {
				continue // what a kilogram of a starter row costs is near what it is promised at
			}
			*p = guessed
			first, of := bandsOf(t, b, mix, "part/"+string(part)+"/guess/"+q.Node)
			narrowed := func(by float64) float64 {
				*p, _ = guess.Answered(&guessed, q.Field, q.Typed(decimal.NewFromFloat(by)))
				then, _ := bandsOf(t, b, mix)
				return first.width() - then.width()
			}
			promised, got := narrowed(of[0].middle), narrowed(is[q.Field])
			if promised < 0.01*first.width() {
				continue // which no page offers, and is less than the draws tell
			}
			name := string(part) + "/" + q.Field
			told++
			if far := got < promised/2 || got > 2*promised; far != (unkept[name] != "") {
				t.Errorf("%s is %.2f, guessed at %.2f: it was promised to take %.1f %% off the band and takes %.1f %%; named as further apart: %t",
					name, is[q.Field], of[0].middle, 100*promised/first.width(), 100*got/first.width(), !far)
			}
		}
	}
	if told < 40 {
		t.Errorf("%d answers are promised to narrow a band", told)
	}
}
