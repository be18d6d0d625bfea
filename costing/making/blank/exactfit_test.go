package blank_test

import (
	"fmt"
	"math/big"
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/column"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/making/blank"
	"kerfbook/costing/papers/recalctest"
	"kerfbook/costing/rates"
)

// exactFit is stock made to hold a whole number of blanks exactly, or a hair more
// or less, with the counts that setting blanks down one by one gives.
type exactFit struct {
	form   bom.StockForm
	sizes  map[string]decimal.Decimal // by key of the figure
	counts map[string]int             // by key of the figure, below the part
}

// hairs gives a length in thousandths of a millimetre, the step in which sizes are
// typed.
func hairs(n int64) decimal.Decimal { return decimal.New(n, -3) }

// fits makes exact fits of one form: bars, rectangles or discs.
type fits struct {
	rng *rand.Rand
}

// side gives a blank and a gap, in thousandths, half the time in tenths as people
// type them.
func (f fits) side() (blank, gap int64) {
	blank, gap = 2000+f.rng.Int64N(180_000), f.rng.Int64N(6000)
	if f.rng.IntN(2) == 0 {
		blank, gap = blank/100*100, gap/100*100
	}
	return blank, gap
}

// off is by how much a fit is missed: not at all in one case of two.
func (f fits) off() int64 { return []int64{0, 0, 1, -1}[f.rng.IntN(4)] }

func (f fits) bar() exactFit {
	blank, kerf := f.side()
	trim, grip, n := f.rng.Int64N(20_000), f.rng.Int64N(2)*f.rng.Int64N(90_000), 1+f.rng.Int64N(150)
	length := trim + grip + n*(blank+kerf) + f.off()
	if grip == 0 {
		length -= kerf
	}
	b := bar{length * 10, trim * 10, grip * 10, blank * 10, kerf * 10}
	return exactFit{bom.Bar, map[string]decimal.Decimal{"stock/S/length": hairs(length), "part/end-cut": hairs(trim), "part/bar-end": hairs(grip),
		"part/blank-length": hairs(blank), "part/kerf": hairs(kerf)}, map[string]int{"per-bar": int(b.saw())}}
}

// sheet gives the sides of a sheet that blanks of a × b fill exactly.
func (f fits) sheet(a, b, gap int64) (length, width, margin int64) {
	margin = f.rng.Int64N(12_000)
	length = (1+f.rng.Int64N(40))*(a+gap) - gap + 2*margin + f.off()
	width = (1+f.rng.Int64N(25))*(b+gap) - gap + 2*margin + f.off()
	return length, width, margin
}

func (f fits) rectangles() exactFit {
	a, gap := f.side()
	b, _ := f.side()
	length, width, margin := f.sheet(a, b, gap)
	s := sheet{length: thousandths(length), width: thousandths(width), margin: thousandths(margin), gap: thousandths(gap), a: thousandths(a), b: thousandths(b)}
	c := s.counts()
	return exactFit{bom.Sheet, map[string]decimal.Decimal{"stock/S/length": hairs(length), "stock/S/width": hairs(width), "part/margin": hairs(margin),
		"part/kerf": hairs(gap), "part/blank-length": hairs(a), "part/blank-width": hairs(b)},
		map[string]int{"layout/as-drawn/count": c[0], "layout/turned/count": c[1]}}
}

// discs fill their rows exactly, every other time with half a pitch more, so that
// shifted rows are as long as the first.
func (f fits) discs() exactFit {
	d, gap := f.side()
	d, gap = d/2*2, gap/2*2
	length, width, margin := f.sheet(d, d, gap)
	if f.rng.IntN(2) == 0 {
		length += (d + gap) / 2
	}
	s := sheet{length: thousandths(length), width: thousandths(width), margin: thousandths(margin), gap: thousandths(gap), d: thousandths(d)}
	u, v := s.usable()
	size, space := ft.Rat(s.d), ft.Rat(s.gap)
	return exactFit{bom.Plate, map[string]decimal.Decimal{"stock/S/length": hairs(length), "stock/S/width": hairs(width), "part/margin": hairs(margin),
		"part/kerf": hairs(gap), "part/blank-diameter": hairs(d)},
		map[string]int{"layout/square/count": lay(u, size, space) * lay(v, size, space),
			"layout/hexagonal-length/count": rowsOf(u, v, size, space), "layout/hexagonal-width/count": rowsOf(v, u, size, space)}}
}

func thousandths(n int64) string { return hairs(n).String() }

// rowsOf counts discs in hexagonal rows along u, row by row.
func rowsOf(u, v, d, gap *big.Rat) (n int) {
	if d.Cmp(u) > 0 {
		return 0
	}
	pitch := ft.Plus(d, gap)
	shifted := ft.Minus(u, ft.Times(pitch, ft.Rat("0.5")))
	rows := []int{lay(u, d, gap), lay(shifted, d, gap)}
	for r := 0; rowFits(r, v, d, pitch); r++ {
		n += rows[r%2]
	}
	return n
}

// job is the fit as a part, with its sizes typed.
func (f exactFit) job() job {
	j := plain(f.form)
	number := func(key string) *bom.Number {
		d, ok := f.sizes[key]
		if !ok {
			return nil
		}
		n := bom.Exactly(d)
		return &n
	}
	j.stock.LengthMM = *number("stock/S/length")
	if w := number("stock/S/width"); w != nil {
		j.stock.WidthMM = w
	}
	j.blank = bom.Blank{Stock: "S", LengthMM: number("part/blank-length"), WidthMM: number("part/blank-width"), DiameterMM: number("part/blank-diameter"),
		KerfMM: number("part/kerf"), EndCutMM: number("part/end-cut"), BarEndMM: number("part/bar-end"), MarginMM: number("part/margin")}
	return j
}

// TestExactFitsKeepTheirBlank: 3,600 fits of bars, rectangles and discs, counted
// with fractions, in the exact and in the column evaluator.
func TestExactFitsKeepTheirBlank(t *testing.T) {
	t.Parallel()
	for name, next := range map[string]func(f fits) exactFit{"bars": fits.bar, "rectangles": fits.rectangles, "discs": fits.discs} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			f := fits{rand.New(rand.NewPCG(2, 65))}
			list := make([]exactFit, 1200)
			for i := range list {
				list[i] = next(f)
			}
			inBoth(t, list)
		})
	}
}

// inBoth evaluates fits of one form on one graph.
func inBoth(t *testing.T, list []exactFit) {
	b := list[0].job().build(t)
	hold := exact.Pins{}
	o := column.Options{Hold: map[graph.ID]float64{}}
	for id := range graph.ID(b.Graph.Len()) {
		if b.Graph.Node(id).Op == graph.Decided {
			hold[id], o.Hold[id] = decimal.NewFromInt(1), 1
		}
	}
	var inputs, outputs []string
	for key := range list[0].sizes {
		inputs, o.Vary = append(inputs, key), append(o.Vary, b.id(key))
	}
	for key := range list[0].counts {
		outputs, o.Outputs = append(outputs, key), append(o.Outputs, b.id(key))
	}
	plan, err := column.New(b.Graph, o)
	if err != nil {
		t.Fatal(err)
	}
	columns, e := plan.Columns(), exact.New(b.Graph)
	for from := 0; from < len(list); from += column.Block {
		block := list[from:min(from+column.Block, len(list))]
		for i, key := range inputs {
			for k, f := range block {
				columns.In(i)[k] = f.sizes[key].InexactFloat64()
			}
		}
		if err := columns.Run(len(block)); err != nil {
			t.Fatal(err)
		}
		for k, f := range block {
			for i, key := range inputs {
				hold[o.Vary[i]] = f.sizes[key]
			}
			values, err := e.Evaluate(hold)
			if err != nil {
				t.Fatal(err)
			}
			for i, key := range outputs {
				if got, ok := values.Raw(o.Outputs[i]); !ok || got.IntPart() != int64(f.counts[key]) {
					t.Errorf("%v: %s is %s, counted %d", f.sizes, key, got, f.counts[key])
				}
				if got := columns.Out(i)[k]; got != float64(f.counts[key]) {
					t.Errorf("%v: %s in the column is %g, counted %d", f.sizes, key, got, f.counts[key])
				}
			}
		}
	}
}

// TestExactFitsInAWorkbook: 51 fits as parts of one workbook, recalculated by
// LibreOffice with its stored results taken out.
func TestExactFitsInAWorkbook(t *testing.T) {
	t.Parallel()
	f := fits{rand.New(rand.NewPCG(51, 3))}
	b := graph.NewBuilder(graph.Limits{})
	root := b.Root().From(graph.Source{Where: "test"})
	type counted struct {
		key  string
		want int
		fit  exactFit
	}
	var list []counted
	for i := range 51 {
		fit := []func() exactFit{f.bar, f.rectangles, f.discs}[i%3]()
		at := root.In("fit", strconv.Itoa(i))
		j := fit.job()
		st := blank.NewStock(at.In("stock"), &j.stock, rates.Material{DensityGCM3: *ft.Num("1")}, at.In("material"))
		blank.Count(at, &j.blank, st)
		for key, want := range fit.counts {
			list = append(list, counted{fmt.Sprintf("fit/%d/%s", i, key), want, fit})
		}
	}
	figures := ft.Of(t, b)
	cells := recalctest.Graphs(t, figures.Graph)[0]
	for _, c := range list {
		if got := cells[figures.ID(c.key)]; got != strconv.Itoa(c.want) {
			t.Errorf("%v: %s is %q in the workbook, counted %d", c.fit.sizes, c.key, got, c.want)
		}
	}
}
