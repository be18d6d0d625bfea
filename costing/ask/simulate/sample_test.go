package simulate

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"kerfbook/costing/graph/column"
)

// sampleOf sorts values into a sample of some blocks, and gives them all sorted.
func sampleOf(blocks int, values func(i int) float64) (*sample, []float64) {
	s := newSample(blocks, column.Block)
	var all []float64
	for b := range blocks {
		block := make([]float64, 1024)
		for i := range block {
			block[i] = values(b*1024 + i)
		}
		s.put(b, block)
		all = append(all, s.blocks[b]...)
	}
	slices.Sort(all)
	return s.first(blocks), all
}

func samples() map[string]func(i int) float64 {
	r := rand.New(rand.NewPCG(3, 4))
	return map[string]func(i int) float64{
		"normal":     func(int) float64 { return r.NormFloat64() },
		"few values": func(int) float64 { return float64(r.IntN(5) - 2) },
		"tiny":       func(int) float64 { return r.Float64() * 1e-300 },
		"wide":       func(int) float64 { return math.Exp(100 * r.NormFloat64()) },
		"equal":      func(int) float64 { return 7 },
		"signed zeros": func(i int) float64 {
			return math.Copysign(0, float64(i%2)-0.5)
		},
		"some undefined": func(i int) float64 {
			if i%3 == 0 {
				return math.NaN()
			}
			return float64(r.IntN(1000))
		},
		"one far away": func(i int) float64 { return float64(r.IntN(9)) + float64(i/1023)*1e18 },
		"huge":         func(int) float64 { return (r.Float64()*2 - 1) * math.MaxFloat64 / 4 },
		"descending":   func(i int) float64 { return -float64(i) },
		"blocks without any": func(i int) float64 {
			if i < 2048 {
				return math.Inf(1)
			}
			return r.Float64()
		},
	}
}

// TestRanks compares the places found by halving with a sorted copy.
func TestRanks(t *testing.T) {
	t.Parallel()
	for name, values := range samples() {
		s, all := sampleOf(5, values)
		if s.values != len(all) {
			t.Fatalf("%s: %d values, want %d", name, s.values, len(all))
		}
		for _, place := range []int{0, 1, 2, len(all) / 3, len(all) / 2, len(all) - 2, len(all) - 1} {
			v, next := s.ranked(place)
			if v != all[place] || next != all[min(place+1, len(all)-1)] {
				t.Errorf("%s: place %d is %v, then %v; want %v, then %v", name, place, v, next, all[place], all[min(place+1, len(all)-1)])
			}
		}
	}
}

// TestQuantileIsTypeSeven holds quantiles to the definition, on a sorted copy,
// and to small cases worked by hand.
func TestQuantileIsTypeSeven(t *testing.T) {
	t.Parallel()
	for name, values := range samples() {
		s, all := sampleOf(3, values)
		for _, p := range []float64{0, 0.001, 0.05, 0.1, 0.5, 0.8, 0.95, 1} {
			h := p * float64(len(all)-1)
			at := int(h)
			want := all[at] + (h-float64(at))*(all[min(at+1, len(all)-1)]-all[at])
			if got := s.quantile(p).Value; got != want {
				t.Errorf("%s: P%v is %v, want %v", name, p, got, want)
			}
		}
	}
	byHand := &sample{blocks: [][]float64{{1, 4}, {2, 8}}, values: 4}
	for p, want := range map[float64]float64{0: 1, 0.5: 3, 1.0 / 3: 2, 0.75: 5, 1: 8} {
		if got := byHand.quantile(p).Value; math.Abs(got-want) > 1e-12 {
			t.Errorf("P%v of 1 2 4 8 is %v, want %v", p, got, want)
		}
	}
	// The medians of the blocks are 2.5 and 5: their deviation 2.5/√2, by √2.
	if got := byHand.quantile(0.5).Error; math.Abs(got-1.25) > 1e-12 {
		t.Errorf("error of the median is %v, want 1.25", got)
	}
}

func TestMoments(t *testing.T) {
	t.Parallel()
	s := &sample{blocks: [][]float64{{1, 4}, {2, 8}, {}}, values: 4}
	mean, deviation := s.moments()
	// Mean 15/4; squares 2.75² + 0.25² + 1.75² + 4.25² = 28.75, by 3. The means of
	// the blocks are 2.5 and 5, their deviations 3/√2 and 6/√2.
	for name, c := range map[string][2]float64{
		"mean": {mean.Value, 3.75}, "its error": {mean.Error, 1.25},
		"deviation": {deviation.Value, math.Sqrt(28.75 / 3)}, "error of the deviation": {deviation.Error, 1.5 / math.Sqrt2},
	} {
		if math.Abs(c[0]-c[1]) > 1e-12 {
			t.Errorf("%s is %v, want %v", name, c[0], c[1])
		}
	}
}

// TestErrorNeedsReplicates gives no standard error from one replicate.
func TestErrorNeedsReplicates(t *testing.T) {
	t.Parallel()
	s := &sample{blocks: [][]float64{{1, 4}, {}}, values: 2}
	if e := s.quantile(0.5).Error; !math.IsNaN(e) {
		t.Errorf("error %v from one replicate", e)
	}
	none := &sample{blocks: [][]float64{{}, {}}}
	if q := none.quantile(0.5); !math.IsNaN(q.Value) || !math.IsNaN(q.Error) {
		t.Errorf("quantile of nothing is %v", q)
	}
	if m, d := none.moments(); !math.IsNaN(m.Value) || !math.IsNaN(d.Value) {
		t.Errorf("moments of nothing are %v, %v", m, d)
	}
	if h, c := none.histogram(), none.curve(); h.Counts != nil || c != nil {
		t.Errorf("picture of nothing: %v %v", h, c)
	}
}

func TestHistogramHoldsEveryDraw(t *testing.T) {
	t.Parallel()
	for name, values := range samples() {
		s, all := sampleOf(4, values)
		h := s.histogram()
		total := 0
		for i, c := range h.Counts {
			total += c
			if len(h.Edges) == 1 {
				continue
			}
			inside := 0
			for _, v := range all {
				last := i == len(h.Counts)-1 && v == h.Edges[i+1]
				if v >= h.Edges[i] && v < h.Edges[i+1] || last {
					inside++
				}
			}
			if inside != c {
				t.Errorf("%s: bin %d from %v to %v counts %d, has %d", name, i, h.Edges[i], h.Edges[i+1], c, inside)
			}
		}
		if total != len(all) || len(h.Counts) > mostBins+2 {
			t.Errorf("%s: %d bins with %d of %d draws", name, len(h.Counts), total, len(all))
		}
	}
}

func TestCurveClimbsToOne(t *testing.T) {
	t.Parallel()
	for name, values := range samples() {
		s, all := sampleOf(4, values)
		c := s.curve()
		for i, p := range c {
			share := float64(atMost(all, p.X)) / float64(len(all))
			if p.Share != share || i > 0 && (p.X <= c[i-1].X || p.Share < c[i-1].Share) {
				t.Errorf("%s: point %d is %v, want share %v", name, i, p, share)
			}
		}
		if len(c) > 200 || c[len(c)-1].Share != 1 {
			t.Errorf("%s: %d points, the last %v", name, len(c), c[len(c)-1])
		}
	}
}

func TestRoundSteps(t *testing.T) {
	t.Parallel()
	for width, want := range map[float64]float64{1: 1, 1.01: 2, 2.1: 2.5, 2.6: 5, 5.1: 10, 0.03: 0.05, 0.1: 0.1, 123: 200, 1e-300: 1e-300, 7e200: 1e201} {
		if got := roundStep(width).times(1); got != want {
			t.Errorf("step for %v is %v, want %v", width, got, want)
		}
	}
	if got := roundStep(0.05).times(3); got != 0.15 {
		t.Errorf("three steps of 0.05 are %v", got)
	}
}

// TestPut sorts smooth, lumpy and extreme values, and leaves out what is no
// value.
func TestPut(t *testing.T) {
	t.Parallel()
	for name, value := range samples() {
		for _, n := range []int{0, 1, 2, 3, 500, 1024} {
			values, want := make([]float64, n), []float64{}
			for i := range values {
				values[i] = value(i)
				if finite(values[i]) {
					want = append(want, values[i])
				}
			}
			slices.Sort(want)
			out := newSample(1, column.Block)
			if out.put(0, values); !slices.Equal(out.blocks[0], want) {
				t.Errorf("%s: %d values come out as %v", name, n, out.blocks[0])
			}
		}
	}
}
