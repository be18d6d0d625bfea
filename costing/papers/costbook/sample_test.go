package costbook_test

import (
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/graphtest"
	"kerfbook/costing/papers/costbook"
)

// sample is a small estimate with one node of every kind: a dial cut from sheet,
// a layout decided for its width, money, a check, a range, an unverified rate.
type sample struct {
	g     *graph.Graph
	width graph.ID // input the layout was decided for, 30 to 36 mm
	price graph.ID
	out   []graph.ID
}

func number(text string) decimal.Decimal { return decimal.RequireFromString(text) }

func newSample(t testing.TB) sample {
	t.Helper()
	euro := graph.Currency("EUR")
	b := graph.NewBuilder(graph.Limits{})
	root := b.Root()

	mix := root.In("mix").From(graph.Source{Where: "this estimate"})
	quantity := mix.Input("quantity", "pieces in the batch", graph.Piece, number("250"))

	part := root.In("part", "DIAL-7").From(graph.Source{Where: "part DIAL-7 rev B"})
	width := part.Input("width", "width of the blank", graph.Mm, number("34.5"))
	kerf := part.Input("kerf", "kerf", graph.Mm, number("1.2"))
	run := part.In("op", "20").Range("run-time", "run time of operation 20", graph.Minute.Per(graph.Piece),
		number("3.1"), number("3.4"), number("4.25"))
	perSheet := part.By("M4").Decided("per-sheet", "blanks from one sheet", graph.Piece, number("24"), graph.Choice{
		Solver: "sheet layout", Rule: "most blanks; first on ties",
		Valid: []graph.Window{{Input: width, Low: number("30"), High: number("36")}}})
	sheets := part.By("M5").Whole("sheets", "sheets to buy",
		part.Divide("sheets-needed", "sheets needed", quantity, part.Multiply("per-one", "blanks per sheet", perSheet, root.One(graph.Plain))))
	pitch := part.By("M3").Add("pitch", "width with kerf", width, kerf)
	part.Check("fits", "five blanks and their kerfs fit the sheet", part.Multiply("row", "five blanks", pitch,
		root.Fixed("five", "five", graph.Plain, number("5"), "definition")), graph.LessOrEqual,
		part.Input("sheet-width", "width of the sheet", graph.Mm, number("200")))

	rates := root.In("rate").From(graph.Source{Where: "rate card 2026-09", Cite: "from memory", Unverified: true, CheckedOn: "2026-08-30"})
	hour := rates.Input("laser", "laser, one hour", euro.Per(graph.Hour), number("68.50"))
	sheet := rates.Input("sheet", "brass sheet 0.8 mm", euro, number("31.085"))
	making := part.By("M9").Multiply("making", "making, one piece", run, part.Convert("laser-minute", "laser, one minute", hour, graph.Hour, graph.Minute))
	material := part.By("M6").Divide("material", "material, one piece", part.Multiply("sheets-cost", "sheets", sheets, sheet), quantity)
	material = part.Multiply("material-cost", "material, one piece, per sheet piece", material, root.One(graph.Plain))
	variant := root.In("variant", "glow")
	price := variant.By("P1").Round("making-price", "making, rounded to cents", making,
		root.Fixed("cent-per-piece", "one cent per piece", euro.Per(graph.Piece), number("0.01"), "ISO 4217"))
	g := graphtest.Built(t, b)
	return sample{g: g, width: width, price: price, out: []graph.ID{price, making, material, sheets}}
}

var sampleMeta = costbook.Meta{
	Title: "Cost of the dial, glow, 250 pieces", Subject: "Kerf and layout as of the day; rates from the card 2026-09",
	Author: "Brass & Sons", Version: "7", Day: "2026-09-01",
	Cautions: []string{
		"The hour rate of the laser has no source yet: confirm it before quoting.",
		"Duties and taxes change. The rows used here were looked at on the day shown beside them, and nobody has checked them since; ask a customs agent about anything that matters.",
	},
}
