package text

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"unicode/utf8"
)

// unit is the measure a field is in, by the end of its name, with what people write
// instead.
type unit struct {
	suffix, words string
	others        []string
}

// units are those the book uses; none ends as another does.
var units = []unit{
	{"mm", "lengths are in mm", []string{"cm", "m", "in", "inch", "inches", "ft", "millimetres"}},
	{"um", "thicknesses are in µm", []string{"µm", "micron", "microns", "mil", "mils", "nm"}},
	{"g", "masses are in g", []string{"kg", "mg", "lb", "lbs", "oz", "grams"}},
	{"min", "times are in min", []string{"s", "sec", "seconds", "h", "hours", "minutes", "mins"}},
	{"dm2", "areas are in dm²", []string{"mm2", "cm2", "m2", "in2", "sqin"}},
	{"days", "lead times are in days", []string{"weeks", "day", "week"}},
	{"per_h", "rates are per hour", []string{"per_min", "per_hour", "per_day"}},
	{"per_kg", "prices are per kg", []string{"per_g", "per_lb", "per_t"}},
	{"g_cm3", "densities are in g/cm³", []string{"kg_m3", "kg_dm3", "g_mm3", "lb_in3"}},
}

// splitUnit takes the unit of the book off the name of a field.
func splitUnit(name string) (stem string, found unit, ok bool) {
	for _, u := range units {
		if stem, ok := strings.CutSuffix(name, "_"+u.suffix); ok {
			return stem, u, true
		}
	}
	return "", unit{}, false
}

// otherUnit finds the known field that name means in another unit: length_in or
// a bare length for length_mm.
func otherUnit(name string, known []string) (field string, found unit, ok bool) {
	for _, field := range known {
		stem, u, has := splitUnit(field)
		rest, cut := strings.CutPrefix(name, stem)
		if has && cut && (rest == "" || slices.Contains(u.others, strings.TrimPrefix(rest, "_"))) {
			return field, u, true
		}
	}
	return "", unit{}, false
}

// Hints say of fields what their names do not.
type Hints interface {
	// Meant finds the field of a struct that is meant by a name which none of them has.
	Meant(in reflect.Type, name string) (field string, ok bool)
	// Says tells what a field is; empty where nothing is known of it.
	Says(in reflect.Type, field string) string
}

// says gives what a field is, after a mark.
func (d *decoder) says(mark string, s *schema, field string) string {
	if d.hints == nil {
		return ""
	}
	if what := d.hints.Says(s.typ, field); what != "" {
		return mark + what
	}
	return ""
}

// unknown says what to write instead of a name that no field has.
func (d *decoder) unknown(name string, s *schema) string {
	if field, u, ok := otherUnit(name, s.names); ok {
		return fmt.Sprintf("unknown field %.40q; %s: convert the figure and write %s", name, u.words, field)
	}
	near, ok := Nearest(name, s.names)
	if !ok && d.hints != nil {
		near, ok = d.hints.Meant(s.typ, name)
	}
	if ok {
		return fmt.Sprintf("unknown field %.40q; did you mean %s%s? Known here are %s", name, near, d.says(", ", s, near), strings.Join(s.names, ", "))
	}
	return fmt.Sprintf("unknown field %.40q; known here are %s", name, strings.Join(s.names, ", "))
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
		length := max(utf8.RuneCountInString(name), utf8.RuneCountInString(candidate))
		wrong, near := Distance(strings.ToLower(name), strings.ToLower(candidate), max(1, length/3))
		if near && wrong < length && (best == "" || wrong < fewest) {
			best, fewest = candidate, wrong
		}
	}
	return best, best != ""
}

// Distance counts letters to insert, delete, replace or swap with their neighbour
// to turn a into b; it is not ok if these are more than most.
func Distance(a, b string, most int) (wrong int, ok bool) {
	x, y := []rune(a), []rune(b)
	if max(len(x)-len(y), len(y)-len(x)) > most {
		return 0, false
	}
	before, last, row := make([]int, len(y)+1), make([]int, len(y)+1), make([]int, len(y)+1)
	for j := range last {
		last[j] = j
	}
	leastLast := 0
	for i := range x {
		row[0] = i + 1
		least := row[0]
		for j := range y {
			wrong := last[j]
			if x[i] != y[j] {
				wrong++
			}
			wrong = min(wrong, last[j+1]+1, row[j]+1)
			if i > 0 && j > 0 && x[i] == y[j-1] && x[i-1] == y[j] {
				wrong = min(wrong, before[j-1]+1)
			}
			row[j+1], least = wrong, min(least, wrong)
		}
		if min(least, leastLast) > most { // a swap goes two rows back
			return 0, false
		}
		before, last, row, leastLast = last, row, before, least
	}
	return last[len(y)], last[len(y)] <= most
}
