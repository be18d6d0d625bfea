package study

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/bom"
	"kerfbook/costing/ask/simulate"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/proof"
	"kerfbook/costing/making/guess"
	"kerfbook/costing/money"
	"kerfbook/costing/rates"
)

// BandRequest asks between what amounts a piece of a part, made alone, may cost.
type BandRequest struct {
	Part   bom.ID
	Pieces int64
	Day    bom.Date
}

// Band is where the draws of the full cost of a piece lie, and what would narrow it.
type Band struct {
	Version  answer.Version `json:"version,omitempty"`
	Part     bom.ID         `json:"part"`
	Pieces   Pieces         `json:"pieces"`
	Day      bom.Date       `json:"day"`
	Currency money.Code     `json:"currency"`
	Draws    int            `json:"draws"`
	Seed     uint64         `json:"seed"`
	Width
	// Likely is the cost at the likely value of every range, and AtMostLikely the share of
	// the draws that do not exceed it: sums of skewed ranges lie higher.
	Likely       answer.Figure  `json:"likely"`
	AtMostLikely Statistic      `json:"at_most_likely"`
	Questions    []BandQuestion `json:"questions"` // what would narrow it most first
	// Left names what moves the cost most at its likely values, asked or not.
	Left     []string         `json:"left" doc:"What moves the likely cost most from its tenth to its nine tenths, the most first"`
	Hour     *BandHour        `json:"hour,omitempty"`
	Starters []StarterRow     `json:"starters" doc:"Rows that ship with the program, or were taken from there, which the cost rests on"`
	Findings []answer.Finding `json:"findings"`
}

// BandHour is one hour of somebody and the machine, where it is one number.
type BandHour struct {
	Rate        decimal.Decimal `json:"rate" doc:"What it is likely to be, in the currency of the book"`
	WorkCentre  bom.ID          `json:"work_centre" doc:"Whose machine_rate_per_h it is"`
	TakenOverBy []bom.ID        `json:"taken_over_by,omitempty" doc:"Further work centres of the part whose labour_rate_per_h it is: change them together, in one call of POST /records"`
}

// StarterRow is a figure that a cost rests on and that nobody of the shop has said.
type StarterRow struct {
	Name   string `json:"name"`
	Source string `json:"source" doc:"Where it comes from: a publication, common practice, or from memory"`
	Path   string `json:"path,omitempty" doc:"Place in the book of a record that was taken over; absent of a row of the program"`
}

// BandQuestion is what somebody can say so that the band narrows.
type BandQuestion struct {
	Field    string `json:"field"`
	Asks     string `json:"asks"`
	Hint     string `json:"hint"`
	Unit     string `json:"unit"`
	Or       string `json:"or,omitempty"`
	OrUnit   string `json:"or_unit,omitempty"`
	Answered Width  `json:"answered"` // the band, were the guess's middle the answer
	Guessed  Width  `json:"guessed"`  // of the guess itself
}

// bandDraws are enough for ends that are told to two digits.
const bandDraws = 10_000

// DrawBand draws the full cost of a piece, as it is and with each question answered by
// what half of the draws of its guess do not exceed, of minutes by about that.
func DrawBand(ctx context.Context, o change.Origin, req BandRequest) (Band, error) {
	def, at := o.Book.Part(req.Part)
	if def == nil {
		return Band{}, answer.Errorf(answer.NotFound, "the book has no part %s", bom.Shorten(string(req.Part)))
	}
	questions := change.Questions(o.Book, def)
	now, err := drawBand(ctx, o.Origin, req, questions)
	if err == nil {
		err = now.explain(ctx, def.Routing)
	}
	if err != nil {
		return Band{}, err
	}
	out := Band{Version: o.Version, Part: req.Part, Pieces: Pieces(req.Pieces), Day: req.Day, Currency: o.Book.Currency,
		Draws: bandDraws, Seed: DefaultSeed, Width: now.cost, Likely: now.likely, AtMostLikely: now.atMost, Questions: []BandQuestion{}, Left: now.left, Starters: now.starters, Findings: now.findings}
	if hour, ok := change.HourOf(o.Book, def); ok {
		out.Hour = &BandHour{Rate: hour.Rate.Likely, WorkCentre: hour.Of.ID}
		for _, w := range hour.Shared {
			out.Hour.TakenOverBy = append(out.Hour.TakenOverBy, w.ID)
		}
	}
	for i, q := range questions {
		middle, err := decimal.NewFromString(now.guesses[i].Middle.Value)
		if err != nil {
			continue // nothing is guessed there, for want of something else
		}
		then, err := drawBand(ctx, answer.Of(change.AnsweredIn(o.Book, at, change.GuessAnswer{Field: q.Field, Value: q.Typed(middle)})), req, nil)
		if err != nil {
			return Band{}, err
		}
		unit := cmp.Or(q.Unit, string(o.Book.Currency)) + " "
		asked := BandQuestion{Field: q.Field, Asks: q.Asks, Hint: q.Hint, Unit: unit + q.Per, Or: q.Or, Answered: then.cost, Guessed: now.guesses[i]}
		if q.Or != "" {
			asked.OrUnit = unit + q.OrPer
		}
		out.Questions = append(out.Questions, asked)
	}
	slices.SortStableFunc(out.Questions, func(a, b BandQuestion) int {
		return cmp.Compare(a.Answered.Apart(), b.Answered.Apart())
	})
	return out, nil
}

// bandDrawn is what a batch of the part came to.
type bandDrawn struct {
	cost     Width
	likely   answer.Figure
	atMost   Statistic
	guesses  []Width // of the questions, in their order
	left     []string
	starters []StarterRow

	of       *answer.Evaluation
	full     graph.ID
	hold     map[graph.ID]decimal.Decimal
	findings []answer.Finding
}

func drawBand(ctx context.Context, o answer.Origin, req BandRequest, questions []guess.Question) (out bandDrawn, err error) {
	mix := []estimate.MixLine{{Part: req.Part, Quantity: bom.Whole(req.Pieces)}}
	e, err := o.Evaluate(ctx, mix, req.Day)
	if err != nil {
		return out, err
	}
	full := e.Estimate.Variants[0].Full
	r := answer.NewReader(e.Estimate.Graph, e.Values)
	if out.likely = r.Figure(full); out.likely.Value == "" && out.likely.AtLeast == "" { // withheld: there is nothing to draw
		if err := answer.Complete(e.Estimate.Graph, e.Values, full); err != nil {
			return out, err
		}
	}
	outputs := []graph.ID{full}
	for _, q := range questions {
		outputs = append(outputs, guessNode(e.Estimate.Graph, req.Part, q))
	}
	hold := e.Quantities(mix)
	maps.Copy(hold, answer.Drawn(e.Estimate.Graph, e.Values))
	asked := slices.DeleteFunc(slices.Clone(outputs), func(id graph.ID) bool { return id == graph.None })
	drawn, err := simulate.Run(ctx, e.Evaluator(), simulate.Request{Outputs: asked, Draws: bandDraws, Seed: DefaultSeed, Hold: hold}, func(int, int) {})
	if err != nil {
		return out, answer.Uncomputable(err)
	}
	out.of, out.full, out.hold = e, full, hold
	out.findings = r.Findings([]graph.ID{full})
	next := 0
	for i, id := range outputs {
		width := Width{}
		if id != graph.None {
			width = widthOf(&drawn.Outputs[next])
			next++
		}
		if i == 0 {
			out.cost, out.atMost = width, atMost(&drawn.Outputs[0], drawn.Outputs[0].Likely)
		} else {
			out.guesses = append(out.guesses, width)
		}
	}
	return out, nil
}

// explain says what moves the cost most, and which rows it rests on that are not the
// shop's own.
func (b *bandDrawn) explain(ctx context.Context, routing []bom.Operation) error {
	g := b.of.Estimate.Graph
	bars, err := simulate.Tornado(ctx, b.of.Evaluator(), b.full, simulate.Request{Hold: b.hold})
	if err != nil {
		return answer.Uncomputable(err)
	}
	rests := proof.Rests(g, b.of.Values, b.full)
	b.left = []string{}
	for _, bar := range bars {
		switch n := g.Node(bar.Input); {
		case !bar.Swing.IsPositive():
			rests[bar.Input] = false // its rate is 0
		default:
			if moves := n.Label + ofOperation(routing, n.Key); len(b.left) < mostLeft && !slices.Contains(b.left, moves) { // of several tools once
				b.left = append(b.left, moves)
			}
		}
	}
	b.starters = startersOf(g, rests)
	return nil
}

// ofOperation names the operation that a figure of a routing is entered in, of which others have
// figures of the same name.
func ofOperation(routing []bom.Operation, key string) string {
	for _, o := range routing {
		if strings.Contains(key, fmt.Sprintf("/op/%d/", o.Number)) {
			return ", " + o.Name
		}
	}
	return ""
}

// mostLeft is how many of what moves a cost are named.
const mostLeft = 3

// startersOf lists the rows of the program, and the records taken from there, that a
// figure rests on.
func startersOf(g *graph.Graph, rests []bool) []StarterRow {
	out, seen := []StarterRow{}, map[string]bool{}
	for id := range graph.ID(g.Len()) {
		n := g.Node(id)
		if !rests[id] {
			continue
		}
		row := StarterRow{Name: n.Label, Source: n.Source.Cite}
		switch taken, rate := rates.Taken(n.Source.Cite), strings.Contains(n.Source.Cite, "a starter rate"); {
		case rate:
			row.Path = n.Source.Path
		case taken:
			row.Name, row.Path = n.Source.Where, n.Source.Path
		case !strings.HasPrefix(n.Key, "starter/"):
			continue
		}
		if !seen[row.Name+row.Source] {
			seen[row.Name+row.Source] = true
			out = append(out, row)
		}
	}
	return out
}

// guessNode finds the figure whose place an answer takes; None where there is none. A
// price that needs no exchange is that of the starter row.
func guessNode(g *graph.Graph, part bom.ID, q guess.Question) graph.ID {
	for _, key := range []string{"part/" + string(part) + "/guess/" + q.Node, q.Node} {
		if id, ok := g.Find(key); ok {
			return id
		}
	}
	if q.Field == guess.PricePerKg {
		for id := range graph.ID(g.Len()) {
			if key := g.Node(id).Key; strings.HasPrefix(key, "starter/material/") && strings.HasSuffix(key, "/price") {
				return id
			}
		}
	}
	return graph.None
}
