package book_test

import (
	"cmp"
	"slices"
	"strings"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/booktest"
	"kerfbook/costing/book/check"
	"kerfbook/costing/rates"
	"kerfbook/costing/trade"
)

const omissionDay = bom.Date("2026-11-25")

func demoPart(t *testing.T, b *book.Book, number bom.ID) *bom.Part {
	t.Helper()
	i := slices.IndexFunc(b.Parts, func(p bom.Part) bool { return p.Number == number })
	if i < 0 {
		t.Fatalf("the demo has no part %s", number)
	}
	return &b.Parts[i]
}

func open(list []book.Omission) []string {
	var out []string
	for _, o := range list {
		if !o.Contained {
			out = append(out, o.String())
		}
	}
	return out
}

// TestOmissionsSpeak takes out, one at a time, what counts a matter, and wants just
// that matter to be told.
func TestOmissionsSpeak(t *testing.T) {
	t.Parallel()
	sink := func(b *book.Book) *bom.Part { return demoPart(t, b, "HS-010") }
	milled := func(b *book.Book) *bom.Operation { return &sink(b).Routing[1] }
	mill := func(b *book.Book) int {
		return slices.IndexFunc(b.WorkCentres, func(w rates.WorkCentre) bool { return w.ID == "MILL" })
	}
	for what, c := range map[bom.Matter]struct {
		takeOut func(*book.Book)
		of      string
	}{
		bom.Loading:     {func(b *book.Book) { milled(b).LoadHandlingMin = nil }, "operation 20"},
		bom.ToolChanges: {func(b *book.Book) { b.WorkCentres[mill(b)].ToolChangeS = nil }, "operation 20"},
		bom.Moves:       {func(b *book.Book) { b.WorkCentres[mill(b)].RapidMMMin = nil }, "operation 20"},
		bom.Edges:       {func(b *book.Book) { b.Tools[0].EdgeCost = nil }, "operation 20"},
		bom.SettingUp:   {func(b *book.Book) { milled(b).SetupMin = nil }, "operation 20"},
		bom.Checking: {func(b *book.Book) {
			sink(b).Routing = sink(b).Routing[:4]
			milled(b).ProbingMin = nil
		}, ""},
		bom.Scrap: {func(b *book.Book) {
			for i := range sink(b).Routing {
				sink(b).Routing[i].Yield, sink(b).Routing[i].SetupPieces = nil, nil
			}
		}, ""},
		bom.Programming: {func(b *book.Book) { sink(b).Special = nil }, ""},
	} {
		b := booktest.Demo(t)
		before := open(b.Omissions(sink(b), "parts[0]", b.Uses()))
		c.takeOut(b)
		var added []string
		for _, o := range b.Omissions(sink(b), "parts[0]", b.Uses()) {
			if o.What == what && o.Of == c.of && !o.Contained && !slices.Contains(before, o.String()) {
				added = append(added, o.String())
			}
		}
		if len(added) != 1 || !strings.HasPrefix(added[0], what.Noun()) {
			t.Errorf("%s taken out: told %q", what, added)
		}
	}
}

// TestOmissionsOfAProduct wants packing to be answered, and clearance to be told
// behind a border alone, where the carrier has no terms for it.
func TestOmissionsOfAProduct(t *testing.T) {
	t.Parallel()
	b := booktest.Demo(t)
	lamp := &b.Products[0]
	lamp.NotCounted = nil
	if got := open(b.ProductOmissions(lamp, "products[0]", omissionDay)); len(got) != 1 || !strings.HasPrefix(got[0], "packing") {
		t.Errorf("the demo's product: %q", got)
	}
	for i := range b.Carriers {
		b.Carriers[i].Clearance = nil
	}
	var told []string
	for _, o := range b.ProductOmissions(lamp, "products[0]", omissionDay) {
		if o.What == bom.Clearing {
			told = append(told, strings.TrimPrefix(o.Of, "destination "))
		}
	}
	for _, d := range b.Destinations {
		within := slices.Contains([]bom.Country{"PT", "DE", "FR", "IE"}, d.Country)
		if within == slices.Contains(told, d.Place()) {
			t.Errorf("clearance at %s: told %t", d.Country, !within)
		}
	}
}

// TestOmissionOfACarrier wants delivery to be told where no carrier is named.
func TestOmissionOfACarrier(t *testing.T) {
	t.Parallel()
	b := booktest.Demo(t)
	at := slices.IndexFunc(b.Destinations, func(d trade.Destination) bool { return d.Country == "CH" })
	b.Destinations[at].Carrier = ""
	want := []string{"delivery of destination CH: enter carrier of destination CH", "customs clearance of destination CH: enter clearance of a carrier"}
	if got := open(b.ProductOmissions(&b.Products[0], "products[0]", omissionDay)); !slices.Equal(got, want) {
		t.Errorf("told %q, want %q", got, want)
	}
}

// TestPackingOfAPart: asked of a part that is sold by itself, alone or as a product that is
// nothing else, and told where it goes into one that is packed in its turn; taken out again it
// is asked again.
func TestPackingOfAPart(t *testing.T) {
	t.Parallel()
	b := booktest.Demo(t)
	sink := demoPart(t, b, "HS-010")
	knob := bom.Part{Number: "KNOB", Name: "knob", Kind: bom.Made, Routing: []bom.Operation{{Number: 10, Kind: bom.Manual}}}
	b.Parts = append(b.Parts, knob)
	p := &b.Parts[len(b.Parts)-1]
	packing := func(p *bom.Part) string {
		list := b.Omissions(p, "parts[0]", b.Uses())
		if i := slices.IndexFunc(list, func(o book.Omission) bool { return o.What == bom.Packing }); i >= 0 {
			return cmp.Or(string(list[i].Answer), "open")
		}
		return ""
	}
	want := func(what, want string) {
		t.Helper()
		if got := packing(p); got != want {
			t.Errorf("%s: %q, want %q", what, got, want)
		}
	}
	if got := packing(sink); got != "" {
		t.Errorf("of a part of the lamp packing is %s", got)
	}
	want("in no bill", "open")
	b.Products = append(b.Products, bom.Product{Number: "KNOB", Name: "knob", Positions: []bom.Position{{Part: "KNOB", Quantity: bom.Whole(1)}}})
	alone := &b.Products[len(b.Products)-1]
	want("a product of its own", "open")
	if list := open(b.ProductOmissions(alone, "products[1]", omissionDay)); slices.ContainsFunc(list, func(s string) bool { return strings.HasPrefix(s, "packing") }) {
		t.Errorf("packing is asked of the product again: %q", list)
	}
	alone.NotCounted = []bom.CountAnswer{{What: bom.Packing, Answer: bom.InRate}}
	want("said of the product", "in_rate")
	alone.NotCounted = nil
	p.Routing = append(p.Routing, bom.Operation{Number: 20, Kind: bom.Packs})
	want("packed", "")
	if twice := book.PackedTwice(p, b.Uses); twice != "" {
		t.Errorf("sold by itself: %s", twice)
	}
	alone.Positions[0].Quantity = bom.Whole(2)
	told := func() bool {
		return slices.ContainsFunc(check.Book(b, nil, omissionDay), func(p check.Problem) bool { return strings.Contains(p.Message, "operation 20 packs knob") })
	}
	if !told() {
		t.Error("it goes into a product and nobody says that it is packed twice")
	}
	p.Routing = p.Routing[:1]
	if told() {
		t.Error("nothing packs it, and it is told to be packed twice")
	}
	want("goes into a product", "")
	alone.Positions[0].Quantity = bom.Whole(1)
	want("taken out again", "open")
}

// TestAnswersToOmissions asks the nearest record: part, work centre, shop.
func TestAnswersToOmissions(t *testing.T) {
	t.Parallel()
	b := booktest.Demo(t)
	p := demoPart(t, b, "HS-010")
	p.Routing[1].LoadHandlingMin = nil
	answer := func() bom.CountingAnswer {
		list := b.Omissions(p, "parts[0]", b.Uses())
		i := slices.IndexFunc(list, func(o book.Omission) bool { return o.What == bom.Loading })
		return list[i].Answer
	}
	if got := answer(); got != "" {
		t.Errorf("nobody has answered, yet %q", got)
	}
	b.NotCounted = []bom.CountAnswer{{What: bom.Loading, Answer: bom.NoneAtAll}}
	if got := answer(); got != bom.NoneAtAll {
		t.Errorf("the shop says none, not %q", got)
	}
	i := slices.IndexFunc(b.WorkCentres, func(w rates.WorkCentre) bool { return w.ID == "MILL" })
	b.WorkCentres[i].NotCounted = []bom.CountAnswer{{What: bom.Loading, Answer: bom.InRate, Where: "hour rate"}}
	if got := answer(); got != bom.InRate {
		t.Errorf("the work centre is nearer than the shop, not %q", got)
	}
	p.NotCounted = []bom.CountAnswer{{What: bom.Loading, Answer: bom.EnteredHere, Where: "operation 40"}}
	if got := answer(); got != bom.EnteredHere {
		t.Errorf("the part is nearest, not %q", got)
	}
}

// TestCountedTwice warns where an hour rate is said to hold what has a figure.
func TestCountedTwice(t *testing.T) {
	t.Parallel()
	warned := func(change func(*book.Book)) (out []string) {
		b := booktest.Demo(t)
		change(b)
		for _, p := range check.Book(b, nil, omissionDay) {
			if strings.Contains(p.Message, "counted twice") {
				out = append(out, p.Path+" "+p.Message)
			}
		}
		return out
	}
	if got := warned(func(*book.Book) {}); len(got) > 0 {
		t.Errorf("the demo counts twice: %q", got)
	}
	in := []bom.CountAnswer{{What: bom.SettingUp, Answer: bom.InRate}}
	if got := warned(func(b *book.Book) { demoPart(t, b, "HS-010").NotCounted = in }); len(got) != 3 || !strings.Contains(got[0], "this record") {
		t.Errorf("three operations of the part have a set-up time: %q", got)
	}
	if got := warned(func(b *book.Book) { b.NotCounted = in }); len(got) < 3 || !strings.Contains(got[0], "the shop") {
		t.Errorf("all operations of the shop with a set-up time: %q", got)
	}
}

// TestSetupPartsSpeak: an operation described by features, without a set-up entered, asks
// for the parts of a set-up that its work centre lacks and no more; so do its programs.
func TestSetupPartsSpeak(t *testing.T) {
	t.Parallel()
	b := booktest.Demo(t)
	sink := demoPart(t, b, "HS-010")
	mill, _ := b.WorkCentre("MILL")
	sink.Routing[1].SetupMin, sink.Special, sink.NotCounted, mill.NotCounted, b.NotCounted = nil, nil, nil, nil, nil
	told := func(what bom.Matter) (out []string) {
		for _, o := range b.Omissions(sink, "parts[0]", b.Uses()) {
			if o.What == what && (o.Of == "operation 20" || o.Of == "") {
				out = append(out, o.ToEnter)
			}
		}
		return out
	}
	want := func(what bom.Matter, words ...string) {
		t.Helper()
		if got := told(what); !slices.Equal(got, words) {
			t.Errorf("%s: told %q, want %q", what, got, words)
		}
	}
	want(bom.SettingUp, "setup_min, or setup of MILL")
	want(bom.Programming, "special_direct, or programming_min or programming of MILL and programs_over_pieces")
	five := bom.Whole(5)
	mill.Setup = &rates.Setup{FixtureMin: &five, ToolMin: &five, ZeroMin: &five, ProveOutMin: &five}
	mill.Programming = &rates.Programming{ProgramMin: &five}
	want(bom.SettingUp, "setup_min, or first_off_min and clean_down_min of setup of MILL")
	want(bom.Programming, "special_direct, or programming_min or feature_min of programming of MILL and programs_over_pieces")
	sink.ProgrammingMin = &five
	want(bom.Programming, "special_direct, or programs_over_pieces")
	sink.ProgramsOver = &five
	want(bom.Programming) // said for the part, whatever its work centre says
	sink.ProgrammingMin, sink.ProgramsOver = nil, nil
	mill.Setup.FirstOffMin, mill.Setup.CleanDownMin, mill.Programming.FeatureMin, sink.ProgramsOver = &five, &five, &five, &five
	want(bom.SettingUp)
	want(bom.Programming)
}

// TestOmissionsBesideAFirstGuess: what a first guess counts is not said to be left out, and
// the work by hand is, once a routing has none.
func TestOmissionsBesideAFirstGuess(t *testing.T) {
	t.Parallel()
	mill := bom.Operation{Number: 10, Kind: bom.Machining, WorkCentre: "MILL"}
	n := bom.Whole(4)
	timed := mill
	timed.PieceMin, timed.SetupMin = &n, &n
	for what, c := range map[string]struct {
		routing []bom.Operation
		want    []bom.Matter
	}{
		"nothing entered": {nil, nil},
		"all guessed":     {[]bom.Operation{mill}, []bom.Matter{bom.Edges, bom.HandWork}},
		"with hands":      {[]bom.Operation{mill, {Number: 20, Kind: bom.Manual, WorkCentre: "MILL"}}, []bom.Matter{bom.Edges}},
		"entered":         {[]bom.Operation{timed}, []bom.Matter{bom.Loading, bom.Edges, bom.HandWork}},
	} {
		p := bom.Part{Number: "P", Kind: bom.Made, FirstGuess: &bom.FirstGuess{Way: bom.Milled}, Routing: c.routing}
		var got []bom.Matter
		for _, o := range new(book.Book).Omissions(&p, "parts[0]", book.Uses{}) {
			if o.What != bom.Checking && o.What != bom.Scrap && o.What != bom.Programming && o.What != bom.Packing {
				got = append(got, o.What)
			}
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", what, got, c.want)
		}
	}
}

// TestWordsGoWithTheirMinutes: what an answer to a first guess said to be contained in minutes is
// left out once these have gone, and in any operation that has none of them.
func TestWordsGoWithTheirMinutes(t *testing.T) {
	t.Parallel()
	n := bom.Whole(1)
	drilled := []bom.Feature{{Kind: bom.Drill}}
	first := bom.Operation{Number: 10, Kind: bom.Machining, WorkCentre: "LATHE", Features: drilled, HandlingMin: &n, SetupMin: &n}
	second := bom.Operation{Number: 15, Kind: bom.Machining, WorkCentre: "LATHE", Features: drilled, LoadHandlingMin: &n, SetupMin: &n}
	hand := bom.Operation{Number: 20, Kind: bom.Manual, WorkCentre: "LATHE", PieceMin: &n}
	gone, bare, timed := first, second, first
	gone.HandlingMin, gone.LoadHandlingMin = nil, &n
	bare.Features, bare.LoadHandlingMin = nil, nil
	timed.HandlingMin, timed.PieceMin = nil, &n
	beside := func(where string, what ...bom.Matter) (out []bom.CountAnswer) {
		for _, m := range what {
			out = append(out, bom.CountAnswer{What: m, Answer: bom.EnteredHere, Where: where})
		}
		return out
	}
	three := beside(bom.BesideCutting, bom.Loading, bom.ToolChanges, bom.Moves)
	for what, c := range map[string]struct {
		routing []bom.Operation
		words   []bom.CountAnswer
		want    string
	}{
		"as answered":                    {[]bom.Operation{first, hand}, three, ""},
		"handling has gone":              {[]bom.Operation{gone, hand}, three, "tool_changes of operation 10, moves of operation 10, "},
		"another clamping":               {[]bom.Operation{first, second, hand}, three, "tool_changes of operation 15, moves of operation 15, "},
		"another that cuts nothing":      {[]bom.Operation{first, bare, hand}, three, "loading of operation 15, tool_changes of operation 15, moves of operation 15, "},
		"whole minutes":                  {[]bom.Operation{timed, hand}, beside(bom.MachineMinutes, bom.Loading), ""},
		"whole minutes have gone":        {[]bom.Operation{gone, hand}, beside(bom.MachineMinutes, bom.ToolChanges, bom.Moves), "tool_changes of operation 10, moves of operation 10, "},
		"checking by hand":               {[]bom.Operation{first, hand}, append(beside(bom.HandMinutes, bom.Checking), three...), ""},
		"checking by hand has gone":      {[]bom.Operation{first}, append(beside(bom.HandMinutes, bom.Checking), three...), "inspection, hand_work, "},
		"a word of the shop's own stays": {[]bom.Operation{gone, hand}, beside("our way", bom.ToolChanges, bom.Moves), ""},
	} {
		p := bom.Part{Number: "P", Kind: bom.Made, FirstGuess: &bom.FirstGuess{Way: bom.Turned, FeaturesEntered: true}, Routing: c.routing, NotCounted: c.words}
		got := ""
		for _, o := range new(book.Book).Omissions(&p, "parts[0]", book.Uses{}) {
			checks := o.What == bom.Checking && len(c.words) > 0 && c.words[0].What == bom.Checking
			if !o.Contained && (checks || slices.Contains([]bom.Matter{bom.Loading, bom.ToolChanges, bom.Moves, bom.HandWork}, o.What)) {
				if got += string(o.What); o.Of != "" {
					got += " of " + o.Of
				}
				got += ", "
			}
		}
		if got != c.want {
			t.Errorf("%s: %q, want %q", what, got, c.want)
		}
	}
}
