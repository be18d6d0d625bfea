package column_test

import (
	"math/rand/v2"
	"os"
	"runtime/debug"
	"slices"
	"sync/atomic"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/column"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/graph/graphtest"
	"kerfbook/testdata/depth"
)

// TestMain collects garbage seldom: the random graphs are many and small.
func TestMain(m *testing.M) {
	debug.SetGCPercent(400)
	os.Exit(m.Run())
}

// TestRandom compares random graphs with the exact evaluator: every figure with
// nothing varying, every figure with half of the typed numbers varying, and a few
// figures, so that columns are joined and used again.
func TestRandom(t *testing.T) {
	t.Parallel()
	const batches = 20
	seeds := slices.Collect(depth.Seeds(10_000))
	var drawn, left atomic.Int64
	t.Run("all", func(t *testing.T) {
		for batch := range batches {
			t.Run("", func(t *testing.T) {
				t.Parallel()
				for i := batch; i < len(seeds); i += batches {
					r := newTrial(seeds[i], sizeOf(seeds[i]))
					r.run(t)
					drawn.Add(int64(r.drawn))
					left.Add(int64(r.left))
					if t.Failed() {
						return
					}
				}
			})
		}
	})
	t.Logf("%d of %d draws left out as doubtful", left.Load(), drawn.Load())
	if left.Load()*50 > drawn.Load() {
		t.Errorf("%d of %d draws left out, more than 2%%", left.Load(), drawn.Load())
	}
}

// sizeOf makes most graphs small; one in 40 is large enough for every operation.
func sizeOf(seed uint64) int {
	if seed%40 == 0 {
		return 220
	}
	return 60 + int(seed%11)
}

// FuzzRandom looks for a graph that computes otherwise than exactly.
func FuzzRandom(f *testing.F) {
	for seed := range uint64(4) {
		f.Add(seed, uint16(100))
	}
	f.Add(uint64(7), uint16(280))  // ln 1
	f.Add(uint64(95), uint16(335)) // more steps than binary numbers can count
	f.Fuzz(func(t *testing.T, seed uint64, size uint16) {
		newTrial(seed, int(size%400)).run(t)
	})
}

// trial is one random graph with what varies in it.
type trial struct {
	seed        uint64
	g           *graph.Graph
	rnd         *rand.Rand
	vary        []graph.ID
	draws       []exact.Pins // the first has the likely values
	judges      []*judge     // per draw; nil if it is left out
	drawn, left int
	each        int // draws
}

func newTrial(seed uint64, size int) *trial {
	r := &trial{seed: seed, g: graphtest.Random(seed, size), rnd: rand.New(rand.NewPCG(seed, 7)), each: 2}
	if seed%4 == 0 {
		r.each = 4
	}
	for _, id := range typedNodes(r.g) {
		if r.rnd.IntN(2) == 0 {
			r.vary = append(r.vary, id)
		}
	}
	return r
}

// run compares the graph every way.
func (r *trial) run(t *testing.T) {
	all := everyNode(r.g)
	r.draw(t)
	r.compare(t, nil, all)
	r.compare(t, r.vary, all)
	few := []graph.ID{all[len(all)-1], all[r.rnd.IntN(len(all))], all[r.rnd.IntN(len(all))]}
	switch r.seed % 4 {
	case 0:
		r.compare(t, append(r.frontier(), r.vary...), few)
	case 1, 2:
		r.compare(t, r.vary, few)
	}
}

// frontier picks some computed figures to be given as columns.
func (r *trial) frontier() (ids []graph.ID) {
	for id := range graph.ID(r.g.Len()) {
		if len(r.g.Node(id).Args) > 0 && r.rnd.IntN(6) == 0 {
			ids = append(ids, id)
		}
	}
	return ids
}

// draw evaluates the draws exactly.
func (r *trial) draw(t *testing.T) {
	t.Helper()
	for k := range r.each {
		pins := exact.Pins{}
		for _, id := range r.vary {
			pins[id] = r.g.Node(id).Value
			if k > 0 {
				pins[id] = pins[id].Add(r.move())
			}
		}
		r.drawn++
		j, err := newJudge(r.g, pins)
		if err != nil && k == 0 {
			t.Fatalf("seed %d: %v", r.seed, err)
		}
		if err != nil || j.anyDoubtful() {
			j, r.left = nil, r.left+1
		}
		r.draws, r.judges = append(r.draws, pins), append(r.judges, j)
	}
}

func (j *judge) anyDoubtful() bool {
	for id := range j.values {
		if j.doubtful(graph.ID(id)) {
			return true
		}
	}
	return false
}

// move is how much a typed number is changed: often so that ties stay ties, and
// never out of the windows of decisions.
func (r *trial) move() decimal.Decimal {
	switch r.rnd.IntN(4) {
	case 0:
		return decimal.New(r.rnd.Int64N(4), 0)
	case 1:
		return decimal.New(r.rnd.Int64N(9)-1, 0).Div(decimal.New(2, 0))
	case 2:
		return decimal.New(r.rnd.Int64N(400)-90, -2)
	}
	return decimal.Zero
}

// compare runs a plan and compares its outputs with the exact figures.
func (r *trial) compare(t *testing.T, vary, outputs []graph.ID) {
	t.Helper()
	p, err := column.New(r.g, column.Options{Vary: vary, Outputs: outputs})
	if err != nil {
		t.Fatalf("seed %d: %v", r.seed, err)
	}
	n := 1 + r.rnd.IntN(8)
	c := p.SmallColumns(n)
	for i, id := range vary {
		col := c.In(i)
		for k := range n {
			col[k] = r.given(id, k%r.each)
		}
	}
	if err := c.Run(n); err != nil {
		t.Fatalf("seed %d: %v", r.seed, err)
	}
	for i, id := range outputs {
		for k, got := range c.Out(i)[:n] {
			d := k % r.each
			if len(vary) == 0 {
				d = 0
			}
			if j := r.judges[d]; j != nil && !j.agrees(id, got) {
				n := r.g.Node(id)
				t.Fatalf("seed %d, %d varied, %d outputs, draw %d: %s (%s) of %v is %v, exactly %v",
					r.seed, len(vary), len(outputs), k, n.Key, n.Op, n.Args, got, j.values[id])
			}
		}
	}
}

// given is the value of a varied figure in a draw; of a draw left out it does not
// matter.
func (r *trial) given(id graph.ID, draw int) float64 {
	if d, typed := r.draws[draw][id]; typed {
		return d.InexactFloat64()
	}
	if r.judges[draw] == nil {
		return 1
	}
	return r.judges[draw].values[id]
}
