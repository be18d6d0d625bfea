package notation

import (
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"kerfbook/testdata/depth"
)

// TestDrawnNumbers writes numbers in every way that people write one, and wants each to be
// read as that number or to be refused: never as another.
func TestDrawnNumbers(t *testing.T) {
	t.Parallel()
	read, refused := 0, 0
	for seed := range depth.Seeds(2000) {
		r := rand.New(rand.NewPCG(seed, 7))
		whole := strconv.FormatInt(r.Int64N([]int64{10, 1000, 1000000, 1000000000}[r.IntN(4)]), 10)
		part := ""
		for range r.IntN(5) {
			part += strconv.Itoa(r.IntN(10))
		}
		plain := whole
		if part != "" {
			plain += "." + part
		}
		mark := []string{".", ","}[r.IntN(2)]
		group := []string{"", " ", "'", "\u202f", map[string]string{".": ",", ",": "."}[mark]}[r.IntN(5)]
		text := grouped(whole, group)
		if part != "" {
			text += mark + part
		}
		if r.IntN(3) == 0 {
			text = " " + text + " mm"
		}
		// A person writes their own mark; one who pastes, the other too.
		own := Style{Comma: mark == ","}
		for _, s := range []Style{own, {Comma: !own.Comma}} {
			n, err := s.Number(text, "mm")
			switch {
			case err != nil && s == own && (group == "" || group == " " || group == "'" || part != ""):
				t.Errorf("seed %d: %q of %s is refused in its own style: %v", seed, text, plain, err)
			case err != nil:
				refused++
			case n.Plain != plain && !ambiguous(text):
				t.Errorf("seed %d: %q of %s is read as %s with %+v", seed, text, plain, n.Plain, s)
			default:
				read++
			}
		}
	}
	if read < 3*refused {
		t.Errorf("%d are read and %d refused", read, refused)
	}
}

// ambiguous tells a text with one sign before its last three figures: in the style of one
// who has that sign for the decimal mark it is another number, which no reader can know.
func ambiguous(text string) bool {
	t := strings.TrimSuffix(strings.TrimSpace(text), " mm")
	return thousands.MatchString(t) && strings.Count(t, ".")+strings.Count(t, ",") == 1
}

// grouped parts thousands.
func grouped(whole, sign string) string {
	out := whole
	for at := len(whole) - 3; at > 0; at -= 3 {
		out = out[:at] + sign + out[at:]
	}
	return out
}

// TestDrawnUnits: a length typed in another unit is the same length.
func TestDrawnUnits(t *testing.T) {
	t.Parallel()
	for seed := range depth.Seeds(300) {
		r := rand.New(rand.NewPCG(seed, 8))
		mm := strconv.Itoa(1 + r.IntN(500))
		cm, err := (Style{}).Number(mm+" mm", "cm")
		if err != nil {
			t.Fatal(err)
		}
		if back, err := (Style{}).Number(cm.Plain+" cm", "mm"); err != nil || back.Plain != mm {
			t.Errorf("seed %d: %s mm are %s cm are %s mm, %v", seed, mm, cm.Plain, back.Plain, err)
		}
		// 25.4 ÷ 64 is 0.396875 exactly.
		inch, err := (Style{}).Number(mm+"/64 in", "mm")
		want, _ := fraction("0.396875")
		times, _ := fraction(mm)
		if err != nil || inch.Plain != decimals(want.Mul(want, times)) {
			t.Errorf("seed %d: %s/64 in are %s mm, %v", seed, mm, inch.Plain, err)
		}
	}
}
