package estimate_test

import (
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph/exact"
)

// BenchmarkBuild writes the estimate of one trim, with all its destinations.
func BenchmarkBuild(b *testing.B) { benchmarkBuild(b, demo(b)) }

// BenchmarkBuildCost is the same without destinations.
func BenchmarkBuildCost(b *testing.B) {
	book := demo(b)
	book.Destinations = nil
	benchmarkBuild(b, book)
}

func benchmarkBuild(b *testing.B, of *book.Book) {
	nodes := 0
	b.ReportAllocs()
	for b.Loop() {
		est, err := estimate.Build(of, one("tune"), demoDay)
		if err != nil {
			b.Fatal(err)
		}
		nodes = est.Graph.Len()
	}
	b.ReportMetric(float64(nodes), "nodes")
}

// BenchmarkVariants prices 1,000 variants one after the other, each in a batch of its own
// and without a destination, build and figures.
func BenchmarkVariants(b *testing.B) {
	book := demo(b)
	book.Destinations = nil
	trims := book.Products[0].Trims
	for b.Loop() {
		for i := range 1000 {
			est, err := estimate.Build(book, estimate.NewMix("LAMP", decimal.New(int64(50+i), 0), trims[i%len(trims)].ID), demoDay)
			if err != nil {
				b.Fatal(err)
			}
			if _, err := exact.Evaluate(est.Graph, nil); err != nil {
				b.Fatal(err)
			}
		}
	}
}

// BenchmarkEvaluate evaluates the estimate of one trim for another quantity.
func BenchmarkEvaluate(b *testing.B) {
	est := build(b, demo(b), one("tune"))
	e := exact.New(est.Graph)
	pins := exact.Pins{est.Variants[0].Quantity: decimal.New(340, 0)}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := e.Evaluate(pins); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(est.Graph.Len()), "nodes")
}

// BenchmarkPriceList prices every trim of the demo at eight quantities for every
// destination of the book, from the book to the figures.
func BenchmarkPriceList(b *testing.B) {
	book := demo(b)
	figures := 0
	for b.Loop() {
		figures = 0
		for _, trim := range book.Products[0].Trims {
			est, err := estimate.Build(book, one(trim.ID), demoDay)
			if err != nil {
				b.Fatal(err)
			}
			figures += priceList(b, est)
		}
	}
	b.ReportMetric(float64(figures), "prices")
}

func priceList(b *testing.B, est *estimate.Estimate) (prices int) {
	e := exact.New(est.Graph)
	for _, quantity := range []int64{25, 50, 100, 200, 300, 500, 1000, 2000} {
		v, err := e.Evaluate(exact.Pins{est.Variants[0].Quantity: decimal.New(quantity, 0)})
		if err != nil {
			b.Fatal(err)
		}
		for _, p := range est.Variants[0].Prices {
			if v.Defined(p.Shelf) {
				prices++
			}
		}
		for _, l := range est.Landed {
			if v.Defined(l.BuyerClears.Total) {
				prices++
			}
		}
	}
	return prices
}

func one(trim bom.ID) []estimate.MixLine { return estimate.NewMix("LAMP", decimal.New(100, 0), trim) }
