package guess

import (
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/rates"
)

// The shapes that a maker may say are cut into a part, in the words of a drawing.
const (
	Hole   = "hole"
	Thread = "thread"
	Knurl  = "knurl"
	Pocket = "pocket"
)

// Shape is one of them, with the sizes asked of it; those of Needs must be said.
type Shape struct {
	Name, Asks string
	Hint       string
	Needs      []Size
	May        []Size
	Sides      []Side // ways it may lie, the usual one first; none where there is one
}

// Side is a way that a shape lies in a part.
type Side struct{ Value, Words string }

const (
	onOutside = "outside"
	acrossAt  = "across:" // and the work centre at which it is cut across the axis
)

// Across is a shape that lies across the axis, cut at a work centre.
func Across(centre bom.ID, words string) Side {
	return Side{acrossAt + string(centre), "across the axis, " + words}
}

// Size is a size in mm, or a count. A thread is asked for by its name.
type Size struct{ Name, Label string }

// Shapes lists what is asked of a part that is made in a way.
func Shapes(way bom.Way) []Shape {
	count := Size{"count", "how many"}
	out := []Shape{
		{Name: Hole, Asks: "Drilled holes", Needs: []Size{{"diameter", "diameter"}, {"depth", "depth"}}, May: []Size{count}},
		{Name: Thread, Asks: "Threads", Hint: "a thread inside brings its core hole; a hole of that size, as deep as the thread, is that one", Needs: []Size{{"name", "such as M6"}, {"depth", "length"}}, May: []Size{count}},
	}
	if way == bom.Turned {
		out[0].Sides = []Side{{"", "along the axis"}}
		out[1].Sides = []Side{{"", "inside, tapped"}, {onOutside, "outside"}}
		return append(out, Shape{Name: Knurl, Asks: "Knurl", Needs: []Size{{"depth", "length"}}})
	}
	return append(out, Shape{Name: Pocket, Asks: "Pockets", Needs: []Size{{"length", "length"}, {"width", "width"}, {"depth", "depth"}}, May: []Size{count, {"corner", "corner radius"}}})
}

// Cut is one shape as it was said.
type Cut struct {
	Shape  string
	Sizes  map[string]bom.Number
	Thread rates.Thread
	Side   string // the value of one of the sides of the shape
}

// across reports a shape across the axis, and where it is cut.
func (c Cut) across() (centre bom.ID, ok bool) {
	at, ok := strings.CutPrefix(c.Side, acrossAt)
	return bom.ID(at), ok
}

// deeper is how much deeper a core hole is drilled than its thread: common practice has a
// fifth between M6 and M12, a quarter below.
var deeper = decimal.New(12, -1)

// features are what cuts the shape into a part.
func (c Cut) features(def *bom.Part) []bom.Feature {
	size := func(name string) *bom.Number {
		n, ok := c.Sizes[name]
		if !ok {
			return nil
		}
		return &n
	}
	f := bom.Feature{Count: size("count"), DepthMM: size("depth")}
	as := func(kind bom.FeatureKind, name string) bom.Feature {
		f := f
		f.Kind, f.Name = kind, name
		if _, across := c.across(); across {
			f.Name += acrossWord
		}
		return f
	}
	outside := def.Finished.DiameterMM
	switch c.Shape {
	case Hole:
		f.DiameterMM = size("diameter")
		return []bom.Feature{as(bom.Drill, "hole "+f.DiameterMM.Likely.String())}
	case Thread:
		t := c.Thread
		name := "thread " + string(t.ID) + ", pitch " + t.PitchMM.Likely.String()
		if c.Side == onOutside {
			down := as(bom.Turn, "turned down for "+string(t.ID))
			down.LengthMM, down.DepthMM, down.DiameterMM, down.ToDiameterMM = f.DepthMM, nil, outside, &t.DiameterMM
			cut := as(bom.ThreadTurn, name)
			cut.LengthMM, cut.DepthMM, cut.DiameterMM, cut.PitchMM = f.DepthMM, nil, &t.DiameterMM, &t.PitchMM
			if !outside.Likely.GreaterThan(t.DiameterMM.Likely) {
				return []bom.Feature{cut}
			}
			return []bom.Feature{down, cut}
		}
		core, tapped := as(bom.Drill, coreOf+string(t.ID)), as(bom.Tap, name)
		deep := bom.Exactly(f.DepthMM.Likely.Mul(deeper))
		core.DiameterMM, core.DepthMM = &t.CoreMM, &deep
		tapped.DiameterMM, tapped.PitchMM = &t.DiameterMM, &t.PitchMM
		return []bom.Feature{core, tapped}
	case Knurl:
		k := as(bom.Knurl, "knurl")
		k.LengthMM, k.DepthMM, k.DiameterMM = f.DepthMM, nil, outside
		return []bom.Feature{k}
	}
	p := as(bom.Pocket, "pocket")
	p.LengthMM, p.WidthMM, p.CornerRadiusMM = size("length"), size("width"), size("corner")
	return []bom.Feature{p}
}

// outline are what makes the outside of a part from the blank that is guessed at.
func outline(def *bom.Part, rows rates.StarterRows) []bom.Feature {
	way, e := def.FirstGuess.Way, def.Finished
	class, _ := e.SizeClass()
	more := func(id bom.ID) decimal.Decimal {
		r, _ := rows.Range(id, way, class)
		return r.Value.Likely
	}
	exactly := func(d decimal.Decimal) *bom.Number { n := bom.Exactly(d); return &n }
	half, two := decimal.New(5, -1), bom.Whole(2)
	if way == bom.Turned {
		across := exactly(e.DiameterMM.Likely.Add(more("stock-across")))
		return []bom.Feature{{Kind: bom.FaceTurn, Name: "face", DiameterMM: across, DepthMM: exactly(more("stock-along").Mul(half))},
			{Kind: bom.Turn, Name: "outside", LengthMM: e.LengthMM, DiameterMM: across, ToDiameterMM: e.DiameterMM},
			{Kind: bom.PartOff, Name: "part off", DiameterMM: across}}
	}
	side := more("stock-across").Mul(half)
	around := bom.Feature{Kind: bom.Contour, Name: "outside", PathMM: exactly(e.LengthMM.Likely.Add(e.WidthMM.Likely).Mul(two.Likely)), DepthMM: e.ThicknessMM, WidthMM: exactly(side)}
	if way == bom.Cut {
		return []bom.Feature{around}
	}
	return []bom.Feature{{Kind: bom.Face, Name: "face", Count: &two, LengthMM: e.LengthMM, WidthMM: e.WidthMM, DepthMM: exactly(more("stock-along").Mul(half))}, around}
}

// CutInto is a part with what is cut into it, which takes the place of as much of its
// guess. All says that nothing else is: the outside is then entered too.
func CutInto(def *bom.Part, cuts []Cut, all bool) (bom.Part, error) {
	out := *def
	out.Routing = append([]bom.Operation(nil), Routed(def).Routing...)
	at := first(&out, bom.Machining)
	if at < 0 {
		return out, nil
	}
	op := &out.Routing[at]
	op.Features = append([]bom.Feature(nil), op.Features...)
	var add []bom.Feature
	if all && !def.FirstGuess.FeaturesEntered {
		rows, err := rates.ReferenceGuess()
		if err != nil {
			return out, err
		}
		add = outline(def, rows)
		g := *def.FirstGuess
		g.FeaturesEntered, out.FirstGuess = true, &g
	}
	var further []Cut
	for _, c := range cuts {
		if centre, across := c.across(); across && centre != op.WorkCentre {
			further = append(further, c)
		} else {
			add = append(add, c.features(def)...)
		}
	}
	cutBy(op, add)
	for _, c := range further {
		centre, _ := c.across()
		cutBy(clamping(&out, at, centre), c.features(def))
	}
	return out, nil
}

func cutBy(op *bom.Operation, features []bom.Feature) {
	for _, f := range features {
		f.ID = freeID(op, f.Name)
		op.Features = append(op.Features, f)
	}
	coresOnce(op)
}

// freeID is an id that no feature of an operation has.
func freeID(op *bom.Operation, name string) bom.ID {
	for n := len(op.Features) + 1; ; n++ {
		id := bom.ID(strconv.Itoa(n) + "-" + bom.Slug(name))
		if !slices.ContainsFunc(op.Features, func(f bom.Feature) bool { return f.ID == id }) {
			return id
		}
	}
}

// clamping is that of a part at a work centre in which it is cut across its axis, which it
// gets after its first machining, at a place, where it has none there.
func clamping(p *bom.Part, first int, centre bom.ID) *bom.Operation {
	for i := first + 1; i < len(p.Routing); i++ {
		if o := &p.Routing[i]; o.Kind == bom.Machining && o.WorkCentre == centre && len(o.Features) > 0 {
			o.Features = slices.Clone(o.Features)
			return o
		}
	}
	at, next := first+1, p.Routing[first].Number+5
	for ; at < len(p.Routing) && p.Routing[at].Number <= next; at++ {
		next = max(next, p.Routing[at].Number+1)
	}
	p.Routing = slices.Insert(p.Routing, at, bom.Operation{Number: next, Name: "drilling across", Kind: bom.Machining, WorkCentre: centre})
	return &p.Routing[at]
}
