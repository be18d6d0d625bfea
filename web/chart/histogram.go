package chart

import (
	"math"
	"strconv"
)

// Bin counts the draws from one value to another; the last bin of a histogram
// holds its end too.
type Bin struct {
	From, To float64
	Count    int
}

// HistogramData is what a histogram is made of: bins in ascending order, each
// beginning where the one before ends, and the marks.
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

// Dense tells that the columns stand too close for outlines.
func (h Histogram) Dense() bool { return len(h.Columns) > 40 }

const (
	mostColumns = 80
	loneColumn  = 0.06 // width of a column whose ends are the same
)

// NewHistogram lays out a histogram. Columns of one width stand as high as their
// share of the draws; columns of several widths as high as their density, and
// then there is no upright scale.
func NewHistogram(d HistogramData) (Histogram, error) {
	total, err := d.check()
	if err != nil {
		return Histogram{}, err
	}
	bins := grouped(d.Bins)
	low, high, err := reach(d.ID, bins[0].From, bins[len(bins)-1].To, d.Marks)
	if err != nil {
		return Histogram{}, err
	}
	heights, top := columnHeights(bins, total)
	x, y := newAxis(d.Unit, low, high), newUpright("share of the draws, %", 0, 100*top)
	if !sameWidths(bins) {
		y.Label, y.Ticks = "area: share of the draws", nil
	}
	p, err := newPlot(d.ID, d.Title, x, y, d.Marks, plotHeight)
	if err != nil {
		return Histogram{}, err
	}
	p.Desc = described(d.Desc, d.Marks)
	h := Histogram{Plot: p, Marks: spotTable(d.ID, d.Title, d.Unit, d.Marks), Table: binTable(d, bins, total)}
	for i, b := range bins {
		h.Columns = append(h.Columns, h.column(b, 100*heights[i]))
	}
	return h, nil
}

func (h Histogram) column(b Bin, height float64) Column {
	from, to := h.X.share(b.From), h.X.share(b.To)
	if to == from {
		from, to = max(0, from-loneColumn/2), min(1, to+loneColumn/2)
	}
	high := h.Y.share(height) * float64(h.Height)
	return Column{percent(from), percent(to - from), pixels(float64(h.Bottom()) - high), pixels(high)}
}

func (d HistogramData) check() (total int, err error) {
	if len(d.Bins) == 0 {
		return 0, &DataError{d.ID, "bins", "there are none"}
	}
	for i, b := range d.Bins {
		place := "bin " + strconv.Itoa(i+1)
		if err := checkAll(d.ID, place, b.From, b.To); err != nil {
			return 0, err
		}
		if b.To < b.From || b.Count < 0 || i > 0 && b.From < d.Bins[i-1].To {
			return 0, &DataError{d.ID, place, "its ends or its count are out of order"}
		}
		total += b.Count
	}
	if total == 0 {
		return 0, &DataError{d.ID, "bins", "they count no draw"}
	}
	return total, nil
}

// grouped joins neighbours where there are more bins than columns can be seen.
func grouped(bins []Bin) []Bin {
	size := (len(bins) + mostColumns - 1) / mostColumns
	if size <= 1 {
		return bins
	}
	var out []Bin
	for i, b := range bins {
		if i%size == 0 {
			out = append(out, b)
			continue
		}
		last := &out[len(out)-1]
		last.To, last.Count = b.To, last.Count+b.Count
	}
	return out
}

func sameWidths(bins []Bin) bool {
	first := bins[0].To - bins[0].From
	for _, b := range bins[:len(bins)-1] { // the last may be what was left over
		if math.Abs(b.To-b.From-first) > first*1e-6 {
			return false
		}
	}
	return bins[len(bins)-1].To-bins[len(bins)-1].From <= first*(1+1e-6)
}

// columnHeights gives the share of each bin, or its density on the same scale.
func columnHeights(bins []Bin, total int) (heights []float64, top float64) {
	even := sameWidths(bins)
	widest := 0.0
	for _, b := range bins {
		widest = max(widest, b.To-b.From)
	}
	for _, b := range bins {
		h := float64(b.Count) / float64(total)
		if width := b.To - b.From; !even && width > 0 {
			h *= widest / width
		}
		heights = append(heights, h)
		top = max(top, h)
	}
	return heights, top
}

// reach widens an interval so that all marks are on it.
func reach(chart string, low, high float64, spots []Spot) (float64, float64, error) {
	for _, s := range spots {
		v, ok, err := s.place(chart)
		if err != nil {
			return 0, 0, err
		}
		if ok {
			low, high = min(low, v), max(high, v)
		}
	}
	return low, high, nil
}

func binTable(d HistogramData, bins []Bin, total int) Table {
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
