package peers_test

import (
	"context"
	"fmt"
	"math"
	"os/exec"
	"runtime"
	"strings"
	"testing"
	"time"

	"kerfbook/costing/ask/simulate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/column"
	"kerfbook/costing/graph/exact"
)

// rounds is how often everything is timed, in turns; the best counts, since other
// work on the machine only adds.
const (
	rounds = 9
	drawn  = 100 * column.Block
)

// contender is one way to draw and compute the figure.
type contender struct {
	name string
	run  func() (ns float64) // per draw
	best float64
}

// BenchmarkPeers times all ways in one run and prints them with their ratios. Run
// it with -benchtime 1x.
func BenchmarkPeers(b *testing.B) {
	l := newLamp(b)
	o, dir := l.ours(b), l.print(b)
	written := buildGo(b, dir)
	loop := func(program string, more ...string) func() float64 {
		return func() float64 {
			_, ns := runLoop(b, program, drawn, 3, more...)
			return ns
		}
	}
	all := []*contender{
		{name: "columns, sampling, one core", run: timed(func() { o.mean(b, seed, drawn/column.Block) })},
		{name: "columns alone, inputs given", run: timed(func() {
			for range drawn / column.Block {
				if err := o.c.Run(column.Block); err != nil {
					b.Fatal(err)
				}
			}
		})},
		{name: "simulate.Run, whole, one core", run: timed(func() { l.simulate(b, 1) })},
		{name: "simulate.Run, whole, two cores", run: timed(func() { l.simulate(b, 2) })},
		{name: "loop written out in Go", run: loop(written)},
		{name: "the same, drawing alone without the formula", run: loop(written, "drawing")},
	}
	if _, err := exec.LookPath("gcc"); err == nil {
		for _, flags := range []string{"-O2", "-O3 -march=native", "-O3 -march=native -fno-trapping-math -fno-math-errno"} {
			all = append(all, &contender{name: "loop written out in C, " + flags, run: loop(buildC(b, dir, strings.Fields(flags)...))})
		}
	} else {
		fmt.Println("gcc is missing: no comparison with C")
	}
	if python := numPy(); python != "" {
		for _, block := range []int{drawn, 8192, 2048, -2048} {
			name := fmt.Sprintf("NumPy in blocks of %d", block)
			switch {
			case block == drawn:
				name = "NumPy, whole columns"
			case block < 0:
				name = fmt.Sprintf("NumPy in blocks of %d, its own sampler", -block)
			}
			all = append(all, &contender{name: name, run: func() float64 {
				_, ns := runNumPy(b, python, dir, drawn, block, 1)
				return ns
			}})
		}
	} else {
		fmt.Println("NumPy (python3-numpy) is missing: no comparison with it")
	}
	for b.Loop() {
		for range rounds {
			for _, c := range all {
				if ns := c.run(); c.best == 0 || ns < c.best {
					c.best = ns
				}
			}
		}
	}
	b.ReportMetric(all[0].best, "ns/draw")
	table(all, len(l.ranges))
}

func timed(f func()) func() float64 {
	return func() float64 {
		runtime.GC()
		from := time.Now()
		f()
		return float64(time.Since(from).Nanoseconds()) / drawn
	}
}

func (l *lamp) simulate(b *testing.B, cores int) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
	r := simulate.Request{Outputs: []graph.ID{l.full}, Draws: drawn, Seed: seed}
	if _, err := simulate.Run(context.Background(), exact.New(l.g), r, func(int, int) {}); err != nil {
		b.Fatal(err)
	}
}

func table(all []*contender, ranges int) {
	fmt.Printf("\nFull cost of one lamp, %d ranges, %d draws; best of %d.\n", ranges, drawn, rounds)
	fmt.Printf("%8s %9s %9s\n", "ns/draw", "ms", "÷ columns")
	for _, c := range all {
		fmt.Printf("%8.1f %9.2f %9.2f  %s\n", c.best, c.best*drawn/1e6, c.best/all[0].best, c.name)
	}
}

// BenchmarkCurve computes the full cost at 2,000 quantities, the plan included.
func BenchmarkCurve(b *testing.B) {
	l := newLamp(b)
	for b.Loop() {
		p, err := column.New(l.g, column.Options{Vary: []graph.ID{l.pieces}, Outputs: []graph.ID{l.full}})
		if err != nil {
			b.Fatal(err)
		}
		c := p.Columns()
		for from := 1; from <= 2000; from += column.Block {
			n := min(column.Block, 2001-from)
			for i := range n {
				c.In(0)[i] = float64(from + i)
			}
			if err := c.Run(n); err != nil {
				b.Fatal(err)
			}
		}
	}
	b.ReportMetric(math.Round(float64(b.Elapsed().Microseconds())/float64(b.N))/1000, "ms/curve")
}
