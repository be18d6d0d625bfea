package chart

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
)

func tickTexts(a Axis, without string) string {
	var out []string
	for _, t := range a.Ticks {
		if t.Class != without {
			out = append(out, t.Text)
		}
	}
	return strings.Join(out, " ")
}

func TestTicksAreRound(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		axis         Axis
		wide, narrow string
	}{
		{newAxis("", 31, 58), "35 40 45 50 55", "35 40 45 50 55"},
		{newAxis("", -0.37, 0.52), "−0.2 0.0 0.2 0.4", "−0.2 0.0 0.2 0.4"},
		{newAxis("", 1.15e6, 2.1e6), "1200000 1400000 1600000 1800000 2000000", "1500000 2000000"},
		{newAxis("", 100, 100), "96 98 100 102 104", "95 100 105"},
		{newAxis("", 0, 0), "−1.0 −0.5 0.0 0.5 1.0", "−1.0 0.0 1.0"},
		{newLogAxis("", 10, 400), "10 20 50 100 200", "10 50 100"},
		{newLogAxis("", 1, 1e6), "1 10 100 1000 10000 100000 1000000", "1 100 10000 1000000"},
		{newLogAxis("", 1, 2000), "1 5 10 50 100 500 1000", "1 10 100 1000"},
		{newLogAxis("", 11, 95), "20 50", "20 50"},
		{newLogAxis("", 20, 160), "20 40 60 80 100 120 140 160", "50 100 150"},
		{newUpright("", 36, 80), "30 40 50 60 70 80", "30 40 50 60 70 80"},
		{newUpright("", -3.1, 2), "−4 −2 0 2", "−4 −2 0 2"},
	} {
		if wide, narrow := tickTexts(c.axis, "rough"), tickTexts(c.axis, "fine"); wide != c.wide || narrow != c.narrow {
			t.Errorf("from %v to %v: wide %q, narrow %q; want %q, %q", c.axis.low, c.axis.high, wide, narrow, c.wide, c.narrow)
		}
	}
}

// TestTicksStandWhereTheySay places ticks of axes of all sizes and compares the
// places with what the texts say.
func TestTicksStandWhereTheySay(t *testing.T) {
	t.Parallel()
	for _, low := range []float64{-1e15, -812.5, -0.003, 0, 1e-6, 0.73, 999.99, 1e15 - 1e9} {
		for _, span := range []float64{0, 1e-13, 1e-5, 0.3, 7, 1e4, 1e9} {
			for _, make := range []func(string, float64, float64) Axis{newAxis, newLogAxis} {
				checkTicks(t, make("", low, low+span))
			}
		}
	}
}

func checkTicks(t *testing.T, a Axis) {
	t.Helper()
	for _, without := range []string{"rough", "fine"} {
		last, room := math.Inf(-1), map[string]float64{"rough": wideRoom, "fine": narrowRoom}[without]
		for _, k := range a.Ticks {
			if k.Class == without {
				continue
			}
			said, err := strconv.ParseFloat(strings.Replace(k.Text, "−", "-", 1), 64)
			at, _ := strconv.ParseFloat(strings.TrimSuffix(k.At, "%"), 64)
			if err != nil || math.Abs(100*a.share(said)-at) > 0.011 {
				t.Errorf("from %v to %v: the tick %q stands at %s", a.low, a.high, k.Text, k.At)
			}
			if left := at/100*room - textWidth(k.Text)/2; left < last {
				t.Errorf("from %v to %v: the tick %q touches the one before where %v is shown", a.low, a.high, k.Text, room)
			}
			last = at/100*room + textWidth(k.Text)/2
		}
		if math.IsInf(last, -1) {
			t.Errorf("from %v to %v: no tick without %s", a.low, a.high, without)
		}
	}
}

func TestSharesOfAnAxis(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		axis  Axis
		value float64
		want  string
	}{
		{newAxis("", 0, 8), 2, "0.25"}, {newAxis("", 0, 8), -1, "0"}, {newAxis("", 0, 8), 9, "1"},
		{newLogAxis("", 1, 10000), 10, "0.25"}, {newLogAxis("", 1, 10000), 0, "0"}, {newAxis("", 5, 5), 5, "0.5"},
	} {
		if got := fmt.Sprint(c.axis.share(c.value)); got != c.want {
			t.Errorf("%v from %v to %v stands at %s, want %s", c.value, c.axis.low, c.axis.high, got, c.want)
		}
	}
}
