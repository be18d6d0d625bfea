package peers_test

import (
	"bytes"
	"fmt"
	"math"
	"os/exec"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/graph/graphtest"
	"kerfbook/costing/graph/workbook"
	"kerfbook/costing/papers/costbook"
	"kerfbook/costing/papers/recalctest"
	"kerfbook/testdata"
)

var (
	trims      = []bom.ID{"plain", "glow", "tune"}
	quantities = []int64{25, 50, 100, 200, 300, 500, 1000, 2000}
)

// lists is how often the spreadsheet program goes through all quantities while it
// has a workbook open.
const lists = 5

// priceTimes are seconds for the whole price list, apart from start and load.
type priceTimes struct {
	build, evaluate float64 // ours
	start, load     float64 // of the spreadsheet program: an empty file; then ours
	recalculate     float64
	prices, cells   int
}

// BenchmarkPriceList prices three trims at eight quantities for twelve
// destinations, and has LibreOffice recalculate the same workbooks: opened once
// per trim, a quantity typed, the prices read. Run it with -benchtime 1x.
func BenchmarkPriceList(b *testing.B) {
	if _, err := exec.LookPath("soffice"); err != nil {
		fmt.Println("LibreOffice is missing: no comparison of the price list")
		b.Skip()
	}
	var p priceTimes
	for b.Loop() {
		p = priceTimes{start: math.Inf(1)}
		empty := emptyBook(b)
		for _, trim := range trims {
			p.start = min(p.start, seconds(func() { recalctest.Live(b, empty, []recalctest.Step{{}}) }))
			p.add(b, trim)
		}
		p.load -= float64(len(trims)) * p.start
	}
	fmt.Printf("\nPrice list: %d trims × %d quantities × destinations = %d landed prices; workbooks of %d computed cells.\n",
		len(trims), len(quantities), p.prices, p.cells)
	fmt.Printf("%8.3f s  ours, estimates built from the book\n%8.3f s  ours, all prices evaluated\n", p.build, p.evaluate)
	fmt.Printf("%8.3f s  LibreOffice, start with an empty file\n%8.3f s  LibreOffice, load of the three files beyond that\n", p.start, p.load)
	fmt.Printf("%8.3f s  LibreOffice, recalculation of the open files, quantity by quantity\n", p.recalculate)
	fmt.Printf("Opened and recalculated: %.0f × our building and evaluating. Recalculated only: %.0f × our evaluating.\n",
		(p.load+p.recalculate)/(p.build+p.evaluate), p.recalculate/p.evaluate)
}

// add prices one trim.
func (p *priceTimes) add(b *testing.B, trim bom.ID) {
	demo, _, err := book.Parse(testdata.Demo)
	if err != nil {
		b.Fatal(err)
	}
	var est *estimate.Estimate
	p.build += seconds(func() {
		if est, err = estimate.Build(demo, estimate.NewMix("LAMP", decimal.New(quantities[0], 0), trim), "2026-11-25"); err != nil {
			b.Fatal(err)
		}
	})
	var wanted []graph.ID
	for _, l := range est.Landed {
		if !l.Basket {
			wanted = append(wanted, l.BuyerClears.Total)
		}
	}
	want := make([][]decimal.Decimal, len(quantities))
	p.evaluate += seconds(func() { want = priced(b, est, wanted) })
	p.prices += len(wanted) * len(quantities)

	file, names := sheet(b, est)
	p.cells += est.Graph.Len()
	get := make([]string, len(wanted))
	for i, id := range wanted {
		get[i] = names[id]
	}
	first := []recalctest.Step{{Get: get}}
	steps := first
	for range lists {
		for _, q := range quantities {
			steps = append(steps, recalctest.Step{Set: map[string]string{names[est.Variants[0].Quantity]: fmt.Sprint(q)}, Get: get})
		}
	}
	loaded := seconds(func() { recalctest.Live(b, file, first) })
	var got []map[string]string
	whole := seconds(func() { got = recalctest.Live(b, file, steps) })
	p.load += loaded // the start is taken off at the end
	p.recalculate += (whole - loaded) / lists
	comparePrices(b, get, want, got[1:])
}

// priced evaluates every quantity.
func priced(b *testing.B, est *estimate.Estimate, wanted []graph.ID) (out [][]decimal.Decimal) {
	e := exact.New(est.Graph)
	for _, q := range quantities {
		v, err := e.Evaluate(exact.Pins{est.Variants[0].Quantity: decimal.New(q, 0)})
		if err != nil {
			b.Fatal(err)
		}
		var prices []decimal.Decimal
		for _, id := range wanted {
			d, _ := v.Raw(id)
			prices = append(prices, d)
		}
		out = append(out, prices)
	}
	return out
}

// comparePrices makes sure that both did the same work.
func comparePrices(b *testing.B, names []string, want [][]decimal.Decimal, got []map[string]string) {
	for i, prices := range want {
		for k, d := range prices {
			cell, err := decimal.NewFromString(got[i][names[k]])
			if err != nil || cell.Sub(d).Abs().GreaterThan(decimal.New(1, -6)) {
				b.Errorf("%d pieces: %s is %q in the spreadsheet, %s here", quantities[i], names[k], got[i][names[k]], d)
			}
		}
	}
}

// sheet is the cost workbook of an estimate and the names of its cells.
func sheet(b *testing.B, est *estimate.Estimate) ([]byte, map[graph.ID]string) {
	values := graphtest.Evaluated(b, est.Graph)
	m, err := workbook.Build(est.Graph, values)
	if err != nil {
		b.Fatal(err)
	}
	var out bytes.Buffer
	if err := costbook.Write(&out, m, costbook.Meta{Title: "cost", Day: "2026-11-25"}); err != nil {
		b.Fatal(err)
	}
	names := map[graph.ID]string{}
	for _, s := range m.Sheets {
		for _, r := range s.Rows {
			if r.ID != graph.None && r.Name != "" {
				names[r.ID] = r.Name
			}
		}
	}
	return out.Bytes(), names
}

// emptyBook has one number, so that only the start of the program is timed.
func emptyBook(b *testing.B) []byte {
	s := graph.NewBuilder(graph.Limits{})
	one := s.Root().Input("one", "one", graph.Plain, decimal.New(1, 0))
	g := graphtest.Built(b, s)
	file, _ := sheet(b, &estimate.Estimate{Graph: g, Variants: []estimate.Variant{{Full: one}}})
	return file
}

// seconds takes the better of two times: the first may read programs from disk.
func seconds(f func()) float64 {
	best := math.Inf(1)
	for range 2 {
		from := time.Now()
		f()
		best = min(best, time.Since(from).Seconds())
	}
	return best
}
