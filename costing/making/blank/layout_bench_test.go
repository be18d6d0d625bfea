package blank

import (
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/making/blank/layout"
)

// blanks are 1,000 different blanks in tenths of a millimetre, from 20 × 15 mm up,
// for sheets of 1000 × 500 to 3000 × 1500 mm, all with a gap.
func thousandBlanks() [][4]int64 {
	rng := rand.New(rand.NewPCG(1000, 1))
	sheets := [][2]int64{{10000, 5000}, {10000, 6000}, {12500, 10000}, {20000, 10000}, {30000, 15000}}
	out := make([][4]int64, 1000)
	for i := range out {
		s := sheets[rng.IntN(len(sheets))]
		gap := 10 + rng.Int64N(50)
		out[i] = [4]int64{s[0] - 100 + gap, s[1] - 100 + gap, 200 + rng.Int64N(3000) + gap, 150 + rng.Int64N(2000) + gap}
	}
	return out
}

// defined are the blank and the sheet, without gaps and margins.
func defined(d [4]int64) (*bom.Blank, *bom.Stock) {
	number := func(tenths int64) *bom.Number {
		n := bom.Exactly(decimal.New(tenths, -1))
		return &n
	}
	return &bom.Blank{LengthMM: number(d[2] - 20), WidthMM: number(d[3] - 20), KerfMM: number(20)},
		&bom.Stock{ID: "S", Form: bom.Sheet, LengthMM: *number(d[0]), WidthMM: number(d[1])}
}

// BenchmarkThousandLayouts searches the mixed layouts of 1,000 different blanks.
func BenchmarkThousandLayouts(b *testing.B) {
	list := thousandBlanks()
	var by [4]int
	var better int
	for b.Loop() {
		by, better = [4]int{}, 0
		for _, d := range list {
			m := layout.NewGuillotine(d[0], d[1], d[2], d[3])
			by[m.How]++
			if m.Count() > max((d[0]/d[2])*(d[1]/d[3]), (d[0]/d[3])*(d[1]/d[2])) {
				better++
			}
		}
	}
	for how, n := range by {
		b.ReportMetric(float64(n), [4]string{"complete", "curtailed", "one-cut", "grids"}[how])
	}
	b.ReportMetric(float64(better), "better")
}

// BenchmarkThousandLayoutFigures writes the layouts of 1,000 different blanks into
// one graph, decides on them and evaluates it.
func BenchmarkThousandLayoutFigures(b *testing.B) {
	list := thousandBlanks()
	nodes := 0
	for b.Loop() {
		builder := graph.NewBuilder(graph.Limits{})
		for i, d := range list {
			s := builder.Root().In("part", strconv.Itoa(i))
			def, stock := defined(d)
			st := Stock{Def: stock, Length: s.Number("length", "length", graph.Mm, stock.LengthMM, ""), Width: s.Number("width", "width", graph.Mm, *stock.WidthMM, "")}
			Count(s, def, st)
		}
		g, err := builder.Build()
		if err != nil {
			b.Fatal(err)
		}
		if _, err := exact.Evaluate(g, nil); err != nil {
			b.Fatal(err)
		}
		nodes = g.Len()
	}
	b.ReportMetric(float64(nodes), "nodes")
}

// BenchmarkThousandPictures draws 1,000 different blanks.
func BenchmarkThousandPictures(b *testing.B) {
	list := thousandBlanks()
	for b.Loop() {
		for _, d := range list {
			if _, err := Layout(defined(d)); err != nil {
				b.Fatal(err)
			}
		}
	}
}
