package text

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// unit is the measure a field is in, by the end of its name.
type unit struct{ suffix, words string }

// units are those the book uses, each with what people write instead.
var units = []struct {
	unit
	others []string
}{
	{unit{"mm", "lengths are in mm"}, []string{"cm", "m", "in", "inch", "inches", "ft", "millimetres"}},
	{unit{"um", "thicknesses are in µm"}, []string{"µm", "micron", "microns", "mil", "mils", "nm"}},
	{unit{"g", "masses are in g"}, []string{"kg", "mg", "lb", "lbs", "oz", "grams"}},
	{unit{"min", "times are in min"}, []string{"s", "sec", "seconds", "h", "hours", "minutes", "mins"}},
	{unit{"dm2", "areas are in dm²"}, []string{"mm2", "cm2", "m2", "in2", "sqin"}},
	{unit{"days", "lead times are in days"}, []string{"weeks", "day", "week"}},
	{unit{"per_h", "rates are per hour"}, []string{"per_min", "per_hour", "per_day"}},
	{unit{"per_kg", "prices are per kg"}, []string{"per_g", "per_lb", "per_t"}},
	{unit{"g_cm3", "densities are in g/cm³"}, []string{"kg_m3", "kg_dm3", "g_mm3", "lb_in3"}},
}

// splitUnit takes the unit of the book off the name of a field.
func splitUnit(name string) (stem string, found unit, ok bool) {
	for _, u := range units {
		rest, cut := strings.CutSuffix(name, "_"+u.suffix)
		if cut && len(u.suffix) > len(found.suffix) {
			stem, found, ok = rest, u.unit, true
		}
	}
	return stem, found, ok
}

// otherUnit finds the known field that name means in another unit: length_in or
// a bare length for length_mm.
func otherUnit(name string, known []string) (field string, found unit, ok bool) {
	for _, field := range known {
		stem, u, has := splitUnit(field)
		if !has {
			continue
		}
		i := slices.IndexFunc(units, func(row struct {
			unit
			others []string
		}) bool {
			return row.unit == u
		})
		rest, cut := strings.CutPrefix(name, stem)
		if cut && (rest == "" || slices.Contains(units[i].others, strings.TrimPrefix(rest, "_"))) {
			return field, u, true
		}
	}
	return "", unit{}, false
}

// unknownField says what to write instead of a name that no field has.
func unknownField(name string, known []string) string {
	if field, u, ok := otherUnit(name, known); ok {
		return fmt.Sprintf("unknown field; %s: convert the figure and write %s", u.words, field)
	}
	if near, ok := Nearest(name, known); ok {
		return fmt.Sprintf("unknown field; did you mean %s?", near)
	}
	return fmt.Sprintf("unknown field %.40q; known here are %s", name, strings.Join(known, ", "))
}

// Nearest finds the known name that was probably meant: the one with the fewest
// letters wrong, if these are at most a third.
func Nearest(name string, known []string) (string, bool) {
	const longest = 60 // of any name; a longer text is no slip of the hand
	if len(name) > longest {
		return "", false
	}
	best, fewest := "", 0
	for _, candidate := range known {
		one, other := utf8.RuneCountInString(name), utf8.RuneCountInString(candidate)
		length := max(one, other)
		allowed := max(1, length/3)
		if len(candidate) > longest || length-min(one, other) > allowed {
			continue
		}
		wrong := distance(strings.ToLower(name), strings.ToLower(candidate))
		if wrong <= allowed && wrong < length && (best == "" || wrong < fewest) {
			best, fewest = candidate, wrong
		}
	}
	return best, best != ""
}

// distance counts letters to insert, delete, replace or swap with their
// neighbour to turn a into b.
func distance(a, b string) int {
	x, y := []rune(a), []rune(b)
	rows := make([][]int, len(x)+1)
	for i := range rows {
		rows[i] = make([]int, len(y)+1)
		rows[i][0] = i
	}
	for j := range rows[0] {
		rows[0][j] = j
	}
	for i := 1; i <= len(x); i++ {
		for j := 1; j <= len(y); j++ {
			replace := 1
			if x[i-1] == y[j-1] {
				replace = 0
			}
			rows[i][j] = min(rows[i-1][j]+1, rows[i][j-1]+1, rows[i-1][j-1]+replace)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				rows[i][j] = min(rows[i][j], rows[i-2][j-2]+1)
			}
		}
	}
	return rows[len(x)][len(y)]
}
