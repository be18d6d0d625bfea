package feature

import (
	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/reference"
)

// handRate is what a kind of work takes that is done by hand, or by a work centre
// without a tool of the book: minutes by its unit, where the feature states none.
type handRate struct {
	unit    string   // "m", "dm²", …
	minutes [3]int64 // in thousandths: low, likely, high
	cite    string
}

// handRates are likely minutes with a low and a high. A short text by a laser: source
// `laser-marks`.
var handRates = map[bom.FeatureKind]handRate{
	bom.Deburr: {"m", [3]int64{800, 2000, 5000}, "common practice: 2 min for burrs of turning, milling and drilling, taken up and looked at; low a light edge break, high tough burrs"},
	bom.Polish: {"dm²", [3]int64{3000, 6000, 12000}, reference.FromMemory + ": bright; satin takes a third"},
	bom.Blast:  {"dm²", [3]int64{300, 800, 1500}, reference.FromMemory + ": glass beads in a cabinet"},
	bom.Mark:   {"character", [3]int64{3, 8, 30}, reference.FromMemory + ": filled characters of 3 to 5 mm by a fibre laser; `laser-marks` has 1 to 3.5 s for a short text"},
	// Wound in, its tang broken off and picked out.
	bom.FitInsert: {"insert", [3]int64{150, 300, 600}, reference.FromMemory},
}

// ByHand is M22: the minutes of all features alike, their amount × what its unit takes,
// below root where the feature does not state it. It is None where nothing says how long the kind takes.
func (f *Feature) ByHand(root graph.Scope) graph.ID {
	rate, ok := handRates[f.Def.Kind]
	if !ok {
		return graph.None
	}
	s := f.Scope.By("M22")
	each := s.Optional("unit-minutes", "minutes by "+rate.unit, graph.Minute, f.Def.UnitMin, "unit_min")
	if each == graph.None {
		n := bom.Number{IsRange: true, Low: decimal.New(rate.minutes[0], -3), Likely: decimal.New(rate.minutes[1], -3), High: decimal.New(rate.minutes[2], -3)}
		// Shared, so that a range is one unknown of all that is done so.
		at := root.In("by-hand", string(f.Def.Kind)).Of(f.Def.Kind.Noun()).From(graph.Source{Where: "assumption", Cite: reference.Cite(rate.cite)})
		each = at.Shared("unit-minutes", "minutes by "+rate.unit, graph.Minute, n, "")
	}
	args := []graph.ID{each}
	switch d := f.Def; {
	case d.PathMM != nil:
		args = append(args, s.Divide("metres", "length in metres", f.path, s.Convert("metre", "one metre", s.One(graph.Metre), graph.Metre, graph.Mm)))
	case d.AreaDM2 != nil:
		args = append(args, s.Divide("area-plain", "area in dm²", s.Number("area-worked", "area worked on", graph.Dm.Power(2), *d.AreaDM2, "area_dm2"), s.One(graph.Dm.Power(2))))
	case d.Characters != nil:
		args = append(args, s.Number("characters", "characters", graph.Plain, *d.Characters, "characters"))
	}
	if f.Count != graph.None {
		args = append(args, f.Count)
	}
	if len(args) == 1 {
		return each
	}
	return s.Multiply("computed", "time by hand", args...)
}
