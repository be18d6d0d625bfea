package guess

import (
	"slices"
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
	Hint  string
	Node  string // the figure of the guess whose place the answer takes
}

// The fields that the questions are of.
const (
	PieceMin = "piece_min"
	SetupMin = "setup_min"
	HandMin  = "hand_min"
	RestMin  = "rest_min" // beside the features entered

	LeastCharge = "least_charge" // of a finisher, for a lot
	AreaPrice   = "price_per_dm2"
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
		{Number: 20, Name: "edges and checking", Kind: bom.Manual, WorkCentre: p.FirstGuess.WorkCentre}}
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
		switch {
		case piece && o.Kind == bom.Manual:
			out = append(out, Question{Field: HandMin, Asks: "Edges and checking by hand", Unit: "min", Per: "a piece", Hint: "each piece, once it is off the machine", Node: "hand-time"})
		case piece && len(o.Features) > 0 && p.FirstGuess.FeaturesEntered:
			out = append(out, Question{Field: RestMin, Asks: "Tool changes and loading", Unit: "min", Per: "a piece", Hint: "all of it that a piece takes on the machine, beside the cutting", Node: "handling-time"})
		case piece && len(o.Features) > 0:
			out = append(out, Question{Field: RestMin, Asks: "The rest on the machine", Unit: "min", Per: "a piece", Hint: "what else is cut, tool changes and loading", Node: "machine-time"})
		case piece:
			out = append(out, Question{Field: PieceMin, Asks: "Minutes on the machine", Unit: "min", Per: "a piece", Hint: "all that is cut into it, tool changes and loading in it", Node: "machine-time"})
		}
		if setup {
			out = append(out, Question{Field: SetupMin, Asks: "Set-up", Unit: "min", Per: "a batch", Hint: "jaws or vice, tools, zero, the first good piece", Node: "setup-time"})
		}
	}
	if p.Blank == nil && p.FirstGuess.PricePerKg == nil {
		out = append(out, Question{Field: PricePerKg, Asks: "Price of the material", Per: "a kilogram", Hint: "as it is delivered", Node: "price-charged"})
	}
	return out
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
		ask(p.AreaPrice, Question{Field: AreaPrice, Asks: "Price of " + p.Name, Per: "a dm² of surface", Hint: "of a lot above that", Node: "process/" + string(p.ID) + "/area"})
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
	default:
		p.AreaPrice = &n
	}
	if len(Charged(&p)) == 0 {
		p.Source = ""
	}
	return p
}

// OfFinish reports a question about the prices of a finish.
func OfFinish(field string) bool { return field == LeastCharge || field == AreaPrice || field == Keep }

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
	kind := bom.Machining
	if field == HandMin {
		kind = bom.Manual
	}
	o := &out.Routing[first(&out, kind)]
	within := func(where string, what ...bom.Matter) {
		out.NotCounted = slices.Clone(out.NotCounted)
		for _, m := range what {
			out.NotCounted = append(out.NotCounted, bom.CountAnswer{What: m, Answer: bom.EnteredHere, Where: where})
		}
	}
	switch field {
	case SetupMin:
		o.SetupMin = &n
	case RestMin:
		g := *def.FirstGuess
		o.HandlingMin, g.FeaturesEntered, out.FirstGuess = &n, true, &g
		within("handling beside the cutting", bom.Loading, bom.ToolChanges)
	case PieceMin:
		o.PieceMin = &n
		within("the minutes on the machine", bom.Loading)
	default:
		o.PieceMin = &n
		within("the minutes by hand", bom.Checking)
	}
	return out, true
}

// Yield is what is good of each piece that starts, where so many of 100 are lost.
func Yield(lost bom.Number) bom.Number {
	return bom.Exactly(decimal.New(100, 0).Sub(lost.Likely).Shift(-2))
}

// first is the place of the first operation of a kind, -1 where there is none.
func first(p *bom.Part, kind bom.OperationKind) int {
	return slices.IndexFunc(p.Routing, func(o bom.Operation) bool { return o.Kind == kind })
}
