package notation

import (
	"fmt"
	"math/big"
	"regexp"
	"slices"
	"strings"

	"kerfbook/costing/money"
)

// kind is what units of one sort measure.
type kind string

const (
	length kind = "length"
	span   kind = "time"
	mass   kind = "mass"
	area   kind = "area"
	power  kind = "power"
)

// measures hold what each unit comes to in the smallest of its kind, under all names
// that people give it; the first of each is the one it is called by here.
var measures = []struct {
	kind  kind
	size  string
	names []string
}{
	{length, "1", []string{"µm", "μm", "um"}},
	{length, "1000", []string{"mm", "millimetre", "millimetres"}},
	{length, "10000", []string{"cm"}},
	{length, "100000", []string{"dm"}},
	{length, "1000000", []string{"m", "metre", "metres"}},
	{length, "25400", []string{"in", `"`, "inch", "inches"}},
	{length, "304800", []string{"ft", "feet", "foot"}},
	{span, "1", []string{"s", "sec", "second", "seconds"}},
	{span, "60", []string{"min", "mins", "minute", "minutes", "'"}},
	{span, "3600", []string{"h", "hr", "hrs", "hour", "hours"}},
	{mass, "1", []string{"mg"}},
	{mass, "1000", []string{"g", "gram", "grams"}},
	{mass, "1000000", []string{"kg", "kilo", "kilos"}},
	{mass, "453592.37", []string{"lb", "lbs"}},
	{mass, "28349.523125", []string{"oz"}},
	{area, "1", []string{"mm²", "mm2"}},
	{area, "100", []string{"cm²", "cm2"}},
	{area, "10000", []string{"dm²", "dm2"}},
	{area, "1000000", []string{"m²", "m2"}},
	{area, "645.16", []string{"in²", "in2"}},
	{power, "1", []string{"W"}},
	{power, "1000", []string{"kW"}},
}

var hundred = big.NewRat(100, 1)

// mostDecimals are those of a number that a conversion gives and that has no end.
const mostDecimals = 12

// convert gives a number in another unit than it was typed in.
func convert(r *big.Rat, from, to string) (string, error) {
	if from == "" || same(from, to) {
		return decimals(r), nil
	}
	if from == "%" && (strings.HasPrefix(to, "share") || to == "") {
		return decimals(r.Quo(r, hundred)), nil
	}
	a, b := measureOf(from), measureOf(to)
	if a < 0 || b < 0 || measures[a].kind != measures[b].kind {
		return "", fault(from, understood(to))
	}
	size, _ := fraction(measures[a].size)
	each, _ := fraction(measures[b].size)
	return decimals(r.Quo(r.Mul(r, size), each)), nil
}

// understood lists the units that a field takes.
func understood(unit string) string {
	switch {
	case unit == "":
		return "a number without a unit is wanted here"
	case unit == "share":
		return "a share such as 0.05, or per cent with their sign, is wanted here"
	}
	out := "this is counted in " + unit + " here"
	var others []string
	for _, m := range measures {
		if m.kind == kindOf(unit) && m.names[0] != unit {
			others = append(others, m.names[0])
		}
	}
	if len(others) > 0 {
		out += fmt.Sprintf("; %s are understood too", strings.Join(others, ", "))
	}
	return out
}

func measureOf(unit string) int {
	for i, m := range measures {
		if slices.Contains(m.names, unit) || slices.Contains(m.names, strings.ToLower(unit)) {
			return i
		}
	}
	return -1
}

func kindOf(unit string) kind {
	if i := measureOf(unit); i >= 0 {
		return measures[i].kind
	}
	return ""
}

// slashed writes a unit with slashes: EUR/h for EUR per h.
func slashed(unit string) string {
	return strings.ReplaceAll(strings.ReplaceAll(unit, " per ", "/"), " ", "")
}

// same tells whether two units are one under two names.
func same(a, b string) bool {
	a, b = slashed(a), slashed(b)
	if a == b || (b == "piece" || b == "pieces") && (a == "piece" || a == "pieces" || a == "pcs") {
		return true
	}
	currency, per, _ := strings.Cut(b, "/") // €/h for EUR/h
	if c, ok := money.Lookup(currency); ok && c.Sign != "" {
		if rest, signed := strings.CutPrefix(a, c.Sign); signed && (rest == "" || rest == "/"+per) {
			return true
		}
	}
	if len(a) == 3 && strings.HasPrefix(b, a+"/") { // EUR 58 for EUR/h
		return true
	}
	at := measureOf(a)
	return at >= 0 && at == measureOf(b)
}

var (
	hoursMinutes   = regexp.MustCompile(`^([0-9]+) ?(?:h|hr|hrs|hour|hours) ?([0-5]?[0-9]) ?(?:min|mins|minutes|m|')?$`)
	minutesSeconds = regexp.MustCompile(`^([0-9]+) ?(?:min|mins|minutes|') ?([0-5]?[0-9]) ?(?:s|sec|seconds|")?$`)
)

// clock reads a time in two units, 1 h 20 or 5 min 30, as so much of the smaller one.
func clock(t, unit string) (*big.Rat, string, bool) {
	if kindOf(unit) != span {
		return nil, "", false
	}
	m, of := hoursMinutes.FindStringSubmatch(t), "min"
	if m == nil {
		m, of = minutesSeconds.FindStringSubmatch(t), "s"
	}
	if m == nil {
		return nil, "", false
	}
	large, _ := fraction(m[1])
	small, _ := fraction(m[2])
	return small.Add(small, large.Mul(large, big.NewRat(60, 1))), of, true
}

// mostFigures keep what is typed from making the program compute for long.
const mostFigures = 34

// fraction reads plain notation or a fraction of two counts.
func fraction(plain string) (*big.Rat, bool) {
	if len(plain) > 2*mostFigures {
		return nil, false
	}
	return new(big.Rat).SetString(plain)
}

// decimals writes a number with the decimals it has; one without end is rounded.
func decimals(r *big.Rat) string {
	places, exact := r.FloatPrec()
	if !exact || places > mostFigures {
		places = mostDecimals
	}
	return r.FloatString(places)
}
