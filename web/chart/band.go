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
func NewBand(id, title, unit string, spans []Span) *Band {
	b := &Band{ID: id, Title: title}
	most := 0.0
	for _, s := range spans {
		_, most = reach(0, most, Spot{Mark: s.Low}, Spot{Mark: s.Middle}, Spot{Mark: s.High})
	}
	b.X = newAxis(unit, 0, most*1.2)
	top := plotHead
	for i, s := range spans {
		share := func(m Mark) float64 {
			at, _ := m.place()
			return b.X.share(at)
		}
		low, high := share(s.Low), share(s.High)
		now, room := i == len(spans)-1, bandFormer
		if now {
			room = bandNow
			b.Desc = "From " + s.Low.Text + " to " + s.High.Text + ", in the middle " + s.Middle.Text + " " + unit + "."
		}
		b.Rows = append(b.Rows, BandRow{Span: s, From: percent(low), To: percent(high), Width: percent(high - low), At: percent(share(s.Middle)),
			Top: top, Text: top + room/2 + 4, Now: now})
		top += room
	}
	b.Bottom, b.TickY = top, top+18
	return b
}
