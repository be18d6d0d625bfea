package text

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"kerfbook/bom"

	"github.com/shopspring/decimal"
	"go.yaml.in/yaml/v3"
)

// MaxText is the most characters of one text.
const MaxText = 500

// maxInteger keeps counts, day counts and the numbers of operations small.
const maxInteger = 1_000_000_000

const quotedStyle = yaml.DoubleQuotedStyle | yaml.SingleQuotedStyle | yaml.LiteralStyle | yaml.FoldedStyle

// scalar reads a single value from its literal text.
func (d *decoder) scalar(n *yaml.Node, path string, s *schema, bounds limits, out reflect.Value) {
	if !d.expect(n, path, yaml.ScalarNode) {
		return
	}
	var err error
	switch s.kind {
	case ShapeText:
		if out.SetString(n.Value); !d.anyText {
			err = setText(n.Value, out)
		}
	case checked:
		err = out.Interface().(TextChecker).CheckText(n.Value, n.Style&quotedStyle != 0)
		out.SetString(n.Value)
	case ShapeWord:
		err = checkWord(n.Value, valuesOf(s))
		out.SetString(n.Value)
	case ShapeID:
		_, err = bom.ParseID(n.Value)
		out.SetString(n.Value)
	case ShapeDay:
		_, err = bom.ParseDate(n.Value)
		out.SetString(n.Value)
	case ShapeYesNo:
		err = setTruth(n, out)
	case ShapeWhole, ShapeSingle:
		d.plainFigure(n, path, s, bounds, out)
	}
	if err != nil {
		d.fail(n, path, err.Error())
	}
}

func setText(value string, out reflect.Value) error {
	value = strings.TrimSpace(value)
	if length := utf8.RuneCountInString(value); length > MaxText {
		return fmt.Errorf("the text has %d characters; at most %d are kept", length, MaxText)
	}
	for _, r := range value {
		if unicode.IsControl(r) || r == '\u2028' || r == '\u2029' || r == '\uFEFF' || r == utf8.RuneError {
			return fmt.Errorf("the text holds the character %U; write it on one line, without control characters", r)
		}
	}
	out.SetString(value)
	return nil
}

func setTruth(n *yaml.Node, out reflect.Value) error {
	if n.Value != "true" && n.Value != "false" || n.Style&quotedStyle != 0 {
		return fmt.Errorf("%q is neither true nor false; write one of these, without quotes", bom.Shorten(n.Value))
	}
	out.SetBool(n.Value == "true")
	return nil
}

func valuesOf(s *schema) []string {
	return reflect.Zero(s.typ).Interface().(Words).Values()
}

func checkWord(value string, known []string) error {
	if slices.Contains(known, value) {
		return nil
	}
	hint := ""
	if near, ok := Nearest(value, known); ok {
		hint = "; did you mean " + near + "?"
	}
	return fmt.Errorf("%q is not one of: %s%s", bom.Shorten(value), strings.Join(known, ", "), hint)
}

func (d *decoder) plainFigure(n *yaml.Node, path string, s *schema, bounds limits, out reflect.Value) {
	value, ok := d.decimal(n, path, bounds)
	switch {
	case !ok:
	case s.kind == ShapeSingle:
		out.Set(reflect.ValueOf(value))
	case !value.IsInteger():
		d.fail(n, path, fmt.Sprintf("%s must be a whole number", Digits(value)))
	case value.Abs().GreaterThan(decimal.NewFromInt(maxInteger)):
		d.fail(n, path, fmt.Sprintf("%s is too large; it must be %d or less", Digits(value), maxInteger))
	default:
		out.SetInt(value.IntPart())
	}
}

// decimal reads one figure and holds it against its bounds.
func (d *decoder) decimal(n *yaml.Node, path string, bounds limits) (decimal.Decimal, bool) {
	value, err := bom.ParseDecimal(n.Value)
	if err != nil {
		d.fail(n, path, decimalMessage(err, path))
		return value, false
	}
	if breach := bounds.breach(value); breach != "" {
		d.fail(n, path, breach)
		return value, false
	}
	return value, true
}

// decimalMessage adds the unit of the field to an error, since "43.2 in" in a
// field of millimetres is the likeliest mistake.
func decimalMessage(err error, path string) string {
	name := path[strings.LastIndexByte(path, '.')+1:]
	var problem *bom.DecimalError
	if _, unit, ok := splitUnit(name); ok && errors.As(err, &problem) {
		return fmt.Sprintf("%v; %s", err, unit.words)
	}
	return err.Error()
}

// spread is a range as it is written. The bounds of the field hold for low, likely
// and high, not for the deviation.
type spread struct {
	Low    decimal.Decimal  `book:"low,required"`
	Likely decimal.Decimal  `book:"likely,required"`
	High   decimal.Decimal  `book:"high,required"`
	Shape  shapeWord        `book:"shape"`
	SD     *decimal.Decimal `book:"sd,over=0"`
}

// shapeWord is the word of a shape; none is triangular.
type shapeWord string

// Values lists the words.
func (shapeWord) Values() []string { return bom.ShapeNames() }

// number reads one figure, or a range of three.
func (d *decoder) number(n *yaml.Node, path string, bounds limits, out reflect.Value) {
	switch {
	case n.Kind == yaml.ScalarNode:
		if value, ok := d.decimal(n, path, bounds); ok {
			out.Set(reflect.ValueOf(bom.Exactly(value)))
		}
	case n.Kind != yaml.MappingNode:
		d.fail(n, path, "a number is expected here, or a range {low: …, likely: …, high: …}, not a list")
	case bounds.whole:
		d.fail(n, path, "a count is one whole number; write it without a range")
	case bounds.single:
		d.fail(n, path, "one figure is expected here, not a range: limits, steps, least quantities and those of price breaks are exact")
	default:
		d.spread(n, path, bounds, out)
	}
}

func (d *decoder) spread(n *yaml.Node, path string, bounds limits, out reflect.Value) {
	var r spread
	s, err := schemaOf(reflect.TypeOf(r))
	if err != nil {
		panic(err) // the tags above are wrong
	}
	before := len(d.errors)
	d.record(n, path, s, bounds, reflect.ValueOf(&r).Elem())
	if len(d.errors) > before {
		return
	}
	shape, _ := bom.ParseShape(string(r.Shape)) // a word that is none is reported; no word is triangular
	if shape == bom.Normal && r.SD == nil {
		d.fail(entry(n, "shape"), Field(path, "sd"), "sd is missing; a normal shape needs sd, the standard deviation before it is cut off at low and high")
		return
	}
	value := bom.Number{Low: r.Low, Likely: r.Likely, High: r.High, IsRange: true, Shape: shape}
	if r.SD != nil {
		value.SD = *r.SD
	}
	if fault := value.Fault(); fault != nil {
		d.fail(entry(n, fault.Field), Field(path, fault.Field), fault.Problem)
		return
	}
	out.Set(reflect.ValueOf(value))
}

// entry finds the value of a field of a mapping; the mapping itself if it has none.
func entry(n *yaml.Node, name string) *yaml.Node {
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == name {
			return n.Content[i+1]
		}
	}
	return n
}

// spreadText writes a range. What a bare range means is left out, so that the same
// range has one text.
func (e *encoder) spreadText(n bom.Number) string {
	parts := []string{"low: " + e.figure(n.Low), "likely: " + e.figure(n.Likely), "high: " + e.figure(n.High)}
	if n.Shape != bom.Triangular {
		parts = append(parts, "shape: "+n.Shape.String())
	}
	if n.Shape == bom.Normal {
		parts = append(parts, "sd: "+e.figure(n.SD))
	}
	if fault := n.Fault(); fault != nil {
		e.fail(fmt.Errorf("text: a range cannot be written: %s", fault.Problem))
	}
	return "{" + strings.Join(parts, ", ") + "}"
}
