package blank

import (
	"fmt"
	"slices"
	"sync"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/making/blank/layout"
	"kerfbook/costing/making/purchase"
)

// Sharer is a part whose blanks are cut from stock that it shares with others.
// Start and good are in whole pieces, mass in g/piece or None.
type Sharer struct {
	Part              bom.ID
	Def               *bom.Blank
	Scope             graph.Scope // of the part
	Start, Good, Mass graph.ID
}

// BuildShared writes the blanks of several parts cut from the same stock: how many
// pieces of it they need together, one order for all, and the share of each part
// by the length or area its blanks take with their cuts. s is the scope of the
// stock. Blanks must be [Dimensioned] and agree in kerf, trim, grip, margin and
// keep_remnant_mm ([bom.Blank.CutUnlike]).
//
// How many pieces are needed is decided for just the quantities started, and again for
// others; below a quantity that is drawn higher, the layout being held, the need follows
// the sum of lengths or areas.
func BuildShared(s graph.Scope, st Stock, list []Sharer) []Charge {
	g := newSharing(s, st, list)
	found, ok := g.find()
	charges := make([]Charge, len(list))
	for i := range list {
		charges[i] = Uncharged()
		charges[i].fit = g.parts[i].fit
	}
	if !ok {
		return charges // a blank that does not fit, which Misfit tells, or a fault
	}
	need := g.need(found)
	at := s.By("S3")
	order := purchase.Build(at, purchase.Need{Quantity: need, MassKg: st.MassKg, LengthM: st.LengthM}, st.Offers)
	kept := g.kept(order, need, found)
	price := purchase.PricePaid(at, kept, order.Cost, order.Bought)
	var before []graph.ID
	for i := range g.parts {
		cost := g.cost(i, order, before)
		before = append(before, cost)
		charges[i].Stock = g.charged(i, cost, kept, price)
		charges[i].Reclaim = g.reclaim(i, order, kept)
	}
	return charges
}

// sharing is the graph side of one shared stock.
type sharing struct {
	s           graph.Scope
	st          Stock
	parts       []sharerPlan
	room, total graph.ID // of a piece; taken by all parts: mm or mm²
	layouts     *layouts
}

// sharerPlan is one part of it.
type sharerPlan struct {
	Sharer
	plan
	fit
	per, alone graph.ID // blanks per piece; pieces if it had them for itself
	cell       graph.ID // what a blank takes with its cut or gap: mm or mm²
	used       graph.ID // by all that are started
	share      graph.ID // of the total
}

func newSharing(s graph.Scope, st Stock, list []Sharer) *sharing {
	g := &sharing{s: s, st: st, total: graph.None}
	var used []graph.ID
	for _, sh := range list {
		p := newSharerPlan(sh, st)
		g.parts = append(g.parts, p)
		used = append(used, p.used)
	}
	at := s.By("S3")
	g.room = g.roomOfPiece()
	taken := at.Add("taken", g.size()+" taken by the blanks of all parts", used...)
	g.total = at.Divide("total", g.size()+" taken by all parts", taken, at.One(graph.Piece))
	for i := range g.parts {
		g.parts[i].share = g.share(i)
	}
	return g
}

func newSharerPlan(sh Sharer, st Stock) sharerPlan {
	s := sh.Scope.Within("blank")
	p := sharerPlan{Sharer: sh, plan: newPlan(s, sh.Def, st)}
	p.per = p.perStock()
	p.stockUse()
	p.fit = p.heavierThanBlank(st, sh.Mass)
	p.fit.count = p.per
	at := s.By("S3")
	p.alone = at.Whole("stock-alone", "pieces of stock if the part had them for itself",
		at.Divide("stock-exact", "pieces of stock before rounding", sh.Start, p.per))
	p.cell = p.taken()
	p.used = at.Multiply("shared-used", "length or area taken by the blanks started", sh.Start, p.cell)
	return p
}

// taken is what one blank takes with its cut or gap. With the gap that its
// neighbour shares: so the shares of all parts add up to one.
func (p plan) taken() graph.ID {
	s := p.s.By("S3")
	switch {
	case p.form.Linear():
		if pitch := s.Known("pitch"); pitch != graph.None {
			return pitch
		}
		return p.blankLength
	case p.blankDiameter != graph.None:
		return circle(s, "cell", "disc with its gap", s.Total("cell-diameter", "diameter and gap", p.blankDiameter, p.kerf))
	default:
		return s.Multiply("cell", "area of a blank with its gap", s.Total("cell-length", "blank length and gap", p.blankLength, p.kerf),
			s.Total("cell-width", "blank width and gap", p.blankWidth, p.kerf))
	}
}

func (g *sharing) size() string {
	if g.st.Def.Form.Linear() {
		return "length"
	}
	return "area"
}

// roomOfPiece is what a piece of stock has for blanks and their cuts, from the
// figures of the first part; they agree.
func (g *sharing) roomOfPiece() graph.ID {
	p := g.parts[0].plan
	if p.form.Linear() {
		// Without kerf to save on the last cut the usable length is no figure of its own.
		for _, key := range []string{"bar-usable", "bar-after-grip", "bar-after-trim"} {
			if id := p.s.Known(key); id != graph.None {
				return id
			}
		}
		return p.length
	}
	u, v := p.usable()
	s := g.s.By("S2")
	return s.Multiply("room", "usable area of a sheet, a gap beyond two edges included",
		s.Total("room-length", "usable length and gap", u, p.kerf), s.Total("room-width", "usable width and gap", v, p.kerf))
}

// share is the part of the total that a part takes; nothing where nothing is
// started.
func (g *sharing) share(i int) graph.ID {
	p := g.parts[i]
	s := p.s.By("S3")
	mine := s.Divide("shared-mine", "length or area taken by this part", p.used, s.One(graph.Piece))
	part := s.Divide("shared-part", "share before it is asked whether anything is started", mine, g.total)
	return s.Choose("shared-share", "share of the stock used together", g.total, graph.Greater, s.Zero(s.Unit(g.total)), part, s.Zero(graph.Plain))
}

// need writes the decision with its checks, and the pieces of stock needed: what
// was decided, or more where the sum of lengths or areas asks for more.
func (g *sharing) need(found shareResult) graph.ID {
	s := g.s.By("S3")
	least := s.Whole("least", "pieces of stock at least, by "+g.size(), s.Divide("least-exact", "pieces of stock by "+g.size()+", before rounding", g.total, g.room))
	pieces := g.decided(s, "pieces", "pieces of stock for all parts together", graph.Plain, found, found.rule,
		func(r shareResult) decimal.Decimal { return decimal.NewFromInt(r.pieces) })
	s.Check("at-least", "the pieces are no fewer than the sum of "+g.size()+"s asks for", pieces, graph.GreaterOrEqual, least)
	alone := make([]graph.ID, len(g.parts))
	for i, p := range g.parts {
		alone[i] = p.alone
		at := p.s.By("S3")
		placed := g.decided(at, "shared-laid", "blanks laid out on shared stock", graph.Piece, found, found.rule,
			func(r shareResult) decimal.Decimal { return decimal.NewFromInt(r.started[i]) })
		at.Check("shared-enough", "all blanks started are laid out", placed, graph.GreaterOrEqual, p.Start)
	}
	s.Check("no-more-than-alone", "sharing takes no more stock than each part for itself", pieces, graph.LessOrEqual, s.Add("alone", "pieces of stock if each part had them for itself", alone...))
	// A draw of more scrap starts more than was laid out, and no search can be made for
	// each draw: the sum of lengths or areas is what it then takes at least.
	return s.Maximum("stock-needed", "pieces of stock needed", pieces, least)
}

// windows are the quantities a layout holds for, then the dimensions.
func (g *sharing) windows(found shareResult) []graph.Window {
	var out []graph.Window
	for i, p := range g.parts {
		// For just this quantity: one blank more can take another bar.
		n := decimal.NewFromInt(found.started[i])
		out = append(out, graph.Window{Input: p.Start, Low: n, High: n})
	}
	seen := map[graph.ID]bool{}
	for _, p := range g.parts {
		for _, w := range p.windows(p.trim, p.grip, p.keep) {
			if !seen[w.Input] {
				seen[w.Input] = true
				out = append(out, w)
			}
		}
	}
	return out
}

// kept is what is left over in pieces of stock: whole ones that are not cut, and
// remnants that are long or large enough.
func (g *sharing) kept(order purchase.Order, need graph.ID, found shareResult) graph.ID {
	s := g.s.By("S3")
	whole := s.Floor("stock-whole", "whole pieces of stock bought", order.Bought, s.One(graph.Plain))
	left := s.Subtract("leftover", "pieces of stock left over", whole, need)
	if g.parts[0].keep == graph.None {
		return left
	}
	unit, whole := graph.Mm, g.st.Length
	if !g.st.Def.Form.Linear() {
		unit, whole = graph.Mm.Power(2), g.parts[0].s.Known("stock-area")
	}
	remnants := g.decided(s, "remnants", g.size()+" of the remnants kept", unit, found, "remnants of the layout that are large enough to keep",
		func(r shareResult) decimal.Decimal { return r.remnants })
	return s.Add("kept", "left over and kept, in pieces of stock", left, s.Divide("remnant-pieces", "remnants kept, in pieces of stock", remnants, whole))
}

// cost is the share of a part in what the stock costs; the last part takes what is
// left, so that the shares add up.
func (g *sharing) cost(i int, order purchase.Order, before []graph.ID) graph.ID {
	s := g.parts[i].s.By("S3")
	if i < len(g.parts)-1 {
		return s.Multiply("shared-cost", "share of the cost of the stock", order.Cost, g.parts[i].share)
	}
	return s.Subtract("shared-cost", "rest of the cost of the stock", order.Cost, s.Total("shared-cost-others", "shares of the other parts", before...))
}

// charged is the cost less the credit for the share of what is kept.
func (g *sharing) charged(i int, cost, kept, price graph.ID) graph.ID {
	p := g.parts[i]
	if p.Def.LeftoverValue == nil {
		return cost
	}
	s := p.s.By("S3")
	value := s.Number("leftover-value", "share of the price credited for leftover", graph.Plain, *p.Def.LeftoverValue, "leftover_value")
	return s.Subtract("charged", "cost charged to the batch", cost, s.Multiply("leftover-credit", "credit for leftover", kept, price, p.share, value))
}

// reclaim is S4 for the share of a part in the stock bought and kept.
func (g *sharing) reclaim(i int, order purchase.Order, kept graph.ID) graph.ID {
	p := g.parts[i]
	if p.Mass == graph.None || g.st.MassKg == graph.None {
		return graph.None
	}
	s := p.s.By("S4")
	pieces := s.Multiply("shared-pieces", "share of the stock bought, in pieces", order.Bought, p.share)
	left := s.Multiply("mass-leftover", "mass of the share of what is kept", kept, p.share, g.st.MassKg)
	return reclaim(s, g.st, p.chips(pieces, g.st, keptMass{left, graph.None}, p.Good, p.Mass))
}

// shareResult is what the solver found.
type shareResult struct {
	pieces   int64
	started  []int64
	rule     string
	remnants decimal.Decimal // mm or mm², those kept
}

// maxStarted bounds the quantities that are laid out together.
const maxStarted = 100_000_000

// find evaluates what is started and lays it out. It is false where a blank does
// not fit or a figure has no value.
func (g *sharing) find() (shareResult, bool) {
	var ids []graph.ID
	for _, p := range g.parts {
		ids = append(ids, p.Start, p.per)
	}
	w, ok := workOut(g.s, ids...)
	if !ok {
		return shareResult{}, false
	}
	g.layouts = &layouts{stock: g.st.Def, lot: make([]SharedBlank, len(g.parts)), found: map[string]shareResult{}}
	starts := make([]decimal.Decimal, len(g.parts))
	for i, p := range g.parts {
		start, okStart := w.figure(2 * i)
		per, okPer := w.figure(2*i + 1)
		if !okStart || !okPer || !per.IsPositive() {
			return shareResult{}, false
		}
		g.layouts.lot[i] = SharedBlank{Part: p.Part, Def: p.Def, PerStock: per.IntPart()}
		starts[i] = start
	}
	return g.layouts.of(starts)
}

// layouts are those of blanks on shared stock, by how many are started of each. Those
// found are kept: several figures come from one search, and a curve asks for each of them
// more than once.
type layouts struct {
	lot   []SharedBlank // how many are started is left open
	stock *bom.Stock
	mu    sync.Mutex
	found map[string]shareResult
}

// mostFound bounds the layouts kept.
const mostFound = 4096

// of lays out what is started of each part; it is false for what cannot be.
func (l *layouts) of(starts []decimal.Decimal) (shareResult, bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	key := fmt.Sprint(starts)
	if out, known := l.found[key]; known {
		return out, true
	}
	var out shareResult
	lot := slices.Clone(l.lot)
	for i, start := range starts {
		if start.IsNegative() || start.GreaterThan(decimal.NewFromInt(maxStarted)) {
			return out, false
		}
		lot[i].Start = start.IntPart()
		out.started = append(out.started, lot[i].Start)
	}
	cut := layOut(lot, l.stock)
	out.pieces, out.rule, out.remnants = cut.pieces(), cut.rule, cut.remnants
	if len(l.found) == mostFound {
		clear(l.found)
	}
	l.found[key] = out
	return out, true
}

// decided writes a figure of the layout, found again where other quantities are started.
// Other sizes ask for a new build: they count blanks too.
func (g *sharing) decided(s graph.Scope, name, label string, unit graph.Unit, found shareResult, rule string, figure func(shareResult) decimal.Decimal) graph.ID {
	valid, n, layouts := g.windows(found), len(g.parts), g.layouts
	return s.Decided(name, label, unit, figure(found), graph.Choice{Solver: "shared stock", Rule: rule, Valid: valid,
		Again: func(inputs []decimal.Decimal) (decimal.Decimal, bool) {
			for i, v := range inputs[n:] {
				if !v.Equal(valid[n+i].Low) {
					return v, false
				}
			}
			again, ok := layouts.of(inputs[:n])
			if !ok {
				return decimal.Zero, false
			}
			return figure(again), true
		}})
}

// The rules a layout of shared stock is found by.
const (
	ruleBars   = "fewest bars found: longest blanks first, fullest bars first, and a bounded search over the last %d bars"
	ruleSheets = "fewest sheets found: full sheets of one part, the rest cut from edge to edge into the piece it fits best"
	ruleAlone  = "each part for itself: the sizes have too many digits for a common layout"
)

func barsRule() string { return fmt.Sprintf(ruleBars, layout.SearchBars) }
