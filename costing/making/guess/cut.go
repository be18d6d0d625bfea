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
		{Name: Thread, Asks: "Threads", Hint: "an inner thread brings its core hole, if none of its size is entered", Needs: []Size{{"name", "such as M6"}, {"depth", "length"}}, May: []Size{count}},
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

// Common practice where a drawing says nothing else: outsides are finished by a last light
// pass, to a roughness that turning reaches, and the tool breaks their edges.
var (
	finishCut = decimal.New(2, -1) // mm
	edgeBreak = decimal.New(3, -1) // mm, at most a quarter of a diameter
	quarter   = decimal.New(25, -2)
)

// outline are what makes the outside of a part from the blank that is guessed at.
func outline(def *bom.Part, rows rates.StarterRows, ra *bom.Number) []bom.Feature {
	way, e := def.FirstGuess.Way, def.Finished
	class, _ := e.SizeClass()
	more := func(id bom.ID) decimal.Decimal {
		r, _ := rows.Range(id, way, class)
		return r.Value.Likely
	}
	half, two := decimal.New(5, -1), bom.Whole(2)
	if way == bom.Turned {
		d := e.DiameterMM.Likely
		across, broken := exactly(d.Add(more("stock-across"))), decimal.Min(edgeBreak, d.Mul(quarter), e.LengthMM.Likely.Mul(quarter))
		return []bom.Feature{{Kind: bom.FaceTurn, Name: "face", DiameterMM: across, DepthMM: exactly(more("stock-along").Mul(half)), RaUM: ra, AllowanceMM: exactly(finishCut)},
			{Kind: bom.Turn, Name: "outside", LengthMM: e.LengthMM, DiameterMM: across, ToDiameterMM: e.DiameterMM, RaUM: ra, AllowanceMM: exactly(finishCut)},
			{Kind: bom.TurnProfile, Name: "edges", Count: &two, DiameterMM: e.DiameterMM, ToDiameterMM: exactly(d.Sub(broken).Sub(broken)), LengthMM: exactly(broken)},
			{Kind: bom.PartOff, Name: "part off", DiameterMM: across}}
	}
	side, around := more("stock-across").Mul(half), e.LengthMM.Likely.Add(e.WidthMM.Likely).Mul(two.Likely)
	contour := func(name string, wide decimal.Decimal) bom.Feature {
		return bom.Feature{Kind: bom.Contour, Name: name, PathMM: exactly(around), DepthMM: e.ThicknessMM, WidthMM: exactly(wide)}
	}
	out := []bom.Feature{contour("outside", side.Sub(finishCut)), contour("outside finished", finishCut),
		{Kind: bom.Chamfer, Name: "edges", Count: &two, PathMM: exactly(around), WidthMM: exactly(edgeBreak)}}
	if way == bom.Cut {
		return out
	}
	face := bom.Feature{Kind: bom.Face, Name: "face", Count: &two, LengthMM: e.LengthMM, WidthMM: e.WidthMM, DepthMM: exactly(more("stock-along").Mul(half).Sub(finishCut))}
	finish := face
	finish.Kind, finish.Name, finish.DepthMM = bom.FinishFace, "face finished", exactly(finishCut)
	return append([]bom.Feature{face, finish}, out...)
}

func exactly(d decimal.Decimal) *bom.Number { n := bom.Exactly(d); return &n }

// secondSide is the clamping in which the end of a turned part is faced that it was parted
// off at.
const secondSide = "second side"

// SecondSide reports whether a part can still be faced on its second side: it is turned, and
// has no clamping for that yet.
func SecondSide(def *bom.Part) bool {
	return def.FirstGuess != nil && def.FirstGuess.Way == bom.Turned && !slices.ContainsFunc(def.Routing, func(o bom.Operation) bool { return o.Name == secondSide })
}

// NotYet says what a turned part usually has and this one has not yet, until all is said to be
// entered.
func NotYet(def *bom.Part) (out []string) {
	if def.FirstGuess == nil || def.FirstGuess.Way != bom.Turned || def.FirstGuess.FeaturesEntered {
		return nil
	}
	if SecondSide(def) {
		out = append(out, secondSide)
	}
	if across(def).IsZero() {
		out = append(out, "hole across")
	}
	return out
}

// Surface is how rough what is finished may be, in µm: all of it, and the face turned first where
// that is said apart; nil where nothing is said.
type Surface struct{ All, Face *bom.Number }

// finishedTo has the finishing passes of a part leave a roughness. A face that was said apart
// stays as it is until it is said again.
func finishedTo(p *bom.Part, to Surface) {
	all := p.Roughnesses()
	for i := range p.Routing {
		o := &p.Routing[i]
		o.Features = slices.Clone(o.Features)
		for j := range o.Features {
			f := &o.Features[j]
			switch face := turnedFirst(p, o, f); {
			case f.RaUM == nil:
			case face && to.Face != nil:
				f.RaUM = to.Face
			case to.All != nil && (!face || f.RaUM.Equal(all[len(all)-1])):
				f.RaUM = to.All
			}
		}
	}
}

func turnedFirst(p *bom.Part, o *bom.Operation, f *bom.Feature) bool {
	return f.Kind == bom.FaceTurn && p.FirstMachined(o)
}

// Lacks says what is not finished yet of what a roughness was said of; empty where all is.
func (to Surface) Lacks(p *bom.Part) string {
	switch {
	case to.All != nil && len(p.Roughnesses()) == 0:
		return "nothing"
	case to.Face != nil && !slices.ContainsFunc(p.Routing, func(o bom.Operation) bool {
		return slices.ContainsFunc(o.Features, func(f bom.Feature) bool { return turnedFirst(p, &o, &f) })
	}):
		return "no face turned first"
	}
	return ""
}

// CutInto is a part with what is cut into it, which takes the place of as much of its
// guess. All says that nothing else is: the outside is then entered too. Second says that a
// turned part is faced on its second side, to how rough what is finished may be; what is entered
// now is else as rough as the roughest that was said.
func CutInto(def *bom.Part, cuts []Cut, all, second bool, to *Surface) (bom.Part, error) {
	out := *def
	out.Routing = append([]bom.Operation(nil), Routed(def).Routing...)
	at := first(&out, bom.Machining)
	if at < 0 {
		return out, nil
	}
	op := &out.Routing[at]
	op.Features = append([]bom.Feature(nil), op.Features...)
	fine := bom.AssumedRa()
	if said := def.Roughnesses(); len(said) > 0 {
		fine = said[len(said)-1]
	}
	var add []bom.Feature
	if all && !def.FirstGuess.FeaturesEntered {
		rows, err := rates.ReferenceGuess()
		if err != nil {
			return out, err
		}
		add = outline(def, rows, &fine)
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
		cutBy(clamping(&out, at, centre, "drilling across"), c.features(def))
	}
	if second {
		cutBy(clamping(&out, at, op.WorkCentre, secondSide), []bom.Feature{{Kind: bom.FaceTurn, Name: "second face", DiameterMM: def.Finished.DiameterMM, RaUM: &fine}})
	}
	if to != nil {
		finishedTo(&out, *to)
	}
	return out, nil
}

func cutBy(op *bom.Operation, features []bom.Feature) {
	for _, f := range features {
		f.ID = freeID(op, f.Name)
		op.Features = append(op.Features, f)
	}
	turn := func(f bom.Feature) int { // faced first and parted off last, whenever it is said
		return map[bom.FeatureKind]int{bom.FaceTurn: -1, bom.PartOff: 1}[f.Kind]
	}
	slices.SortStableFunc(op.Features, func(a, b bom.Feature) int { return turn(a) - turn(b) })
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

// clamping is a further one of a part at a work centre, which it gets after its first
// machining, at a place, where it has none there.
func clamping(p *bom.Part, first int, centre bom.ID, name string) *bom.Operation {
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
	p.Routing = slices.Insert(p.Routing, at, bom.Operation{Number: next, Name: name, Kind: bom.Machining, WorkCentre: centre})
	return &p.Routing[at]
}
