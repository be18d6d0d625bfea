package web_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/papers/show"
	"kerfbook/web/chart"
	"kerfbook/web/frame"
)

// gallery shows every kind of chart, with ordinary and with odd data. Its numbers
// are invented.
type gallery struct {
	Histograms  []chart.Histogram
	Cumulatives []chart.Cumulative
	Tornados    []chart.Tornado
	Shares      []chart.Shares
	Curves      []chart.StepCurve
	Bridges     []chart.Bridge
}

func newGallery(t testing.TB) *gallery {
	t.Helper()
	g := &gallery{}
	for _, d := range galleryHistograms() {
		g.Histograms = append(g.Histograms, chart.NewHistogram(d))
	}
	for _, d := range galleryCumulatives() {
		g.Cumulatives = append(g.Cumulatives, chart.NewCumulative(d))
	}
	for _, d := range galleryTornados() {
		g.Tornados = append(g.Tornados, chart.NewTornado(d))
	}
	for _, d := range galleryShares() {
		g.Shares = append(g.Shares, chart.NewShares(d))
	}
	for _, d := range galleryCurves() {
		g.Curves = append(g.Curves, chart.NewStepCurve(d))
	}
	for _, d := range galleryBridges() {
		g.Bridges = append(g.Bridges, must(chart.NewBridge(d))(t))
	}
	return g
}

// invented writes an amount.
func invented(v float64) string { return frame.Minus(show.Places(decimal.NewFromFloat(v), 2)) }

func statistic(label string, v float64) chart.Mark {
	return chart.Mark{Label: label, Text: invented(v), Stat: label, Value: strconv.FormatFloat(v, 'f', -1, 64)}
}

func figureMark(label, key string, v float64) chart.Mark {
	m := statistic(label, v)
	m.Stat, m.Key, m.Href = "", key, "/proof/"+key
	return m
}

func shareMark(label string, v float64) chart.Mark {
	m := statistic(label, v)
	m.Text = frame.Minus(show.Percent(decimal.NewFromFloat(v)))
	return m
}

// quantileSpots marks what a result of draws has, with a price.
func quantileSpots(at [5]float64, price float64) []chart.Spot {
	out := []chart.Spot{}
	for i, name := range []string{"P10", "P50", "P80", "P90"} {
		out = append(out, chart.Spot{Mark: statistic(name, at[i]), Class: "quantile", Error: statistic("standard error of "+name, 0.012*float64(i+1))})
	}
	out = append(out, chart.Spot{Mark: figureMark("likely", "variant/plain/each/full", at[4]), Class: "likely"})
	if price > 0 {
		out = append(out, chart.Spot{Mark: figureMark("price", "variant/plain/price/direct/shelf-net", price), Class: "target", Second: shareMark("chance at this price", 0.8241)})
	}
	return out
}

func bell(low, high, middle, wide float64, n int) []chart.Bin {
	var out []chart.Bin
	width := (high - low) / float64(n)
	for i := range n {
		x := low + width*(float64(i)+0.5)
		z := (x - middle) / wide
		if x > middle {
			z /= 1.6 // leaning to the right, as costs do
		}
		out = append(out, chart.Bin{From: low + width*float64(i), To: low + width*float64(i+1), Count: int(2000 * math.Exp(-z*z/2))})
	}
	return out
}

func galleryHistograms() []chart.HistogramData {
	usual := quantileSpots([5]float64{37.91, 42.04, 45.86, 47.93, 41.26}, 46.2)
	return []chart.HistogramData{
		{ID: "h1", Title: "Full cost of a piece of Plain", Desc: "How ten thousand draws spread.", Unit: "EUR per piece", Bins: bell(31, 58, 40.6, 3.4, 30), Marks: usual},
		{ID: "h2", Title: "Profit of a piece of Glow", Unit: "EUR per piece", Bins: bell(-12, 16, -1, 3.5, 40), Marks: quantileSpots([5]float64{-5.1, 0.35, 4.4, 6.6, -0.7}, 0)},
		{ID: "h3", Title: "All draws the same", Unit: "EUR per piece", Bins: []chart.Bin{{From: 41.26, To: 41.26, Count: 1024}}, Marks: quantileSpots([5]float64{41.26, 41.26, 41.26, 41.26, 41.26}, 41.26)},
		{ID: "h4", Title: "Cost of production of the batch", Unit: "JPY", Bins: bell(1.15e6, 2.1e6, 1.42e6, 1.2e5, 24), Marks: yen(quantileSpots([5]float64{1.28e6, 1.44e6, 1.58e6, 1.66e6, 1.41e6}, 2.05e6))},
	}
}

func yen(spots []chart.Spot) []chart.Spot {
	for i := range spots {
		spots[i].Text = strings.TrimSuffix(spots[i].Text, ".00")
	}
	return spots
}

func galleryCumulatives() []chart.CumulativeData {
	var points []chart.Point
	sum, total := 0.0, 0.0
	bins := bell(31, 58, 40.6, 3.4, 160)
	for _, b := range bins {
		total += float64(b.Count)
	}
	for _, b := range bins {
		sum += float64(b.Count)
		points = append(points, chart.Point{X: b.To, Y: sum / total})
	}
	return []chart.CumulativeData{
		{ID: "k1", Title: "Chance that a piece of Plain costs no more", Unit: "EUR per piece", Points: points, Marks: quantileSpots([5]float64{37.91, 42.04, 45.86, 47.93, 41.26}, 46.2)},
		{ID: "k2", Title: "One draw", Unit: "EUR per piece", Points: []chart.Point{{X: 41.26, Y: 1}}, Marks: quantileSpots([5]float64{41.26, 41.26, 41.26, 41.26, 41.26}, 0)},
	}
}

func swing(name, unit string, low, high, atLow, atHigh float64) chart.Swing {
	in := func(v float64) chart.Mark {
		m := statistic("input", v)
		m.Text = strings.TrimSpace(frame.Minus(decimal.NewFromFloat(v).String()) + " " + unit)
		return m
	}
	return chart.Swing{Name: name, Href: "/proof/" + strconv.Itoa(len(name)), Low: chart.End{Input: in(low), Figure: statistic("figure", atLow)}, High: chart.End{Input: in(high), Figure: statistic("figure", atHigh)}}
}

func galleryTornados() []chart.TornadoData {
	usual := []chart.Swing{
		swing("heat sink, operation 30: cutting time", "min", 9.2, 14.6, 38.7, 45.9),
		swing("copper round 60: price of a kilogram", "EUR/kg", 9.4, 13.1, 39.2, 43.8),
		swing("heat sink: yield of operation 40, vapour blasting and bead blasting by an outside shop", "", 0.91, 0.985, 43.4, 40.6),
		swing("milling centre: hourly rate", "EUR/h", 36, 44, 39.9, 42.5),
		swing("lens holder: pieces before the tool is changed", "pieces", 140, 320, 41.9, 41.02),
		swing("batch loss at set-up: both ends dearer", "pieces", 1, 4, 42.1, 41.6),
		swing("packing: minutes", "min", 2, 2, 41.26, 41.26),
	}
	var many []chart.Swing
	for i := range 200 {
		many = append(many, swing(fmt.Sprintf("part %d, operation %d: cutting time", i/4+1, 10*(i%4+1)), "min", 1, 2, 41.26-5/float64(i+1), 41.26+4/float64(i+1)))
	}
	undefined := swing("divisor that may be nought", "", 0, 1, 0, 3)
	undefined.Low.Figure = chart.Mark{Text: "undefined"}
	likely := figureMark("likely", "variant/plain/each/full", 41.26)
	return []chart.TornadoData{
		{ID: "t1", Title: "What moves the full cost of Plain", Unit: "EUR per piece", Likely: likely, Swings: usual},
		{ID: "t2", Title: "Two hundred inputs", Unit: "EUR per piece", Likely: likely, Swings: many},
		{ID: "t3", Title: "Profit around nought", Unit: "EUR per piece", Likely: figureMark("likely", "variant/glow/profit", 0), Swings: []chart.Swing{swing("price of copper", "EUR/kg", 9, 13, 2.5, -3.25), undefined}},
	}
}

func galleryShares() []chart.SharesData {
	input := func(name string, first, fe, total, te float64) chart.InputShare {
		return chart.InputShare{Name: name, Href: "/proof/share", First: chart.Estimate{Mark: shareMark("alone", first), Error: shareMark("error", fe)}, Total: chart.Estimate{Mark: shareMark("in all", total), Error: shareMark("error", te)}}
	}
	return []chart.SharesData{{ID: "s1", Title: "Shares of the variance of the full cost of Plain", Inputs: []chart.InputShare{
		input("heat sink, operation 30: cutting time", 0.512, 0.011, 0.534, 0.014),
		input("copper round 60: price of a kilogram", 0.287, 0.009, 0.291, 0.01),
		input("milling centre: hourly rate", 0.121, 0.006, 0.139, 0.007),
		input("lens holder: pieces before the tool is changed", 0.034, 0.02, 0.061, 0.03),
		input("packing: minutes", -0.004, 0.008, 0.002, 0.001),
	}}}
}

// batchCost is an invented cost of a piece, with set-up, bars and price breaks.
func batchCost(n, setup, bar, perBar float64) float64 {
	price := 11.0
	for _, b := range []struct{ from, price float64 }{{25, 10.1}, {100, 9.2}, {250, 8.6}} {
		if n >= b.from {
			price = b.price
		}
	}
	return 27 + setup/n + price + math.Ceil(n/perBar)*bar/n
}

// runsOf cuts a cost into runs at the quantities where it steps. Bars step right
// after a quantity, prices at one.
func runsOf(from, to int, setup, bar, perBar float64) []chart.Run {
	var out []chart.Run
	run := chart.Run{}
	for n := from; n <= to; n++ {
		run.Points = append(run.Points, chart.Point{X: float64(n), Y: batchCost(float64(n), setup, bar, perBar)})
		price := n+1 == 25 || n+1 == 100 || n+1 == 250
		bars := perBar > 1 && math.Ceil(float64(n)/perBar) != math.Ceil(float64(n+1)/perBar)
		if n < to && (price || bars) {
			if price { // up to the break, without its price
				run.Points = append(run.Points, chart.Point{X: float64(n + 1), Y: batchCost(float64(n), setup, bar, perBar) - setup/float64(n) + setup/float64(n+1)})
				run.OpenEnd = true
			}
			out = append(out, run)
			run = chart.Run{}
		}
	}
	return append(out, run)
}

func stepped(name string, runs []chart.Run) chart.Curve {
	return chart.Curve{Name: name, Runs: runs, Breaks: len(runs) - 1}
}

// counted is a cost in which units lost are rounded up.
func counted() []chart.Run {
	var out []chart.Run
	for n := 10.0; n <= 80; n++ {
		out = append(out, chart.Run{Points: []chart.Point{{X: n, Y: 30*math.Ceil(n/0.93)/n + 60/n}}})
	}
	return out
}

func galleryCurves() []chart.StepCurveData {
	spot := func(name, class string, n, v float64) chart.CurveSpot {
		s := chart.CurveSpot{Spot: chart.Spot{Mark: figureMark(name, "batch/"+name, n), Class: class}, Level: figureMark(name, "variant/plain/each/full/"+name, v)}
		s.Text = decimal.NewFromFloat(n).String()
		return s
	}
	few := runsOf(10, 400, 420, 0, 1)
	crossing := 20.0
	for batchCost(crossing, 600, 30, 18) > batchCost(crossing, 180, 5.2, 1) {
		crossing++
	}
	return []chart.StepCurveData{
		{ID: "c1", Title: "Cost of a piece of Plain by batch quantity", Quantity: "batch quantity, pieces", Figure: "EUR per piece", Curves: []chart.Curve{stepped("Plain", few)}, Marks: []chart.CurveSpot{spot("least cost", "least", 400, batchCost(400, 420, 0, 1))}},
		{ID: "c2", Title: "Plain milled from bar or from cut blanks", Quantity: "batch quantity, pieces", Figure: "EUR per piece",
			Curves: []chart.Curve{stepped("from bar", runsOf(20, 140, 600, 30, 18)), stepped("from cut blanks", runsOf(20, 140, 180, 5.2, 1))},
			Marks:  []chart.CurveSpot{spot("from bar is cheaper from here", "crossing", crossing, batchCost(crossing, 600, 30, 18)), spot("least cost", "least", 126, batchCost(126, 600, 30, 18))}},
		{ID: "c3", Title: "Two thousand quantities with a bar every seven", Quantity: "batch quantity, pieces", Figure: "EUR per piece", Curves: []chart.Curve{stepped("from short bars", runsOf(1, 2000, 900, 21, 7))}},
		{ID: "c5", Title: "Units started, counted piece by piece", Quantity: "batch quantity, pieces", Figure: "EUR per piece", Curves: []chart.Curve{{Name: "Plain", Runs: counted()}}},
		{ID: "c4", Title: "One quantity", Quantity: "batch quantity, pieces", Figure: "EUR per piece", Curves: []chart.Curve{{Name: "Plain", Runs: []chart.Run{{Points: []chart.Point{{X: 100, Y: 41.26}}}}}}},
	}
}

func changeMark(label string, v float64) chart.Mark {
	m := figureMark(label, "difference/"+label, v)
	if v > 0 {
		m.Text = "+" + m.Text
	}
	return m
}

func galleryBridges() []chart.BridgeData {
	bridge := func(id, title string, start float64, changes ...chart.Mark) chart.BridgeData {
		end := decimal.NewFromFloat(start)
		for _, c := range changes {
			v, _ := decimal.NewFromString(c.Value)
			end = end.Add(v)
		}
		f := end.InexactFloat64()
		return chart.BridgeData{ID: id, Title: title, Unit: "EUR per piece", Start: figureMark("full cost of Plain", "a/"+id, start), End: figureMark("full cost of Glow", "b/"+id, f), Difference: changeMark("difference "+id, f-start), Changes: changes}
	}
	return []chart.BridgeData{
		bridge("b1", "From Plain to Glow", 412.6, changeMark("material", 8.2), changeMark("heat sink, operation 30: cutting time of the finned face", 12.75), changeMark("tools", 0), changeMark("finishing, no longer bead blasted", -6.4), changeMark("lens, appears", 14.1), changeMark("overhead", -2.05)),
		bridge("b2", "From a profit to a loss", 6.5, changeMark("price", -12), changeMark("copper", -3.25), changeMark("exchange rate", 1.75)),
	}
}
