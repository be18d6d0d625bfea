package change

import (
	"cmp"
	"context"
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
)

// Moves are the figures of a trim or a part that changes move: money, shares, minutes and
// landed prices, of each the largest first.
type Moves struct {
	Trim    string `json:"trim,omitempty"`
	Part    string `json:"part,omitempty"`
	Name    string `json:"name"`
	Figures []Move `json:"figures"`
	Same    []Move `json:"same"` // that do not move
}

// Find gives a figure by its label, whether it moves or not.
func (m Moves) Find(label string) (found Move) {
	for _, f := range slices.Concat(m.Figures, m.Same) {
		if f.Label == label {
			found = f
		}
	}
	return found
}

// Move is a figure that moves, with why.
type Move struct {
	Label       string        `json:"label"`
	Destination string        `json:"destination,omitempty"` // of a landed price
	Before      answer.Figure `json:"before"`
	After       answer.Figure `json:"after"`
	Difference  answer.Figure `json:"difference"`
	Because     []Cause       `json:"because"`
}

// Cause is why a figure moves: a change and by how much that alone moves it, the largest
// first; or, where there is one change only, the figure through which it moves most.
type Cause struct {
	Change     string        `json:"change,omitempty"` // its key
	Label      string        `json:"label"`
	Of         string        `json:"of,omitempty"`
	Difference answer.Figure `json:"difference"`
}

// mostAlone is how many changes are also made each by itself, to say which moves what.
const mostAlone = 20

// headline is a figure with what it is called beside others of a trim or part.
type headline struct {
	label       string
	of          answer.Figure
	destination string
}

// headlines are the figures of a trim that a person wants to know first, and what prices
// rest on in the channels named.
func headlines(v answer.VariantPrices, drawn map[bom.ID]bool) []headline {
	out := []headline{{label: "material", of: v.Material}, {label: "making", of: v.Making}, {label: "cost of production", of: v.Production}, {label: "full cost", of: v.Full}}
	for _, ch := range v.Channels {
		name := ", " + string(ch.Channel)
		if drawn[ch.Channel] {
			cost := v.Full
			if ch.RestsOn.Drawn() {
				cost = ch.RestsOnCost
			}
			out = append(out, headline{label: answer.RestsOnLabel + name, of: cost})
		}
		out = append(out, headline{label: "price asked" + name, of: ch.Shelf}, headline{label: "profit" + name, of: ch.Profit}, headline{label: "margin" + name, of: ch.Margin})
	}
	for _, l := range v.Landed {
		out = append(out, headline{"landed, all paid, " + l.Destination, l.AllPaid.Total, l.Destination}, headline{"margin, all paid, " + l.Destination, l.AllPaid.Margin, l.Destination})
	}
	return out
}

// Drawn are the channels in which draws are behind the price of a trim before or after.
func Drawn(before, after answer.VariantPrices) map[bom.ID]bool {
	out := map[bom.ID]bool{}
	for _, ch := range slices.Concat(before.Channels, after.Channels) {
		out[ch.Channel] = out[ch.Channel] || ch.RestsOn.Drawn()
	}
	return out
}

// ofPart are the minutes of the operations of a part, and behind them what a piece costs.
func ofPart(def *bom.Part, sheet *answer.Sheet) (out []headline) {
	key := "part/" + string(def.Number) + "/"
	for _, op := range def.Routing {
		number := strconv.Itoa(op.Number)
		out = append(out, headline{label: number + " " + op.Name, of: sheet.Figure(key + "op/" + number + "/each/minutes")})
	}
	return append(out, headline{label: "material", of: sheet.Figure(key + "each/material")}, headline{label: "making", of: sheet.Figure(key + "each/making")},
		headline{label: "cost of production", of: sheet.Figure(key + "each/production")})
}

// trial are the figures of a batch with one change alone; none where that cannot be made
// by itself.
type trial struct {
	Cause
	sheet *answer.Sheet
}

// comparing holds a batch after changes against the one before.
type comparing struct {
	before, after *answer.Evaluation
	was, is       *answer.Sheet
	alone         []trial
}

// compared parts figures into those that move and those that do not.
func (c *comparing) compared(out Moves, was, is []headline) (Moves, error) {
	var before, after []answer.Figure
	for i := range min(len(was), len(is)) {
		before, after = append(before, was[i].of), append(after, is[i].of)
	}
	rows, err := answer.Compare(before, after)
	if err != nil {
		return out, err
	}
	out.Figures, out.Same = []Move{}, []Move{}
	for i, r := range rows {
		m := Move{Label: is[i].label, Destination: is[i].destination, Before: r.Before, After: r.After, Difference: r.Difference, Because: []Cause{}}
		switch {
		case r.Before.Key == "" && r.After.Key == "":
		case r.Before.Value == r.After.Value && r.Before.AtLeast == r.After.AtLeast:
			out.Same = append(out.Same, m)
		default:
			found, err := c.made(m)
			if len(c.alone) == 0 {
				found, err = c.through(m.After.Key)
			}
			if err != nil {
				return out, err
			}
			m.Because = append(m.Because, found...)
			out.Figures = append(out.Figures, m)
		}
	}
	slices.SortStableFunc(out.Figures, func(a, b Move) int {
		if a.Destination != "" || b.Destination != "" {
			return cmp.Compare(min(1, len(a.Destination)), min(1, len(b.Destination))) // amounts in several currencies
		}
		return cmp.Or(cmp.Compare(a.rank(), b.rank()), larger(a.Difference, b.Difference))
	})
	return out, nil
}

// rank puts money before shares, and shares before minutes.
func (m Move) rank() int {
	return slices.Index([]string{"", "min/piece"}, cmp.Or(m.After.Unit, m.Before.Unit))
}

// larger puts the larger difference first.
func larger(a, b answer.Figure) int {
	size := func(f answer.Figure) decimal.Decimal {
		d, _ := bom.ParseDecimal(strings.TrimPrefix(f.Value, "-")) // nothing where there is no difference
		return d
	}
	return size(b).Cmp(size(a))
}

// made lists the changes that move a figure when they are made alone.
func (c *comparing) made(m Move) (out []Cause, err error) {
	for _, t := range c.alone {
		if t.sheet == nil {
			continue
		}
		then := t.sheet.Figure(cmp.Or(m.After.Key, m.Before.Key))
		found, err := answer.Compare([]answer.Figure{m.Before}, []answer.Figure{then})
		if err != nil {
			return nil, err
		}
		if then.Value != m.Before.Value {
			t.Difference = found[0].Difference
			out = append(out, t.Cause)
		}
	}
	slices.SortStableFunc(out, func(a, b Cause) int { return larger(a.Difference, b.Difference) })
	return out, nil
}

// through finds the figure through which another moves most: of its own unit, as far
// down as there is one, or else one that it is made of.
func (c *comparing) through(key string) (out []Cause, err error) {
	g := c.after.Estimate.Graph
	id, ok := g.Find(key)
	for ok {
		unit := g.Node(id).Unit.String()
		var was, is, wasOther, isOther []answer.Figure
		for _, a := range g.Args(id) {
			now := c.is.Figure(g.Key(a))
			before := c.was.Figure(now.Key)
			switch {
			case before.Key == "" || before.Value == now.Value:
			case now.Unit == unit:
				was, is = append(was, before), append(is, now)
			default:
				wasOther, isOther = append(wasOther, before), append(isOther, now)
			}
		}
		if len(is) == 0 && out == nil && len(isOther) > 0 {
			was, is = wasOther[:1], isOther[:1]
		}
		rows, err := answer.Compare(was, is)
		if err != nil || len(rows) == 0 {
			return out, err
		}
		slices.SortStableFunc(rows, func(a, b answer.Comparison) int { return larger(a.Difference, b.Difference) })
		out = []Cause{{Label: rows[0].After.Label, Of: rows[0].After.Of, Difference: rows[0].Difference}}
		if id, ok = g.Find(rows[0].After.Key); rows[0].After.Unit != unit {
			break
		}
	}
	return out, nil
}

// moves compares every trim of a batch with its minutes, and the parts of a book that are
// changed or take other minutes.
func (c *comparing) moves(b *book.Book, edits []edit) ([]Moves, error) {
	out := []Moves{}
	put := func(m Moves, was, is []headline) error {
		m, err := c.compared(m, was, is)
		if m.Trim != "" || len(m.Figures) > 0 {
			out = append(out, m)
		}
		return err
	}
	after := c.after.Figures().Variants
	for i, v := range c.before.Figures().Variants {
		if i >= len(after) {
			break
		}
		drawn := Drawn(v, after[i])
		was, is := headlines(v, drawn), headlines(after[i], drawn)
		if i == 0 {
			then, err := c.before.Minutes()
			now, also := c.after.Minutes()
			if err := cmp.Or(err, also); err != nil {
				return nil, err
			}
			was, is = slices.Insert(was, 4, headline{label: MinutesLabel, of: then}), slices.Insert(is, 4, headline{label: MinutesLabel, of: now})
		}
		if err := put(Moves{Trim: v.Trim, Name: v.Name}, was, is); err != nil {
			return nil, err
		}
	}
	for i := range b.Parts {
		def := &b.Parts[i]
		was, is := ofPart(def, c.was), ofPart(def, c.is)
		changed := slices.ContainsFunc(edits, func(e edit) bool { return e.kind.Name == "parts" && e.id == string(def.Number) })
		for i := range def.Routing {
			changed = changed || was[i].of.Value != is[i].of.Value
		}
		if changed {
			if err := put(Moves{Part: string(def.Number), Name: def.Name}, was, is); err != nil {
				return nil, err
			}
		}
	}
	return out, nil
}

// MinutesLabel is what the minutes of a batch are called, which stand with its first trim.
const MinutesLabel = "minutes of all operations, over the pieces of the batch"

// trials makes every change by itself, where there are several.
func (s *Shelf) trials(ctx context.Context, before *answer.Evaluation, mix []estimate.MixLine, edits []edit) ([]trial, error) {
	if len(edits) < 2 {
		return nil, nil
	}
	var out []trial
	for _, e := range edits[:min(len(edits), mostAlone)] {
		one := trial{Cause: Cause{Change: e.Key, Label: e.node.Label, Of: e.node.Of}}
		drafts, err := s.drafts([]edit{e})
		if err == nil {
			var after *answer.Evaluation
			if after, _, err = changed(ctx, before, s, mix, []edit{e}, drafts); err == nil {
				one.sheet = after.Sheet()
			}
		}
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		out = append(out, one)
	}
	return out, nil
}
