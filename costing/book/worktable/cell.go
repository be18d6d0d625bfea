package worktable

import (
	"fmt"
	"reflect"
	"regexp"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/text"
)

// between stands between the figures of a range.
const between = ".."

// put reads a cell into a field; an empty one clears it.
func (m mark) put(v reflect.Value, text string) error {
	if text == "" {
		v.SetZero()
		return nil
	}
	switch {
	case v.Type() == numberType:
		n, err := m.number(text)
		if err == nil {
			v.Set(reflect.ValueOf(n))
		}
		return err
	case v.Kind() == reflect.Pointer:
		n := reflect.New(v.Type().Elem())
		if err := m.put(n.Elem(), text); err != nil {
			return err
		}
		v.Set(n)
		return nil
	case v.Kind() == reflect.Bool:
		if text != "yes" && text != "no" {
			return fmt.Errorf("write yes or no")
		}
		v.SetBool(text == "yes")
	case v.Kind() == reflect.Slice:
		v.Set(names(v.Type(), text))
	default:
		v.SetString(text)
	}
	return nil
}

func names(t reflect.Type, text string) reflect.Value {
	list := reflect.MakeSlice(t, 0, 4)
	for name := range strings.FieldsSeq(text) {
		list = reflect.Append(list, reflect.ValueOf(name).Convert(t.Elem()))
	}
	return list
}

// number reads one figure, or a range with its shape.
func (m mark) number(text string) (bom.Number, error) {
	if !strings.Contains(text, between) {
		d, err := m.decimal(text)
		return bom.Exactly(d), err
	}
	words := strings.Fields(text)
	ends := strings.Split(words[0], between)
	if len(ends) != 3 || len(words) > 3 {
		return bom.Number{}, fmt.Errorf("%q is no range such as 4..5..7, with pert, uniform or normal 0.5 behind it where it is not triangular", bom.Shorten(text))
	}
	var figures [3]decimal.Decimal
	for i, end := range ends {
		var err error
		if figures[i], err = m.decimal(end); err != nil {
			return bom.Number{}, err
		}
	}
	n := bom.Number{Low: figures[0], Likely: figures[1], High: figures[2], IsRange: true}
	if err := m.shape(&n, words[1:]); err != nil {
		return bom.Number{}, err
	}
	if fault := n.Fault(); fault != nil {
		return bom.Number{}, fmt.Errorf("%s", fault.Problem)
	}
	return n, nil
}

func (m mark) shape(n *bom.Number, words []string) error {
	if len(words) == 0 {
		return nil
	}
	var ok bool
	if n.Shape, ok = bom.ParseShape(words[0]); !ok {
		return fmt.Errorf("%q is no shape; there are %s", bom.Shorten(words[0]), strings.Join(bom.ShapeNames(), ", "))
	}
	if (n.Shape == bom.Normal) != (len(words) == 2) {
		return fmt.Errorf("only a normal range has a deviation, and needs one: 4..5..7 normal 0.5")
	}
	if n.Shape != bom.Normal {
		return nil
	}
	var err error
	n.SD, err = m.decimal(words[1])
	return err
}

// cellText writes a field as put reads it.
func (m mark) cellText(v reflect.Value) string {
	switch {
	case v.Type() == numberType:
		return m.numberText(v.Interface().(bom.Number))
	case v.Kind() == reflect.Pointer && v.IsNil():
		return ""
	case v.Kind() == reflect.Pointer:
		return m.cellText(v.Elem())
	case v.Kind() == reflect.Bool && v.Bool():
		return "yes"
	case v.Kind() == reflect.Bool:
		return ""
	case v.Kind() == reflect.Slice:
		var out []string
		for i := range v.Len() {
			out = append(out, v.Index(i).String())
		}
		return strings.Join(out, " ")
	}
	return v.String()
}

func (m mark) numberText(n bom.Number) string {
	if !n.IsRange {
		return m.digits(n.Likely)
	}
	out := m.digits(n.Low) + between + m.digits(n.Likely) + between + m.digits(n.High)
	if n.Shape != bom.Triangular {
		out += " " + n.Shape.String()
	}
	if n.Shape == bom.Normal {
		out += " " + m.digits(n.SD)
	}
	return out
}

// mark is the decimal mark of the numbers of a file.
type mark string

const (
	point mark = "."
	comma mark = ","
)

var (
	decimalComma = regexp.MustCompile(`^-?[0-9]+,[0-9]+(?: [a-z]+)?$|^[0-9.,]+ normal [0-9]+,[0-9]+$`)
	// thousands may be parted by what stands before the last three figures.
	thousands = regexp.MustCompile(`^-?[1-9][0-9]{0,2}[.,][0-9]{3}$`)
)

// markOf finds the mark of a file: the comma where it stands in some number that it
// cannot part the thousands of, or in a file that does not separate fields with it, as
// spreadsheets write who have a decimal comma.
func markOf(s Sheet) mark {
	for _, r := range s.Rows {
		for _, cell := range r.Cells {
			for end := range strings.SplitSeq(cell, between) {
				if decimalComma.MatchString(end) && (s.separator != ',' || !thousands.MatchString(end)) {
					return comma
				}
			}
		}
	}
	return point
}

// decimal reads a number with either mark. One that could be another number with its
// thousands parted is read with the mark of the file alone.
func (m mark) decimal(figures string) (decimal.Decimal, error) {
	if thousands.MatchString(figures) && !strings.Contains(figures, string(m)) {
		return decimal.Decimal{}, fmt.Errorf("%q could be %s or %s; write the one you mean", figures,
			strings.NewReplacer(".", "", ",", "").Replace(figures), strings.NewReplacer(".", string(m), ",", string(m)).Replace(figures))
	}
	if !strings.Contains(figures, ".") {
		figures = strings.Replace(figures, ",", ".", 1)
	}
	return bom.ParseDecimal(figures)
}

func (m mark) digits(d decimal.Decimal) string {
	return strings.Replace(text.Digits(d), ".", string(m), 1)
}
