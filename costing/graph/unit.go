package graph

import (
	"fmt"
	"slices"
	"sort"
	"strconv"
	"strings"
)

// Unit is a product of powers of base symbols: s, min, h, year, µm, mm, cm, dm, m,
// in, g, kg, lb, N, A, piece, kW and each currency code. The zero Unit is that of a plain
// number. Units are comparable with ==; two units of the same dimension (min and
// h) are different units, and only a conversion factor node leads from one to
// the other.
type Unit struct {
	terms [maxUnitTerms]unitTerm // in order, then empty ones
}

const maxUnitTerms = 6

// unitTerm is one symbol with its exponent counted in halves, so that a square
// root stays exact.
type unitTerm struct {
	sym    symbol
	halves int16
}

// symbol is a base symbol as a number, so that units are small and quick to
// compare: the three letters of a currency counted from AAA, or its place in
// symbolNames. There is none with 0.
type symbol uint16

const measured symbol = 1 + 26*26*26 // above any currency

const pieces = measured + 13 // from here on: what is counted, and time

var symbolNames = [...]string{"?", "kg", "g", "lb", "N", "kW", "A", "m", "dm", "cm", "mm", "µm", "in", "piece", "year", "h", "min", "s"}

func (s symbol) String() string {
	if s < measured {
		s--
		return string([]byte{'A' + byte(s/(26*26)), 'A' + byte(s/26%26), 'A' + byte(s%26)})
	}
	return symbolNames[s-measured]
}

// Plain is the unit of a plain number.
var Plain = Unit{}

// The base units a shop measures in.
var (
	Kilogram = base(measured + 1)
	Gram     = base(measured + 2)
	Pound    = base(measured + 3)
	Newton   = base(measured + 4)
	Kilowatt = base(measured + 5)
	Ampere   = base(measured + 6)
	Metre    = base(measured + 7)
	Dm       = base(measured + 8)
	Cm       = base(measured + 9)
	Mm       = base(measured + 10)
	Micron   = base(measured + 11)
	Inch     = base(measured + 12)
	Piece    = base(measured + 13)
	Year     = base(measured + 14)
	Hour     = base(measured + 15)
	Minute   = base(measured + 16)
	Second   = base(measured + 17)
)

// Currency gives the unit of an amount of money, from its ISO 4217 code of three
// capital letters; any other text gives a unit that no node accepts.
func Currency(code string) Unit {
	if len(code) != 3 {
		return invalidUnit
	}
	sym := symbol(0)
	for _, c := range []byte(code) {
		if c < 'A' || c > 'Z' {
			return invalidUnit
		}
		sym = sym*26 + symbol(c-'A')
	}
	return base(1 + sym)
}

func base(sym symbol) Unit {
	return Unit{[maxUnitTerms]unitTerm{{sym, 2}}}
}

// Times gives the unit of a product.
func (u Unit) Times(v Unit) Unit { return u.combine(v, 1) }

// Per gives the unit of a quotient.
func (u Unit) Per(v Unit) Unit { return u.combine(v, -1) }

// Power gives the unit raised to a whole power.
func (u Unit) Power(n int) Unit {
	out := Plain
	for range n {
		out = out.Times(u)
	}
	return out
}

// len is the number of symbols.
func (u Unit) len() int {
	n := 0
	for n < maxUnitTerms && u.terms[n].sym != 0 {
		n++
	}
	return n
}

// Root gives the unit of a square root: every exponent is halved. ok is false
// where a quarter of a symbol would be needed.
func (u Unit) Root() (root Unit, ok bool) {
	for i := range u.len() {
		if u.terms[i].halves%2 != 0 {
			return Unit{}, false
		}
		u.terms[i].halves /= 2
	}
	return u, true
}

// combine adds exponents and keeps terms sorted by symbol. A unit of more than
// maxUnitTerms symbols cannot be held; it comes back as the invalid unit, which
// equals no unit a builder accepts.
func (u Unit) combine(v Unit, sign int16) Unit {
	if u == invalidUnit || v == invalidUnit {
		return invalidUnit
	}
	out, n := Unit{}, 0
	i, j := 0, 0
	for left, right := u.len(), v.len(); i < left || j < right; {
		var t unitTerm
		switch {
		case j >= right || (i < left && u.terms[i].sym < v.terms[j].sym):
			t, i = u.terms[i], i+1
		case i >= left || v.terms[j].sym < u.terms[i].sym:
			t, j = unitTerm{v.terms[j].sym, sign * v.terms[j].halves}, j+1
		default:
			t = unitTerm{u.terms[i].sym, u.terms[i].halves + sign*v.terms[j].halves}
			i, j = i+1, j+1
		}
		if t.halves == 0 {
			continue
		}
		if n == maxUnitTerms {
			return invalidUnit
		}
		out.terms[n] = t
		n++
	}
	return out
}

var invalidUnit = base(measured + 0)

// String writes the unit as people do: "EUR/piece", "g/mm³", "" for a plain
// number.
func (u Unit) String() string {
	terms := append([]unitTerm(nil), u.terms[:u.len()]...)
	sort.SliceStable(terms, func(i, j int) bool { return rank(terms[i].sym) < rank(terms[j].sym) })
	var over, under []string
	for _, t := range terms {
		if t.halves > 0 {
			over = append(over, t.sym.String()+exponent(t.halves))
		} else {
			under = append(under, t.sym.String()+exponent(-t.halves))
		}
	}
	switch {
	case len(under) == 0:
		return strings.Join(over, "·")
	case len(over) == 0:
		return "1/" + strings.Join(under, "/")
	default:
		return strings.Join(over, "·") + "/" + strings.Join(under, "/")
	}
}

// rank orders the symbols of a printed unit: money first, then what is measured,
// then pieces and time.
func rank(sym symbol) int {
	switch {
	case sym < measured:
		return 0
	case sym >= pieces:
		return int(sym)
	default:
		return 1
	}
}

func exponent(halves int16) string {
	switch halves {
	case 1:
		return "^½"
	case 2:
		return ""
	case 3:
		return "^1½"
	case 4:
		return "²"
	case 6:
		return "³"
	}
	digits := []rune("⁰¹²³⁴⁵⁶⁷⁸⁹")
	if halves%2 == 0 && int(halves/2) < len(digits) {
		return string(digits[halves/2])
	}
	return "^?"
}

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
