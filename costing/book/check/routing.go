package check

import (
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/text"
)

// routing checks the operations of a part or product.
func (c *checker) routing(path string, routing []bom.Operation) {
	for i := range routing {
		o := &routing[i]
		at := text.Index(path, i)
		if i > 0 && o.Number <= routing[i-1].Number {
			c.fail(at+".number", "operation %d follows %d; number operations in rising order, each once", o.Number, routing[i-1].Number)
		}
		c.operationKind(at, o)
		c.times(at, o)
	}
}

// operationKind checks that work is done either at a work centre or outside.
func (c *checker) operationKind(path string, o *bom.Operation) {
	if o.Kind == bom.Outside {
		if o.Treatment == nil {
			c.gap(path, "the outside operation %d needs a treatment", o.Number)
		}
		if o.WorkCentre != "" {
			c.fail(path+".work_centre", "an outside operation has no work centre; delete it")
		}
	} else {
		if o.Treatment != nil {
			c.fail(path+".treatment", "only an operation of kind outside has a treatment")
		}
		if o.WorkCentre == "" {
			c.gap(path, "operation %d needs a work_centre", o.Number)
		}
	}
	c.refer(path+".work_centre", o.WorkCentre, "work_centres")
	if y := o.Yield; y != nil && y.Likely.LessThan(decimal.New(5, -1)) {
		c.warn(path+".yield", "a yield of %s leaves less than half of the pieces good; enter the share that is good, such as 0.98 for 2 %% of scrap", y.Likely)
	}
	if o.Treatment != nil {
		c.refer(path+".treatment.process", o.Treatment.Process, "outside_processes")
	}
	if o.SampledShare != nil && o.Kind != bom.Inspection {
		c.warn(path+".sampled_share", "only an inspection looks at a share of the pieces; delete it")
	}
}

// times refuses a time that is given whole and in parts.
func (c *checker) times(path string, o *bom.Operation) {
	c.eitherOr(path, dimension{"piece_min", o.PieceMin},
		dimension{"cutting_min", o.CuttingMin}, dimension{"positioning_min", o.PositioningMin},
		dimension{"worn_edge_min", o.WornEdgeMin}, dimension{"handling_min", o.HandlingMin})
	c.eitherOr(path, dimension{"load_min", o.LoadMin},
		dimension{"tool_change_min", o.ToolChangeMin}, dimension{"load_handling_min", o.LoadHandlingMin},
		dimension{"probing_min", o.ProbingMin})
}

func (c *checker) eitherOr(path string, whole dimension, parts ...dimension) {
	var given []string
	for _, p := range parts {
		if p.value != nil {
			given = append(given, p.field)
		}
	}
	if whole.value != nil && len(given) > 0 {
		c.fail(text.Field(path, whole.field), "is given whole and in parts (%s); keep one or the other", strings.Join(given, ", "))
	}
}
