package chart

import "strconv"

// Bin counts the draws from one value to another; the last bin of a histogram
// holds its end too.
type Bin struct {
	From, To float64
	Count    int
}

// HistogramData is what a histogram is made of: bins of one width in ascending order,
// each beginning where the one before ends, and the marks.
type HistogramData struct {
	ID, Title, Desc string
	Unit            string // such as "EUR per piece"
	Bins            []Bin
	Marks           []Spot
}

// Histogram shows how draws spread.
type Histogram struct {
	Plot
	Columns []Column
	Marks   Table
	Table   Table // of the bins
}

// Column is a bar of a histogram with its place.
type Column struct {
	X, Width, Y string
	High        string
}

const loneColumn = 0.06 // width of a column whose ends are the same

// NewHistogram lays out a histogram. Columns stand as high as their share of the draws.
func NewHistogram(d HistogramData) Histogram {
	total, most := 0, 0
	for _, b := range d.Bins {
		total, most = total+b.Count, max(most, b.Count)
	}
	share := func(count int) float64 { return 100 * float64(count) / float64(total) }
	low, high := reach(d.Bins[0].From, d.Bins[len(d.Bins)-1].To, d.Marks...)
	p := newPlot(d.ID, d.Title, newAxis(d.Unit, low, high), newUpright("share of the draws, %", 0, share(most)), d.Marks, plotHeight)
	p.Desc = described(d.Desc, d.Marks)
	h := Histogram{Plot: p, Marks: spotTable(d.ID, d.Title, d.Unit, d.Marks), Table: binTable(d, total)}
	for _, b := range d.Bins {
		h.Columns = append(h.Columns, h.column(b, share(b.Count)))
	}
	return h
}

func (h Histogram) column(b Bin, height float64) Column {
	from, to := h.X.share(b.From), h.X.share(b.To)
	if to == from {
		from, to = max(0, from-loneColumn/2), min(1, to+loneColumn/2)
	}
	high := h.Y.share(height) * float64(h.Height)
	return Column{percent(from), percent(to - from), pixels(float64(h.Bottom()) - high), pixels(high)}
}

// reach widens an interval so that all marks are on it.
func reach(low, high float64, spots ...Spot) (float64, float64) {
	for _, s := range spots {
		if v, ok := s.place(); ok {
			low, high = min(low, v), max(high, v)
		}
	}
	return low, high
}

func binTable(d HistogramData, total int) Table {
	bins := d.Bins
	t := Table{ID: d.ID + "-bins", Caption: d.Title + ": columns", Folded: "Columns of the chart as a table", ScreenOnly: true,
		Heads: columns("Column", "From, "+d.Unit, "To, "+d.Unit, "Draws", "Share of the draws")}
	low, high := widened(bins[0].From, bins[len(bins)-1].To)
	places := placesOf(roundStep((high - low) / float64(10*len(bins))))
	for i, b := range bins {
		share := float64(b.Count) / float64(total)
		t.Rows = append(t.Rows, Row{Name: strconv.Itoa(i + 1), Cells: []Mark{
			stat("from", b.From, written(b.From, places)), stat("to", b.To, written(b.To, places)),
			stat("draws", float64(b.Count), strconv.Itoa(b.Count)), stat("share", share, written(100*share, 2)+" %"),
		}})
	}
	return t
}
