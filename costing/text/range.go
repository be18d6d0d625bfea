package text

import (
	"fmt"
	"reflect"
	"strings"

	"kerfbook/bom"

	"github.com/shopspring/decimal"
	"go.yaml.in/yaml/v3"
)

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
