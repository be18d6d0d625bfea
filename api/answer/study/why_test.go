package study

import (
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/costing/book"
)

func mustDiffer(t testing.TB, b *book.Book, before, after DifferenceSide, most int) Difference {
	t.Helper()
	out, err := Between(t.Context(), change.OriginOf(answer.Of(b)), DifferenceRequest{Before: before, After: after, Most: most}, nil)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// sum adds texts up.
func sum(t *testing.T, texts ...string) decimal.Decimal {
	t.Helper()
	all := decimal.Zero
	for _, text := range texts {
		all = all.Add(decimalOf(t, text))
	}
	return all
}

// TestDifferenceAddsUp holds every list of a comparison against the difference,
// exactly and to the cent, and both ends against the price list.
func TestDifferenceAddsUp(t *testing.T) {
	t.Parallel()
	b := demoWith(t)
	plain, glow := DifferenceSide{Batch: batchOf(t, b, "plain=250")}, DifferenceSide{Batch: batchOf(t, b, "glow=250")}
	glow.Changes = []change.Change{{Key: "work-centre/MILL/labour-rate", Value: "27.50"}}
	d := mustDiffer(t, b, plain, glow, 5)
	lists := map[string][2][]string{}
	add := func(name, amount, cents string) {
		l := lists[name]
		lists[name] = [2][]string{append(l[0], amount), append(l[1], cents)}
	}
	for _, l := range d.Lines {
		add("lines", l.Amount, l.Rounded.Amount)
	}
	for _, s := range d.Kinds {
		add("kinds", s.Amount, s.Rounded.Amount)
	}
	for _, s := range d.Things {
		add("things", s.Amount, s.Rounded.Amount)
	}
	for _, s := range d.Places {
		add("places", s.Amount, s.Rounded.Amount)
		add("places before", s.Before, s.RoundedBefore)
		add("places after", s.After, s.RoundedAfter)
		if off := sum(t, s.RoundedBefore, s.Rounded.Amount).Sub(sum(t, s.RoundedAfter)).Abs(); off.GreaterThan(decimal.New(2, -2)) {
			t.Errorf("%s: from %s by %s to %s", s.Name.Label, s.RoundedBefore, s.Rounded.Amount, s.RoundedAfter)
		}
	}
	wants := map[string][2]string{"places before": {d.Before.Figure.Value, d.Rounded.Before}, "places after": {d.After.Figure.Value, d.Rounded.After}}
	for _, s := range d.Shares {
		add("shares", s.Amount, s.Rounded.Amount)
	}
	if len(lists) != 7 || len(d.Things) != 6 || d.Things[5].Name.Key != "" {
		t.Fatalf("%d lists, %d things", len(lists), len(d.Things))
	}
	for name, l := range lists {
		want, ok := wants[name]
		if !ok {
			want = [2]string{d.Difference, d.Rounded.Difference}
		}
		exactly, cents := sum(t, l[0]...), sum(t, l[1]...)
		if !exactly.Round(20).Equal(decimalOf(t, want[0]).Round(20)) || !ok && !exactly.Equal(decimalOf(t, want[0])) || !cents.Equal(decimalOf(t, want[1])) {
			t.Errorf("%s come to %s and %s, want %s", name, exactly, cents, want)
		}
	}
	if got := fullCosts(t, b, "plain", 250)[250]; d.Before.Figure.Value != got || !sum(t, d.Before.Figure.Value, d.Difference).Equal(decimalOf(t, d.After.Figure.Value)) {
		t.Errorf("from %s, %s in the price list, by %s to %s", d.Before.Figure.Value, got, d.Difference, d.After.Figure.Value)
	}
	if !sum(t, d.Rounded.Before, d.Rounded.Difference).Equal(decimalOf(t, d.Rounded.After)) {
		t.Errorf("rounded: %+v", d.Rounded)
	}
	if last := d.Places[len(d.Places)-1]; last.Change != LineStays || last.Before != last.After || last.Count < 2 || last.Rounded.Level != d.Rounded.After {
		t.Errorf("the places that cost the same: %+v", last)
	}
	if d.Things[5].Rounded.Level != d.Rounded.After || d.Alike || d.Same {
		t.Errorf("ends at %s, alike %t", d.Things[5].Rounded.Level, d.Alike)
	}
	input := false
	for _, s := range d.Shares {
		input = input || s.Kind == ShareOfInput && s.After.Key == "work-centre/MILL/labour-rate" && s.Before.Value == "26" && s.After.Value == "27.5"
	}
	if !input {
		t.Error("the changed labour rate has no share")
	}
}

// TestNoDifference has no lines that change and no shares.
func TestNoDifference(t *testing.T) {
	t.Parallel()
	b := demoWith(t)
	side := DifferenceSide{Batch: batchOf(t, b, "glow=250")}
	d := mustDiffer(t, b, side, side, 0)
	if !d.Same || d.Difference != "0" || len(d.Shares) != 0 || len(d.Things) != 0 || d.Rounded.Difference != "0" || d.Rounded.Before != d.Rounded.After {
		t.Errorf("same %t, difference %s, %d shares, %+v", d.Same, d.Difference, len(d.Shares), d.Rounded)
	}
}

// TestDifferenceOfTimes is not rounded to any coin.
func TestDifferenceOfTimes(t *testing.T) {
	t.Parallel()
	b := demoWith(t)
	before, after := DifferenceSide{Batch: batchOf(t, b, "glow=100"), Figure: "work-centre/MILL/occupied"}, DifferenceSide{Batch: batchOf(t, b, "glow=250"), Figure: "work-centre/MILL/occupied"}
	d := mustDiffer(t, b, before, after, 0)
	if d.Rounded != (RoundedEnds{}) || d.Unit != "min" || len(d.Things) == 0 || d.Things[0].Rounded != (RoundedAmount{}) {
		t.Errorf("%s: %+v", d.Unit, d.Rounded)
	}
}

// TestPlacesAreNetted: what takes the place of another stands as one difference, with
// all that goes into it, and the places add up to the whole.
func TestPlacesAreNetted(t *testing.T) {
	t.Parallel()
	b := demoWith(t)
	side := func(mix string) DifferenceSide { return DifferenceSide{Batch: batchOf(t, b, mix)} }
	d, err := Between(t.Context(), change.OriginOf(answer.Of(b)), DifferenceRequest{Before: side("plain=100"), After: side("glow=100")}, nil)
	if err != nil {
		t.Fatal(err)
	}
	sum, names := decimal.Zero, ""
	for _, p := range d.Places {
		sum, names = sum.Add(decimalOf(t, p.Amount)), names+p.Name.Label+", "
	}
	if names != "light engine, shade, the product itself, places that cost the same, " || !sum.Equal(decimalOf(t, d.Difference)) {
		t.Errorf("%s add up to %s, the difference is %s", names, sum, d.Difference)
	}
	engine := decimal.Zero
	for _, k := range d.Things {
		if number, _, _ := strings.Cut(strings.TrimPrefix(k.Name.Key, "part/"), "-"); number == "HS" || number == "ENG" {
			engine = engine.Add(decimalOf(t, k.Amount))
		}
	}
	if got := decimalOf(t, d.Places[0].Amount); !got.Equal(engine) {
		t.Errorf("the light engine differs by %s, its parts by %s", got, engine)
	}
}
