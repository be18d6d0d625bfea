package blank_test

import (
	"math/big"
	"math/rand/v2"
	"testing"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
)

// disc is a disc set down: x of its left edge, and the row, whose distance from
// the next is irrational.
type disc struct {
	x   *big.Rat
	row int
}

// rowFits reports whether row r, counted from 0, ends within the width: the
// centres of its discs lie r × pitch × √3/2 above those of the first.
func rowFits(r int, v, d, pitch *big.Rat) bool {
	room := ft.Minus(v, d)
	if room.Sign() < 0 {
		return false
	}
	// r·pitch·√3/2 ≤ room, squared, so that no root is needed.
	climb := ft.Times(whole(r), whole(r), pitch, pitch)
	return ft.Times(ft.Rat("3"), climb).Cmp(ft.Times(ft.Rat("4"), room, room)) <= 0
}

// place sets discs down in hexagonal rows along u, the first row from the edge
// and every second one half a pitch further in.
func place(u, v, d, gap *big.Rat) (discs []disc) {
	pitch := ft.Plus(d, gap)
	for r := 0; rowFits(r, v, d, pitch); r++ {
		x := new(big.Rat)
		if r%2 == 1 {
			x = ft.Times(pitch, ft.Rat("0.5"))
		}
		for ; ft.Plus(x, d).Cmp(u) <= 0; x = ft.Plus(x, pitch) {
			discs = append(discs, disc{x, r})
		}
		if d.Cmp(u) > 0 {
			break
		}
	}
	return discs
}

func placeRows(u, v, d, gap *big.Rat) int { return len(place(u, v, d, gap)) }

// TestOracleKeepsTheGap: no two discs set down come closer than the pitch.
func TestOracleKeepsTheGap(t *testing.T) {
	t.Parallel()
	d, gap := ft.Rat("98"), ft.Rat("4")
	pitch := ft.Plus(d, gap)
	discs := place(ft.Rat("988"), ft.Rat("588"), d, gap)
	if len(discs) == 0 {
		t.Fatal("nothing set down")
	}
	for i, a := range discs {
		for _, b := range discs[:i] {
			dx, rows := ft.Minus(a.x, b.x), whole(a.row-b.row)
			up := ft.Times(ft.Rat("0.75"), rows, rows, pitch, pitch)
			if ft.Plus(ft.Times(dx, dx), up).Cmp(ft.Times(pitch, pitch)) < 0 {
				t.Errorf("%v and %v overlap", a, b)
			}
		}
	}
}

// TestDiscs compares all three layouts and the one chosen with discs set down
// one by one; every other sheet is made to fit exactly in its long rows.
func TestDiscs(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(98, 4))
	chosen := map[int]int{}
	for i := range 200 {
		d, gap, margin := 150+rng.Int64N(2000), rng.Int64N(60), rng.Int64N(100)
		length, width := 500+rng.Int64N(12000), 500+rng.Int64N(8000)
		if i%2 == 0 {
			length = (1+rng.Int64N(12))*(d+gap) - gap + 2*margin
			width = (1+rng.Int64N(12))*(d+gap) - gap + 2*margin
		}
		if i%4 == 0 { // room for shifted rows as long as the first, exactly
			length += (d + gap) / 2
		}
		s := sheet{length: tenths(length), width: tenths(width), margin: tenths(margin), gap: tenths(gap), d: tenths(d)}
		s.check(t)
		s.checkLayouts(t)
		layout, _ := best(s.counts())
		chosen[layout]++
	}
	for layout := 1; layout <= 3; layout++ {
		if chosen[layout] == 0 {
			t.Errorf("layout %d is never the best; the cases are too tame", layout)
		}
	}
}

func (s sheet) checkLayouts(t *testing.T) {
	t.Helper()
	b := s.job().build(t)
	v := b.values()
	counts := s.counts()
	for i, key := range []string{"layout/square/count", "layout/hexagonal-length/count", "layout/hexagonal-width/count"} {
		b.Want(v, key, b.id(key), whole(counts[i]))
	}
}

// TestDiscLayoutIsHeld: the same rules hold for the layout of discs.
func TestDiscLayoutIsHeld(t *testing.T) {
	t.Parallel()
	s := sheet{length: "1000", width: "600", d: "98", gap: "4", margin: "6"}
	b := s.job().build(t)
	layout, _ := best(s.counts())
	for key, value := range map[string]string{"stock/S/length": "2000", "part/blank-diameter": "97.9", "part/kerf": "3", "part/margin": "5"} {
		_, err := b.with(map[string]string{key: value})
		outside(t, err, key)
	}
	worse := 0
	for _, d := range []string{"97.9", "60", "110", "193", "290"} {
		v, err := b.with(map[string]string{"blank-diameter": d, "layout": whole(layout).RatString()})
		if err != nil {
			t.Fatal(err)
		}
		s.d = d
		counts := s.counts()
		_, most := best(counts)
		b.Want(v, "discs of "+d, b.id("per-stock"), whole(counts[layout-1]))
		holds := whole(0)
		if counts[layout-1] == most {
			holds = whole(1)
		} else {
			worse++
		}
		b.Want(v, "still best for discs of "+d, b.id("layout-best"), holds)
	}
	if worse == 0 {
		t.Error("no case in which another layout is better")
	}
}

// TestDiscMass takes the area of the disc.
func TestDiscMass(t *testing.T) {
	t.Parallel()
	j := plain(bom.Sheet)
	j.blank = bom.Blank{Stock: "S", DiameterMM: ft.Num("100")}
	b := j.build(t)
	// π/4 × 100² × 10 × 0.00893, with π to 34 digits
	b.Want(b.values(), "mass of a disc", b.id("blank-mass"), ft.Times(ft.Rat("3.141592653589793238462643383279503"), ft.Rat("223.25")))
}
