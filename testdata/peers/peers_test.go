package peers_test

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/ask/shape"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/column"
	"kerfbook/costing/graph/exact"
	"kerfbook/testdata"
)

// lamp is the figure the peers compute.
type lamp struct {
	g      *graph.Graph
	full   graph.ID
	pieces graph.ID
	ranges []graph.ID // that it rests on
	hold   map[graph.ID]float64
	moving map[graph.ID]bool
	v      *exact.Values
}

// newLamp builds the estimate of 250 lamps of trim glow. Decisions are held, as a
// simulation holds them.
func newLamp(t testing.TB) *lamp {
	t.Helper()
	b, _, err := book.Parse(testdata.Demo)
	if err != nil {
		t.Fatal(err)
	}
	est, err := estimate.Build(b, estimate.NewMix("LAMP", decimal.New(250, 0), "glow"), "2026-11-25")
	if err != nil {
		t.Fatal(err)
	}
	l := &lamp{g: est.Graph, full: est.Variants[0].Full, pieces: est.Variants[0].Quantity, hold: map[graph.ID]float64{}}
	if l.v, err = exact.Evaluate(l.g, nil); err != nil {
		t.Fatal(err)
	}
	needed := map[graph.ID]bool{l.full: true}
	for id := l.full; id >= 0; id-- {
		switch n := l.g.Node(id); {
		case !needed[id]:
		case n.Op == graph.Least || n.Op == graph.Decided:
			d, _ := l.v.Raw(id)
			l.hold[id] = d.InexactFloat64()
		default:
			for _, a := range n.Args {
				needed[a] = true
			}
		}
	}
	l.moving = map[graph.ID]bool{}
	for id := range l.full + 1 {
		n := l.g.Node(id)
		_, held := l.hold[id]
		switch {
		case !needed[id] || held:
		case n.Op == graph.Range:
			l.ranges = append(l.ranges, id)
			l.moving[id] = true
		case slices.ContainsFunc(n.Args, func(a graph.ID) bool { return l.moving[a] }):
			l.moving[id] = true
		}
	}
	return l
}

// print writes the formula out in each language, and gives the folder.
func (l *lamp) print(t testing.TB) string {
	t.Helper()
	p := &printer{t: t, g: l.g, v: l.v, of: map[graph.ID]operand{}}
	var ranges [][3]float64
	for i, id := range l.ranges {
		n := l.g.Node(id)
		ranges = append(ranges, [3]float64{n.Low.InexactFloat64(), n.Value.InexactFloat64(), n.High.InexactFloat64()})
		p.of[id] = operand{name: fmt.Sprintf("x[%d]", i)}
	}
	for id := range l.full + 1 {
		if l.moving[id] && l.g.Node(id).Op != graph.Range {
			p.print(id)
		}
	}
	result := p.of[l.full].text()
	p.leaveOut(result)
	dir := t.TempDir()
	for name, text := range map[string][]byte{"formula.go": p.goText(ranges, result), "formula.c": p.cText(ranges, result), "formula.py": p.pythonText(ranges, result)} {
		if err := os.WriteFile(filepath.Join(dir, name), text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// golden is the step of the counter that the loops scramble. It is a variable:
// products of it overflow on purpose.
var golden uint64 = 0x9e3779b97f4a7c15

// fraction scrambles a counter to a number from 0 to 1, as the loops do.
func fraction(z uint64) float64 {
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return float64((z^z>>31)>>11) * 0x1p-53
}

// ours draws as the peers do, value for value, and computes the formula by columns.
type ours struct {
	p        *column.Plan
	c        *column.Columns
	samplers []*shape.Sampler
}

func (l *lamp) ours(t testing.TB) *ours {
	t.Helper()
	p, err := column.New(l.g, column.Options{Vary: l.ranges, Outputs: []graph.ID{l.full}, Hold: l.hold})
	if err != nil {
		t.Fatal(err)
	}
	o := &ours{p: p, c: p.Columns()}
	for _, id := range l.ranges {
		s := shape.Of(l.g.Node(id))
		s.Shape = bom.Triangular // what the peers draw
		o.samplers = append(o.samplers, s.Sampler())
	}
	return o
}

// mean is the mean of the draws that the loops make, in whole blocks.
func (o *ours) mean(t testing.TB, seed uint64, blocks int) float64 {
	sum := 0.0
	for b := range blocks {
		for j, s := range o.samplers {
			u := o.c.In(j)
			at := seed + uint64(b*column.Block*len(o.samplers)+j+1)*golden
			for i := range u {
				u[i] = fraction(at)
				at += golden * uint64(len(o.samplers))
			}
			s.Fill(u, u)
		}
		if err := o.c.Run(column.Block); err != nil {
			t.Fatal(err)
		}
		for _, v := range o.c.Out(0) {
			sum += v
		}
	}
	return sum / float64(blocks*column.Block)
}

const seed, blocks = 7, 20

// TestPeersAgree compares the means of the same draws, and with NumPy, which draws
// others, within six standard errors.
func TestPeersAgree(t *testing.T) {
	t.Parallel()
	l := newLamp(t)
	dir, want := l.print(t), l.ours(t).mean(t, seed, blocks)
	t.Run("go", func(t *testing.T) {
		t.Parallel()
		got, _ := runLoop(t, buildGo(t, dir), blocks*column.Block, 1)
		if !(math.Abs(got-want) < 1e-9*want) {
			t.Errorf("Go has mean %v, columns %v", got, want)
		}
	})
	t.Run("c", func(t *testing.T) {
		t.Parallel()
		got, _ := runLoop(t, buildC(t, dir, "-O3", "-march=native"), blocks*column.Block, 1)
		if !(math.Abs(got-want) < 1e-9*want) {
			t.Errorf("C has mean %v, columns %v", got, want)
		}
	})
	t.Run("numpy", func(t *testing.T) {
		t.Parallel()
		python := numPy()
		if python == "" {
			t.Skip("NumPy (python3-numpy) is not installed: no comparison with it")
		}
		const near = 0.01 // six standard errors of 20,480 draws are well below 1% here
		for _, block := range []int{20480, 2048, -2048} {
			if got, _ := runNumPy(t, python, dir, blocks*column.Block, block, 1); !(math.Abs(got-want) < near*want) {
				t.Errorf("NumPy in blocks of %d has mean %v, columns %v", block, got, want)
			}
		}
	})
}

func buildGo(t testing.TB, dir string) string {
	t.Helper()
	loop, err := os.ReadFile(filepath.Join("go", "loop.go"))
	if err != nil {
		t.Fatal(err)
	}
	source := filepath.Join(dir, "loop.go") // Go wants the files of a program in one folder
	if err := os.WriteFile(source, loop, 0o644); err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(dir, "go.loop")
	if text, err := exec.Command("go", "build", "-o", out, source, filepath.Join(dir, "formula.go")).CombinedOutput(); err != nil {
		t.Fatalf("go build: %v\n%s", err, text)
	}
	return out
}

func buildC(t testing.TB, dir string, flags ...string) string {
	t.Helper()
	gcc, err := exec.LookPath("gcc")
	if err != nil {
		t.Skip("gcc is not installed: no comparison with C")
	}
	out := filepath.Join(t.TempDir(), "loop")
	args := append(flags, "-I", dir, "-o", out, filepath.Join("c", "loop.c"), "-lm")
	if text, err := exec.Command(gcc, args...).CombinedOutput(); err != nil {
		t.Fatalf("gcc: %v\n%s", err, text)
	}
	return out
}

func runLoop(t testing.TB, program string, draws, rounds int, more ...string) (mean, ns float64) {
	t.Helper()
	return scan(t, exec.Command(program, append([]string{fmt.Sprint(seed), fmt.Sprint(draws), fmt.Sprint(rounds)}, more...)...))
}

// numPy is a Python that has it, "" if there is none.
func numPy() string {
	for _, name := range []string{"python3", "/usr/bin/python3"} {
		if exec.Command(name, "-c", "import numpy; numpy.zeros(1)").Run() == nil {
			return name
		}
	}
	return ""
}

func runNumPy(t testing.TB, python, dir string, draws, block, rounds int) (mean, ns float64) {
	t.Helper()
	cmd := exec.Command(python, "-B", filepath.Join("python", "loop.py"), fmt.Sprint(seed), fmt.Sprint(draws), fmt.Sprint(block), fmt.Sprint(rounds))
	cmd.Env = append(os.Environ(), "PYTHONPATH="+dir)
	return scan(t, cmd)
}

func scan(t testing.TB, cmd *exec.Cmd) (mean, ns float64) {
	t.Helper()
	text, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %v\n%s", cmd.Args, err, text)
	}
	if _, err := fmt.Sscan(string(text), &mean, &ns); err != nil {
		t.Fatalf("%v printed %q", cmd.Args, text)
	}
	return mean, ns
}
