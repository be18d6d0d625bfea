package chart

// Span is a band of amounts with its middle, under the name of what was said last.
type Span struct {
	Name              string
	Low, Middle, High Mark
}

// Band draws a band to scale from nothing, and those that it was before as thin lines
// above it, the oldest on top.
type Band struct {
	ID, Title, Desc string
	X               Axis
	Rows            []BandRow
	Bottom, TickY   int
}

// BandRow is a span in its place. Now is the band that holds.
type BandRow struct {
	Span
	From, To, Width, At string
	Top, Text           int
	Now                 bool
}

// Heights of the rows, in pixels.
const (
	bandFormer = 36 // its name above it
	bandNow    = 44
)

// NewBand lays out a band; the last span is the one that holds.
func NewBand(id, title, unit string, spans []Span) (*Band, error) {
	b := &Band{ID: id, Title: title}
	most := 0.0
	type place struct{ low, middle, high float64 }
	places := make([]place, len(spans))
	for i, s := range spans {
		for _, end := range []struct {
			mark Mark
			at   *float64
		}{{s.Low, &places[i].low}, {s.Middle, &places[i].middle}, {s.High, &places[i].high}} {
			at, _, err := end.mark.place(id)
			if err != nil {
				return nil, err
			}
			*end.at, most = at, max(most, at)
		}
	}
	b.X = newAxis(unit, 0, most*1.2)
	top := plotHead
	for i, s := range spans {
		p, now, high := places[i], i == len(spans)-1, bandFormer
		if now {
			high = bandNow
			b.Desc = "From " + s.Low.Text + " to " + s.High.Text + ", in the middle " + s.Middle.Text + " " + unit + "."
		}
		b.Rows = append(b.Rows, BandRow{Span: s, From: percent(b.X.share(p.low)), To: percent(b.X.share(p.high)),
			Width: percent(b.X.share(p.high) - b.X.share(p.low)), At: percent(b.X.share(p.middle)), Top: top, Text: top + high/2 + 4, Now: now})
		top += high
	}
	b.Bottom, b.TickY = top, top+18
	return b, nil
}
