package compare

import (
	"maps"
	"testing"

	"kerfbook/costing/graph"
)

func TestNames(t *testing.T) {
	t.Parallel()
	b, a := namings("variant/plain/price/shop/shelf-price", "variant/glow.mount-wall/price/market/shelf-price")
	for _, c := range []struct {
		before, after string
		alike         bool
	}{
		{"mix/plain", "mix/glow.mount-wall", true},
		{"variant/plain/op/10/setup", "variant/glow.mount-wall/op/10/setup", true},
		{"channel/shop/fee", "channel/market/fee", true},
		{"variant/glow.mount-wall/need", "variant/plain/need", true}, // of a mix of both
		{"variant/plain/need", "variant/plain/need", false},
		{"plain/need", "glow.mount-wall/need", false}, // what sort of thing it is
		{"part/HS-010/need", "part/HS-010/need", true},
		{"part/HS-010/need", "part/HS-011/need", false},
		{b.headline, a.headline, true},
	} {
		if got := b.of(c.before) == a.of(c.after); got != c.alike {
			t.Errorf("%s and %s: %t", c.before, c.after, got)
		}
	}
	if b, a = namings("x/a", "x/y/a"); b.of("x/a/b") != "x/a/b" || a.of("x/y/b") != "x/y/b" {
		t.Error("headlines of another form give names")
	}
}

func TestThings(t *testing.T) {
	t.Parallel()
	for key, want := range map[string]string{"part/A/op/10/cost": "part/A", "part/A/cost": "part/A", "mix/plain": "mix/plain", "n7": "n7"} {
		if got := thingOf(key); got != want {
			t.Errorf("%s belongs to %s, want %s", key, got, want)
		}
	}
}

// TestArmsThatHoldAreOpened: a landed price under a regime up to a threshold, and
// under another above it.
func TestArmsThatHoldAreOpened(t *testing.T) {
	t.Parallel()
	side := built(t, func(s graph.Scope) {
		price, duty := s.Input("price", "price", euro, dec("140")), s.Input("duty", "duty", euro, dec("9"))
		fee, limit := s.Input("fee", "fee", euro, dec("3")), s.Input("limit", "limit", euro, dec("150"))
		none := s.Add("low/duty", "no duty", s.Zero(euro))
		low := s.Add("low/total", "landed, low value", price, none, s.Subtract("low/net-fee", "fee less rebate", fee, s.Input("rebate", "rebate", euro, dec("1"))))
		high := s.Add("high/total", "landed, full duty", price, s.Add("high/duty", "duty", duty))
		s.Choose("headline", "landed", price, graph.LessOrEqual, limit, low, high)
	})
	r := compared(t, side, side.at(t, "price", "151"), everyday)
	got := map[string]string{}
	for _, l := range r.Lines {
		got[l.Name.Key] = string(l.Change) + " " + l.Share.String()
	}
	if want := map[string]string{"price": "changes 11", "fee": "vanishes -3", "rebate": "vanishes 1", "duty": "appears 9"}; !maps.Equal(got, want) {
		t.Errorf("lines %v, want %v", got, want)
	}
	if !r.Alike || len(r.Shares) != 1 {
		t.Errorf("alike %t, %d shares", r.Alike, len(r.Shares))
	}
}

// TestPiecesAreOpened: a product of two pieces of a part and one of another, at a
// batch of four; the first part is met on two ways.
func TestPiecesAreOpened(t *testing.T) {
	t.Parallel()
	side := built(t, func(s graph.Scope) {
		batch := s.Input("batch", "batch", graph.Piece, dec("4"))
		screw := s.In("part", "A").Of("screw")
		screwEach := screw.Divide("each", "screw, each", screw.Input("cost", "cost of the screws", euro, dec("6")), screw.Input("need", "screws", graph.Piece, dec("12")))
		arm := s.In("part", "B").Of("arm")
		armNeed := arm.Input("need", "arms", graph.Piece, dec("4"))
		armBatch := arm.Add("batch", "arms", arm.Input("machine", "machine time", euro, dec("10")),
			arm.SumProducts("children", "parts of the arm", arm.Input("screws", "screws of the arms", graph.Piece, dec("4")), screwEach))
		armEach := arm.Divide("each", "arm, each", armBatch, armNeed)
		total := s.SumProducts("total", "parts", s.Input("screws", "screws", graph.Piece, dec("8")), screwEach, armNeed, armEach)
		own := s.Divide("own", "own making", s.Input("bench", "bench", euro, dec("2")), batch)
		percent := s.Multiply("overhead", "overhead", own, s.Input("rate", "rate", graph.Plain, dec("0.5")))
		s.Add("headline", "cost", s.Divide("parts", "parts per piece", total, batch), own, percent)
	})
	r := compared(t, side, side.at(t, "part/A/cost", "9"), everyday)
	got := map[string]string{}
	for _, l := range r.Lines {
		got[l.Kind.Label+", "+l.Name.Label] = l.Before.Round(20).String()
	}
	want := map[string]string{"parts per piece, cost of the screws": "1.5", "parts per piece, machine time": "2.5", "own making, bench": "0.5", "overhead, overhead": "0.25"}
	if !maps.Equal(got, want) || !r.Difference.Equal(dec("0.75")) {
		t.Errorf("lines %v, want %v, difference %s", got, want, r.Difference)
	}
	for _, s := range r.ByThing() {
		if s.Key == "part/A" && (s.Label != "screw" || !s.Amount.Equal(dec("0.75"))) {
			t.Errorf("thing %+v", s)
		}
	}
}

// TestPinnedFiguresAreGiven: a figure that was measured is an input where it is
// pinned on both sides, and another structure where it is on one.
func TestPinnedFiguresAreGiven(t *testing.T) {
	t.Parallel()
	side := built(t, func(s graph.Scope) {
		minutes := s.Multiply("minutes", "minutes", s.Input("pieces", "pieces", graph.Plain, dec("4")), s.Input("each", "minutes each", graph.Minute, dec("3")))
		s.Multiply("headline", "cost", minutes, s.Input("rate", "rate", euro.Per(graph.Minute), dec("2")))
	})
	r := compared(t, side.at(t, "minutes", "13"), side.at(t, "minutes", "15", "pieces", "5"), everyday)
	if got := amounts(r); !r.Alike || len(got) != 1 || !got["minutes"].Equal(dec("4")) {
		t.Errorf("alike %t, shares %v", r.Alike, got)
	}
	r = compared(t, side, side.at(t, "minutes", "15"), everyday)
	if got := amounts(r); r.Alike || len(got) != 1 || !got["headline"].Equal(dec("6")) {
		t.Errorf("alike %t, shares %v", r.Alike, got)
	}
}
