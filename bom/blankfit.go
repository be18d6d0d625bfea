package bom

import (
	"fmt"
	"slices"

	"github.com/shopspring/decimal"
)

// Room is the piece that the features of a part are cut from: a box, or a round
// piece. Sizes are likely values, in mm.
type Room struct {
	what             string // the blank, or the finished part
	length           decimal.Decimal
	width, thickness decimal.Decimal // of a box; of a round piece its diameter
	round            bool
}

// RoomOf gives the blank of a part, or its finished shape where it has no blank.
// It is not known for an assembly that states none.
func RoomOf(p *Part, stocks []Stock) (r Room, known bool) {
	switch {
	case p == nil:
		return r, false
	case p.Blank != nil:
		at := slices.IndexFunc(stocks, func(s Stock) bool { return s.ID == p.Blank.Stock })
		if at < 0 {
			return r, false
		}
		return p.Blank.room(&stocks[at])
	case p.Finished == nil:
		return r, false
	case p.Finished.DiameterMM != nil:
		return roundRoom("finished part", p.Finished.LengthMM, p.Finished.DiameterMM)
	}
	return boxRoom("finished part", p.Finished.LengthMM, p.Finished.WidthMM, p.Finished.ThicknessMM)
}

func (b *Blank) room(s *Stock) (Room, bool) {
	const what = "blank"
	switch {
	case s.Form == NearNet && s.DiameterMM != nil:
		return roundRoom(what, &s.LengthMM, s.DiameterMM)
	case s.Form == NearNet:
		return boxRoom(what, &s.LengthMM, s.WidthMM, s.ThicknessMM)
	case s.Form == Square:
		return boxRoom(what, b.LengthMM, s.AcrossFlatsMM, s.AcrossFlatsMM)
	case s.Form == Hexagon:
		return roundRoom(what, b.LengthMM, s.Corners())
	case s.Form.Linear() && s.DiameterMM != nil:
		return roundRoom(what, b.LengthMM, s.DiameterMM)
	case s.Form.Linear():
		return boxRoom(what, b.LengthMM, s.WidthMM, s.ThicknessMM)
	case b.DiameterMM != nil:
		return roundRoom(what, s.ThicknessMM, b.DiameterMM)
	}
	return boxRoom(what, b.LengthMM, b.WidthMM, s.ThicknessMM)
}

// Corners is what a hexagonal bar measures across its corners, where turning it begins:
// 2/√3 of what it measures across flats.
func (s *Stock) Corners() *Number {
	if s.AcrossFlatsMM == nil {
		return nil
	}
	n := Exactly(s.AcrossFlatsMM.Likely.Mul(decimal.New(1_154_700_538, -9)))
	return &n
}

func roundRoom(what string, length, diameter *Number) (Room, bool) {
	if length == nil || diameter == nil {
		return Room{}, false
	}
	return Room{what, length.Likely, diameter.Likely, diameter.Likely, true}, true
}

func boxRoom(what string, length, width, thickness *Number) (Room, bool) {
	if length == nil || width == nil || thickness == nil {
		return Room{}, false
	}
	return Room{what, length.Likely, width.Likely, thickness.Likely, false}, true
}

func (r Room) String() string {
	if r.round {
		return fmt.Sprintf("the %s of diameter %s mm and length %s mm", r.what, plain(r.width), plain(r.length))
	}
	return fmt.Sprintf("the %s of %s × %s × %s mm", r.what, plain(r.length), plain(r.width), plain(r.thickness))
}

// Outgrown gives what is larger than the piece it is to be cut from, at likely
// sizes. A feature may lie on any side of the piece; turning follows the axis of a
// round one.
func (r Room) Outgrown(f *Feature) []FieldFault {
	if r.round {
		if out := r.outturned(f); len(out) > 0 {
			return out
		}
	}
	sides := f.given(f.Kind.form().box)
	room := r.sorted()
	for _, s := range sides {
		if s.value.Likely.GreaterThan(room[0]) {
			return []FieldFault{r.larger(s)}
		}
	}
	slices.SortStableFunc(sides, func(a, b field) int { return b.value.Likely.Cmp(a.value.Likely) })
	for i, s := range sides {
		if s.value.Likely.GreaterThan(room[i]) {
			return []FieldFault{{"", fmt.Sprintf("%s of this size has no room in %s, whichever way it lies", f.Kind.Noun(), r)}}
		}
	}
	return nil
}

// outturned compares turning with the diameter and the length of a round piece.
func (r Room) outturned(f *Feature) []FieldFault {
	form := f.Kind.form()
	if !form.turned {
		return nil
	}
	for _, d := range f.given("diameter_mm " + form.axis) {
		most := r.width
		if d.name == form.axis {
			most = r.length
		}
		if d.value.Likely.GreaterThan(most) {
			return []FieldFault{r.larger(d)}
		}
	}
	return nil
}

func (r Room) larger(s field) FieldFault {
	return FieldFault{s.name, fmt.Sprintf("%s has no room in %s", plain(s.value.Likely), r)}
}

// sorted are the sides of the piece, the longest first.
func (r Room) sorted() []decimal.Decimal {
	out := []decimal.Decimal{r.length, r.width, r.thickness}
	slices.SortFunc(out, func(a, b decimal.Decimal) int { return b.Cmp(a) })
	return out
}

// CutUnlike names the field in which two blanks that share stock differ although
// they are cut from the same piece: kerf, trim, grip, margin or the least remnant
// kept. It is empty where they agree; an absent number counts as 0.
func (b *Blank) CutUnlike(other *Blank) string {
	for _, f := range []struct {
		name string
		a, b *Number
	}{
		{"kerf_mm", b.KerfMM, other.KerfMM}, {"end_cut_mm", b.EndCutMM, other.EndCutMM}, {"bar_end_mm", b.BarEndMM, other.BarEndMM},
		{"margin_mm", b.MarginMM, other.MarginMM}, {"keep_remnant_mm", b.KeepRemnantMM, other.KeepRemnantMM},
	} {
		if !f.a.alike(f.b) {
			return f.name
		}
	}
	return ""
}

func (n *Number) alike(other *Number) bool {
	zero := Whole(0)
	if n == nil {
		n = &zero
	}
	if other == nil {
		other = &zero
	}
	return n.Likely.Equal(other.Likely) && n.IsRange == other.IsRange && (!n.IsRange || n.Low.Equal(other.Low) && n.High.Equal(other.High))
}
