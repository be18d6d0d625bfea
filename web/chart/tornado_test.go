package chart

import (
	"fmt"
	"testing"
)

func swing(name, low, high string) Swing {
	end := func(v string) End { return End{Input: Mark{Text: "input"}, Figure: Mark{Text: v, Value: v}} }
	return Swing{Name: name, Low: end(low), High: end(high)}
}

func tornado(swings ...Swing) Tornado {
	return NewTornado(TornadoData{ID: "t", Title: "t", Unit: "EUR", Likely: Mark{Value: "50"}, Swings: swings})
}

func TestSwingsAreRankedAndTurned(t *testing.T) {
	t.Parallel()
	got := tornado(swing("small", "49", "51"), swing("rising", "0", "100"), swing("falling", "90", "30"))
	for i, want := range []struct{ name, left, right, parts string }{
		{"rising", "low 0", "high 100", "[{0.00% 50.00% low -18 16} {50.00% 50.00% high -18 16}]"},
		{"falling", "high 30", "low 90", "[{50.00% 40.00% low -18 16} {30.00% 20.00% high -18 16}]"},
		{"small", "low 49", "high 51", "[{49.00% 1.00% low -18 16} {50.00% 1.00% high -18 16}]"},
	} {
		r := got.Rows[i]
		left, right := r.Left.Word+" "+r.Left.Figure.Text, r.Right.Word+" "+r.Right.Figure.Text
		if r.Name != want.name || left != want.left || right != want.right || fmt.Sprint(r.Parts) != want.parts {
			t.Errorf("row %d: %s, %s, %s, %v; want %+v", i, r.Name, left, right, r.Parts, want)
		}
	}
	if got.LikelyX != "50.00%" || len(got.Table.Rows) != 3 || got.Table.Folded != "" {
		t.Errorf("likely at %s, table %+v", got.LikelyX, got.Table)
	}
}

func TestEndsOnOneSideShareTheHeight(t *testing.T) {
	t.Parallel()
	got := tornado(swing("both dearer", "60", "100"))
	if parts := fmt.Sprint(got.Rows[0].Parts); parts != "[{0.00% 20.00% low -18 8} {0.00% 100.00% high -10 8}]" {
		t.Error(parts)
	}
}

func TestOddTornados(t *testing.T) {
	t.Parallel()
	var many []Swing
	for i := range 200 {
		many = append(many, swing(fmt.Sprint("input ", i), fmt.Sprint(50-i), fmt.Sprint(50+i)))
	}
	if got := tornado(many...); len(got.Rows) != mostSwings || got.More != 195 || len(got.Table.Rows) != 200 || got.Table.Folded == "" || got.Rows[0].Name != "input 199" {
		t.Errorf("%d rows, %d more, %d in the table", len(got.Rows), got.More, len(got.Table.Rows))
	}
	if got := tornado(swing("still", "50", "50"), swing("undefined", "", "60")); len(got.Rows) != 2 || len(got.Rows[1].Parts) != 0 || len(got.Rows[0].Parts) != 1 {
		t.Errorf("%+v", got.Rows)
	}
	if got := tornado(); len(got.Rows) != 0 || len(got.Scale.Ticks) == 0 {
		t.Errorf("%+v", got)
	}
}

func estimate(at, spread string) Estimate {
	return Estimate{Mark{Text: at, Value: at}, Mark{Text: spread, Value: spread}}
}

func TestSharesHaveWhiskers(t *testing.T) {
	t.Parallel()
	s := NewShares(SharesData{ID: "s", Title: "t", Inputs: []InputShare{
		{Name: "a", First: estimate("0.5", "0.1"), Total: estimate("0.7", "0.1")},
		{Name: "b", First: estimate("-0.1", "0.1"), Total: estimate("0", "")},
		{Name: "c"},
	}})
	for _, c := range []struct {
		bar  Whisker
		want string
	}{
		{s.Rows[0].First, "20.00% 50.00% 60.00% 80.00%"}, {s.Rows[0].Total, "20.00% 70.00% 80.00% 100.00%"},
		{s.Rows[1].First, "10.00% 10.00% 0.00% 20.00%"}, {s.Rows[1].Total, "20.00% 0.00% 20.00% 20.00%"},
	} {
		if got := c.bar.X + " " + c.bar.Width + " " + c.bar.From + " " + c.bar.To; got != c.want || !c.bar.Drawn {
			t.Errorf("%s: %s, want %s", c.bar.Text, got, c.want)
		}
	}
	if s.Zero != "20.00%" || s.Rows[2].First.Drawn || s.Rows[0].First.Y+shareHeight >= s.Rows[0].Total.Y {
		t.Errorf("zero at %s, bars at %d and %d", s.Zero, s.Rows[0].First.Y, s.Rows[0].Total.Y)
	}
}
