package notation

import (
	"cmp"
	"fmt"
	"regexp"
	"strings"

	"kerfbook/bom"
)

// Number is what a text was understood as.
type Number struct {
	Plain string // as the book and the API write it: 12.50
	// Said tells what was understood, with its unit, where the text does not show it by
	// itself: 9.525 mm for 3/8 in. It stands beside the field.
	Said string
}

// Number reads a number for a field that counts in a unit, written as those of the
// graph (mm, min, EUR/h, piece) or of the dictionary of fields (share, money per h), or
// empty. The text may bear that unit or another of its
// kind, and a share may be typed in per cent.
func (s Style) Number(text, unit string) (Number, error) {
	unit = strings.Replace(unit, "money", cmp.Or(s.Money, "money"), 1)
	t := strings.Join(strings.Fields(tidied.Replace(text)), " ")
	if t == "" {
		return Number{}, fault(text, "a number is missing")
	}
	var plain string
	var err error
	if hours, rest, ok := clock(t, unit); ok {
		plain, err = convert(hours, rest, unit)
	} else {
		plain, err = s.measure(text, t, unit)
	}
	if err == nil {
		_, err = bom.ParseDecimal(plain)
	}
	if err != nil {
		return Number{}, err
	}
	n := Number{Plain: plain}
	if bare, _ := strings.CutSuffix(t, unit); strings.TrimSpace(bare) != s.Text(plain) {
		n.Said = s.Said(plain, unit)
	}
	return n, nil
}

// Said writes a number in plain notation with its unit, a share in per cent beside it.
func (s Style) Said(plain, unit string) string {
	switch unit {
	case "share":
		if r, ok := fraction(plain); ok {
			return s.Text(plain) + ", " + s.Text(decimals(r.Mul(r, hundred))) + " %"
		}
		return s.Text(plain)
	case "":
		return s.Text(plain)
	}
	return s.Text(plain) + " " + unit
}

// Whole reads a count, in which a sign before three figures can only part thousands.
func (s Style) Whole(text string) (string, error) {
	t := strings.Join(strings.Fields(tidied.Replace(text)), " ")
	for _, unit := range []string{"pieces", "piece", "pcs"} {
		t = strings.TrimSpace(strings.TrimSuffix(t, unit))
	}
	if thousands.MatchString(t) {
		if mark := s.mark(); strings.Count(t, mark) == 1 && strings.HasSuffix(t, mark+"000") {
			return "", either(text, strings.ReplaceAll(t, mark, ""), strings.TrimSuffix(t, mark+"000"))
		} else if strings.Count(t, mark) != 1 {
			return thousand.Replace(t), nil
		}
	}
	plain, err := s.plain(text, t)
	if err != nil {
		return "", err
	}
	return plain, nil
}

func (s Style) mark() string {
	if s.Comma {
		return ","
	}
	return "."
}

// tidied are characters that are pasted along with a number, or typed for another.
var tidied = strings.NewReplacer("\u00a0", " ", "\u202f", " ", "\u2009", " ", "\u2212", "-", "’", "'", "″", `"`, "”", `"`, "⌀", "Ø", "ø", "Ø")

var (
	parts      = regexp.MustCompile(`^([^0-9.,+-]*)([+-]?[0-9., ']*[0-9](?:[ -]?[0-9]*/ ?[0-9]+)?[.,]?)(.*)$`)
	mixed      = regexp.MustCompile(`^([+-]?)(?:([0-9]+)[ -])?([0-9]+)/ ?([0-9]+)$`)
	thousands  = regexp.MustCompile(`^[0-9]{1,3}(?:(?:\.[0-9]{3})+|(?:,[0-9]{3})+|(?: [0-9]{3})+|(?:'[0-9]{3})+)$`)
	thousand   = strings.NewReplacer(".", "", ",", "", " ", "", "'", "")
	ofDiameter = regexp.MustCompile(`^(?i:Ø|dia\.?|diameter)$`)
)

// measure reads a number with what stands before and behind it.
func (s Style) measure(text, t, unit string) (string, error) {
	m := parts.FindStringSubmatch(t)
	if m == nil {
		return "", fault(text, "not a number such as "+s.Text("12.50"))
	}
	before, figures, behind := strings.TrimSpace(m[1]), m[2], strings.TrimSpace(m[3])
	if ofDiameter.MatchString(before) && kindOf(unit) == length {
		before = ""
	}
	if before != "" && behind != "" {
		return "", fault(text, "not a number such as "+s.Text("12.50"))
	}
	if f := mixed.FindStringSubmatch(figures); f != nil {
		r, ok := fraction(cmp.Or(f[3], "0") + "/" + f[4])
		if whole, _ := fraction(cmp.Or(f[2], "0")); ok {
			r.Add(r, whole)
			if f[1] == "-" {
				r.Neg(r)
			}
			return convert(r, cmp.Or(before, behind), unit)
		}
		return "", fault(text, "nothing is divided by 0")
	}
	plain, err := s.plain(text, figures)
	if err != nil {
		return "", err
	}
	// A number in the unit of its field is kept figure by figure, zeros at its end too.
	if means := cmp.Or(before, behind, unit); same(means, unit) {
		return plain, nil
	}
	r, _ := fraction(plain)
	return convert(r, cmp.Or(before, behind), unit)
}

// plain reads figures and their signs. The person's own mark is the decimal mark
// always; the other one where it can be nothing else.
func (s Style) plain(text, t string) (string, error) {
	mark, other := s.mark(), ","
	if s.Comma {
		other = "."
	}
	if strings.Contains(t, other) {
		switch own, last := strings.Count(t, mark), strings.LastIndex(t, other); {
		case own > 1 || own == 1 && strings.LastIndex(t, mark) < last: // 1,234.5 of one who writes 1.234,5, or the other way round
			mark, other = other, mark
		case own == 1 || strings.Count(t, other) > 1: // as the person would
		case thousands.MatchString(t) && !strings.HasPrefix(t, "0"):
			return "", either(text, strings.Replace(t, other, "", 1), s.Text(strings.Replace(t, other, ".", 1)))
		default:
			mark, other = other, mark
		}
	}
	before, after, cut := strings.Cut(strings.TrimPrefix(t, "+"), mark)
	sign := ""
	if rest, ok := strings.CutPrefix(before, "-"); ok {
		sign, before = "-", rest
	}
	if strings.ContainsAny(before, " '"+other) {
		if !thousands.MatchString(before) {
			return "", fault(text, "its thousands are not in groups of three")
		}
		before = thousand.Replace(before)
	}
	plain := sign + before
	if cut {
		plain = sign + cmp.Or(before, "0")
		plain += "." + after
	}
	_, err := bom.ParseDecimal(plain)
	return plain, err
}

func fault(text, reason string) error {
	return &bom.DecimalError{Text: bom.Shorten(text), Reason: reason}
}

// TwoMeaningsError is a text that could be two numbers.
type TwoMeaningsError struct{ Text, Large, Small string }

func (e *TwoMeaningsError) Error() string {
	return fmt.Sprintf("%q could be %s or %s; write the one you mean", e.Text, e.Large, e.Small)
}

func either(text, large, small string) error {
	return &TwoMeaningsError{bom.Shorten(text), large, small}
}
