package chart

import (
	"testing"

	"github.com/shopspring/decimal"
)

func step(value string, total bool) Step { return Step{Mark: Mark{Value: value}, Total: total} }

func TestWaterfallStepsStandOnEachOther(t *testing.T) {
	t.Parallel()
	steps := []Step{step("60", false), step("-10", false), step("50", true), step("50", false)}
	w := NewWaterfall("w", "", "", steps, Widest(steps))
	for i, want := range []struct{ x, width, end string }{
		{"0%", "60.00%", "60.00%"}, {"50.00%", "10.00%", "50.00%"}, {"0%", "50.00%", "50.00%"}, {"50.00%", "50.00%", "100.00%"},
	} {
		if b := w.Bars[i]; b.X != want.x || b.Width != want.width || b.End != want.end {
			t.Errorf("bar %d: x %s width %s end %s, want %+v", i, b.X, b.Width, b.End, want)
		}
	}
}

func TestWaterfallOfNothing(t *testing.T) {
	t.Parallel()
	w := NewWaterfall("w", "", "", []Step{step("", false), step("0", true)}, decimal.Zero)
	if w.Bars[0].Width != "0%" || w.Bars[1].Width != "0%" {
		t.Errorf("undefined figures are drawn: %+v", w.Bars)
	}
}

func TestStackRestFillsUp(t *testing.T) {
	t.Parallel()
	s := NewStack("s", "", "",
		Pile{Mark{Value: "80"}, []Segment{{Rest: true}, {Mark: Mark{Value: "20"}}, {Mark: Mark{Value: "0"}}}},
		Pile{Mark{Value: "100"}, []Segment{{Mark: Mark{Value: "100"}}}})
	first := s.Piles[0].Parts
	if len(first) != 2 || first[0].Width != "60.00%" || first[1].X != "60.00%" || first[1].Width != "20.00%" {
		t.Errorf("segments %+v", first)
	}
}
