package guess

import (
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/rates"
)

// Question is what a maker can say of a part that is guessed at, so that a guess goes.
type Question struct {
	Field string // of the record, which the answer is entered in
	Asks  string
	Unit  string // of an answer; empty of money of the book
	Per   string // what the answer is for: a piece
	Or    string // a field that the answer may be entered in as well, for OrPer; empty where there is none
	OrPer string
	Hint  string
	Node  string // the figure of the guess whose place the answer takes
}

// Takes reports a field that an answer may be entered in.
func (q Question) Takes(field string) bool {
	return field == q.Field || field == q.Or && field != "" || field == Keep && OfFinish(q.Field)
}

// Minutes reports a question for a time, which a shop that has not timed it knows about.
func (q Question) Minutes() bool { return q.Unit == "min" }

// Typed is an answer as it is usually typed.
func (q Question) Typed(d decimal.Decimal) bom.Number {
	if q.Minutes() {
		return bom.About(d)
	}
	return bom.Exactly(d)
}

// The fields that the questions are of.
const (
	PieceMin = "piece_min"
	SetupMin = "setup_min"
	HandMin  = "hand_min"
	CheckMin = "check_min"
	RestMin  = "rest_min" // beside the features entered

	LeastCharge = "least_charge" // of a finisher, for a lot
	AreaPrice   = "price_per_dm2"
	PiecePrice  = "piece_price"
	Keep        = "keep" // the prices of a finisher are right as they are
	PricePerKg  = "price_per_kg"
)

// Routed gives a part with the operations that its first guess stands for, where no
// routing has been entered.
func Routed(p *bom.Part) *bom.Part {
	if p.FirstGuess == nil || p.Kind != bom.Made || len(p.Routing) > 0 {
		return p
	}
	name := map[bom.Way]string{bom.Turned: "turning", bom.Milled: "milling", bom.Cut: "milling from plate"}[p.FirstGuess.Way]
	out := *p
	out.Routing = []bom.Operation{{Number: 10, Name: name, Kind: bom.Machining, WorkCentre: p.FirstGuess.WorkCentre},
		{Number: 20, Name: "edges and burrs", Kind: bom.Manual, WorkCentre: p.FirstGuess.WorkCentre},
		{Number: 30, Name: "checking", Kind: bom.Inspection, WorkCentre: p.FirstGuess.WorkCentre}}
	return &out
}

// Questions lists what is still guessed of a part and would be said instead.
func Questions(def *bom.Part) []Question {
	if def.FirstGuess == nil || def.Kind != bom.Made {
		return nil
	}
	var out []Question
	p := Routed(def)
	for i := range p.Routing {
		o := &p.Routing[i]
		piece, setup := p.Guessed(o)
		if o.Kind == bom.Machining && !p.FirstMachined(o) {
			out = append(out, further(o, piece, setup)...)
			continue
		}
		ask := func(field, node, asks, per, hint string) { out = append(out, minutes(field, node, asks, per, hint)) }
		switch {
		case piece && o.Kind == bom.Manual && checkedApart(p):
			ask(HandMin, "hand-time", "Edges and burrs by hand", "a piece", "breaking edges and taking burrs off, once it is off the machine")
		case piece && o.Kind == bom.Manual:
			ask(HandMin, "hand-time", "Edges, burrs and checking by hand", "a piece", "all together, of each piece once it is off the machine")
		case piece && o.Kind == bom.Inspection:
			ask(CheckMin, "check-time", "Checking", "a piece", "looking at and measuring, spread over all pieces")
		case piece && len(o.Features) > 0 && p.FirstGuess.FeaturesEntered:
			asks := "Moves, tool changes and loading"
			if o.PositioningMin != nil { // the moves are entered
				asks = "Tool changes and loading"
			}
			ask(RestMin, "handling-time", asks, "a piece", "all that a piece takes on the machine beside the cutting")
		case piece && len(o.Features) > 0:
			ask(RestMin, "machine-time", "The rest on the machine", "a piece", "what else is cut, tool changes and loading")
		case piece:
			ask(PieceMin, "machine-time", "Minutes on the machine", "a piece", "all that is cut into it, tool changes and loading in it")
		}
		if setup {
			ask(SetupMin, "setup-time", "Set-up", "a batch", "jaws or vice, tools, zero, the first good piece")
		}
	}
	if p.Blank == nil && p.FirstGuess.PricePerKg == nil {
		out = append(out, Question{Field: PricePerKg, Asks: "Price of the material", Per: "a kilogram", Hint: "as it is delivered", Node: "price-charged"})
	}
	return out
}

func minutes(field, node, asks, per, hint string) Question {
	return Question{Field: field, Asks: asks, Unit: "min", Per: per, Hint: hint, Node: node}
}

// further lists what is asked of a clamping after the first.
func further(o *bom.Operation, piece, setup bool) (out []Question) {
	number := strconv.Itoa(o.Number)
	ask := func(field, node, asks, per, hint string) {
		out = append(out, minutes(field+"-"+number, "op/"+number+"/"+node, asks+", "+o.Name, per, hint))
	}
	if piece {
		ask(RestMin, "handling-time", "Loading", "a piece", "in and out of vice, jaws or jig, with moves and a change of each tool")
	}
	if setup {
		ask(SetupMin, "setup-time", "Set-up", "a batch", "vice, jaws or jig, tools, the first good piece")
	}
	return out
}

// placeOf is the operation that a question about a routing is of, -1 where it has none.
func placeOf(p *bom.Part, field string) (what string, at int) {
	what, number, of := strings.Cut(field, "-")
	switch {
	case of:
		return what, slices.IndexFunc(p.Routing, func(o bom.Operation) bool { return strconv.Itoa(o.Number) == number })
	case field == HandMin:
		return field, first(p, bom.Manual)
	case field == CheckMin:
		return field, first(p, bom.Inspection)
	}
	return field, first(p, bom.Machining)
}

// Charged lists what is asked of a finish that a part goes to at starter prices, of which
// those that have been answered are no ranges any more.
func Charged(p *rates.Process) (out []Question) {
	ask := func(n *bom.Number, q Question) {
		if n != nil && n.IsRange {
			q.Unit = string(p.Currency)
			out = append(out, q)
		}
	}
	if strings.HasPrefix(p.Source, "starter ") {
		ask(p.Minimum, Question{Field: LeastCharge, Asks: "Least charge of " + p.Name, Per: "a lot", Hint: "what a lot costs however few they are", Node: "process/" + string(p.ID) + "/minimum"})
		ask(p.AreaPrice, Question{Field: AreaPrice, Asks: "Price of " + p.Name, Per: "a dm² of surface", Or: PiecePrice, OrPer: "a piece", Hint: "of a lot above that", Node: "process/" + string(p.ID) + "/area"})
	}
	return out
}

// Recharged is a finish with a question about its prices answered.
func Recharged(p rates.Process, field string, n bom.Number) rates.Process {
	switch field {
	case Keep:
		p.Source = "kept: " + p.Source
		return p
	case LeastCharge:
		p.Minimum = &n
	case PiecePrice:
		p.PiecePrice, p.AreaPrice = &n, nil
	default:
		p.AreaPrice = &n
	}
	if len(Charged(&p)) == 0 {
		p.Source = ""
	}
	return p
}

// OfFinish reports a question about the prices of a finish.
func OfFinish(field string) bool {
	return slices.Contains([]string{LeastCharge, AreaPrice, PiecePrice, Keep}, field)
}

// Answered is a part with a question answered; ok is false where it is not asked.
func Answered(def *bom.Part, field string, n bom.Number) (out bom.Part, ok bool) {
	if !slices.ContainsFunc(Questions(def), func(q Question) bool { return q.Field == field }) {
		return *def, false
	}
	out = *def
	if field == PricePerKg {
		g := *def.FirstGuess
		g.PricePerKg, out.FirstGuess = &n, &g
		return out, true
	}
	out.Routing = slices.Clone(Routed(def).Routing)
	what, at := placeOf(&out, field)
	o := &out.Routing[at]
	within := func(where string, what ...bom.Matter) {
		out.NotCounted = slices.DeleteFunc(slices.Clone(out.NotCounted), func(c bom.CountAnswer) bool { return slices.Contains(what, c.What) })
		for _, m := range what {
			out.NotCounted = append(out.NotCounted, bom.CountAnswer{What: m, Answer: bom.EnteredHere, Where: where})
		}
	}
	switch what {
	case SetupMin:
		o.SetupMin = &n
	case RestMin:
		o.HandlingMin = &n
		where := bom.BesideCutting
		if out.FirstMachined(o) && !def.FirstGuess.FeaturesEntered {
			where = bom.RestOfMachine
		}
		if out.FirstMachined(o) {
			g := *def.FirstGuess
			g.FeaturesEntered, out.FirstGuess = true, &g
		}
		within(where, bom.Loading, bom.ToolChanges, bom.Moves)
	case PieceMin:
		o.PieceMin = &n
		within(bom.MachineMinutes, bom.Loading)
	default:
		if o.PieceMin = &n; !checkedApart(&out) {
			within(bom.HandMinutes, bom.Checking)
		}
	}
	return out, true
}

// Rest is what was said that the rest on the machine takes of a piece, with what else is cut;
// nil where all that is cut is entered, or nothing was said.
func Rest(p *bom.Part) *bom.Number {
	at := first(p, bom.Machining)
	if at < 0 || !slices.ContainsFunc(p.NotCounted, func(c bom.CountAnswer) bool { return c.Where == bom.RestOfMachine }) {
		return nil
	}
	return p.Routing[at].HandlingMin
}

// Yield is what is good of each piece that starts, where so many of 100 are lost.
func Yield(lost bom.Number) bom.Number {
	good := func(lost decimal.Decimal) decimal.Decimal { return decimal.New(100, 0).Sub(lost).Shift(-2) }
	return bom.Number{IsRange: lost.IsRange, Low: good(lost.High), Likely: good(lost.Likely), High: good(lost.Low)}
}

// first is the place of the first operation of a kind, -1 where there is none.
func first(p *bom.Part, kind bom.OperationKind) int {
	return slices.IndexFunc(p.Routing, func(o bom.Operation) bool { return o.Kind == kind })
}
