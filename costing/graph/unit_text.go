package graph

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// MarshalText writes the unit for machines: symbols in order of their names, with
// exponents other than 1, joined by "*": "EUR*piece^-1", "mm^0.5", "" for a plain
// number. The text does not change when symbols are added.
func (u Unit) MarshalText() ([]byte, error) {
	if u == invalidUnit {
		return nil, fmt.Errorf("graph: a unit that no figure has")
	}
	var parts []string
	for _, t := range u.terms[:u.len()] {
		name := t.sym.String()
		if name == "µm" {
			name = "um"
		}
		if t.halves != 2 {
			name += "^" + halvesText(int(t.halves))
		}
		parts = append(parts, name)
	}
	slices.Sort(parts)
	return []byte(strings.Join(parts, "*")), nil
}

func halvesText(halves int) string {
	if halves%2 == 0 {
		return strconv.Itoa(halves / 2)
	}
	sign := ""
	if halves < 0 {
		sign, halves = "-", -halves
	}
	return sign + strconv.Itoa(halves/2) + ".5"
}

// UnmarshalText reads what MarshalText wrote, and nothing else.
func (u *Unit) UnmarshalText(text []byte) error {
	out := Plain
	for part := range strings.SplitSeq(string(text), "*") {
		if len(text) == 0 {
			break
		}
		name, exponent, raised := strings.Cut(part, "^")
		sym, ok := symbolNamed(name)
		halves := 2
		if raised {
			ok = ok && parseHalves(exponent, &halves)
		}
		if !ok {
			return fmt.Errorf("graph: %.20q is no unit", text)
		}
		out = out.Times(Unit{[maxUnitTerms]unitTerm{{sym, int16(halves)}}})
	}
	if back, err := out.MarshalText(); err != nil || string(back) != string(text) {
		return fmt.Errorf("graph: %.20q is not how a unit is written", text)
	}
	*u = out
	return nil
}

func symbolNamed(name string) (symbol, bool) {
	if name == "um" {
		name = "µm"
	}
	if i := slices.Index(symbolNames[:], name); i > 0 {
		return measured + symbol(i), true
	}
	if len(name) != 3 || strings.Trim(name, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") != "" {
		return 0, false
	}
	return Currency(name).terms[0].sym, true
}

// maxHalves bounds the exponents that are read.
const maxHalves = 1000

func parseHalves(text string, halves *int) bool {
	whole, half := strings.CutSuffix(text, ".5")
	n, err := strconv.Atoi(whole)
	if err != nil || n > maxHalves || n < -maxHalves {
		return false
	}
	n *= 2
	if half && strings.HasPrefix(whole, "-") {
		n--
	} else if half {
		n++
	}
	*halves = n
	return n != 0
}
