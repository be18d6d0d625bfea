package estimate

import (
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/making/purchase"
	"kerfbook/costing/making/routing"
	"kerfbook/costing/rates"
)

// up writes costs: every part after its children, then the variants.
func (a *assembly) up(est *Estimate) {
	for _, p := range slices.Backward(a.order) {
		a.costPart(p)
	}
	for _, p := range a.order {
		if p.path != "" {
			est.Parts = append(est.Parts, Part{Def: p.def, Need: p.need, Costs: p.costs})
		}
	}
	for _, v := range a.variants {
		est.Variants = append(est.Variants, a.costVariant(v))
	}
	est.Totals = a.totals(est.Variants)
	a.loads()
}

// costPart writes the cost of one needed piece of a part.
func (a *assembly) costPart(p *pool) {
	p.kinds = noCosts()
	switch p.def.Kind {
	case bom.Bought:
		a.buy(p)
	case bom.Made:
		a.cut(p)
	}
	a.operations(&p.made)
	over := p.spread()
	p.costs = a.costs(&p.made, over, ownPerPiece{SpecialCost: func() graph.ID { return a.special(p.scope, p.def.Special, p.unit, a.programs(p)...) }})
	a.operationsPerPiece(&p.made, over)
	a.rejects(&p.made)
}

// spread is the pieces that the costs of a batch are spread over. Where a part is left
// out, as by a quantity of 0, it has none and takes no part in what is made of it.
func (p *pool) spread() graph.ID {
	s := p.scope.By("C1")
	return s.Choose("spread", p.counted()+" that the costs of the batch are spread over", p.unrounded, graph.Greater, s.Zero(p.unit), p.unrounded, s.One(p.unit))
}

// costsByKind has None where a kind does not occur.
type costsByKind [kindCount]graph.ID

func noCosts() (none costsByKind) {
	for k := range none {
		none[k] = graph.None
	}
	return none
}

// overheads are the figures of the rate card; None where it gives none.
type overheads struct {
	material, bought, outside graph.ID
	making                    graph.ID
	administration, selling   graph.ID
}

func (s *shop) newOverheads() overheads {
	share := func(name, label string, n *bom.Number) graph.ID {
		switch field := strings.ReplaceAll(name, "-", "_"); {
		case n != nil:
			return s.cards.Number(name, label, graph.Plain, *n, field)
		case s.card.HasOverheads():
			return s.cards.Within(field).Missing(name, label, graph.Plain, label+s.ofCard())
		default:
			return graph.None
		}
	}
	return overheads{
		material:       share("material-overhead", "material overhead", s.card.MaterialOverhead),
		bought:         share("bought-overhead", "overhead on bought parts", s.card.BoughtOverhead),
		outside:        share("outside-overhead", "overhead on outside processes", s.card.OutsideOverhead),
		administration: share("administration", "administration", s.card.Administration),
		selling:        share("selling", "selling", s.card.Selling),
		making:         s.makingRate(),
	}
}

// makingRate is the rate of manufacturing overhead, entered or from a budget.
func (s *shop) makingRate() graph.ID {
	o := s.card.Making
	const name, label = "making-overhead", "manufacturing overhead"
	switch {
	case o == nil && s.card.HasOverheads():
		return s.cards.Within("making_overhead").Missing(name, label, graph.Plain, label+s.ofCard())
	case o == nil:
		return graph.None
	}
	base := graph.Hour
	if o.Base == rates.LabourCost {
		base = s.money
	}
	switch {
	case o.Rate != nil:
		return s.cards.Number(name, label, s.money.Per(base), *o.Rate, "making_overhead.rate")
	case o.Budget == nil && o.BaseBudget == nil:
		return s.cards.Within("making_overhead.rate").Missing(name, label, s.money.Per(base), label+s.ofCard())
	}
	budget := s.cards.Number("making-budget", "budgeted manufacturing overhead", s.money, bom.Needed(o.Budget), "making_overhead.budget")
	spread := s.cards.Number("making-base", "budgeted base of manufacturing overhead", base, bom.Needed(o.BaseBudget), "making_overhead.base_budget")
	return s.cards.By("C2").Divide(name, label, budget, spread)
}

func (s *shop) ofCard() string { return " of rate card " + string(s.card.ID) }

// buy charges a bought part at the best of its offers, with the overhead on
// bought parts.
func (a *assembly) buy(p *pool) {
	if offers := a.offers(p.def.Number, p.unit); len(offers) > 0 && p.path != "" {
		need := purchase.Need{Quantity: p.need, MassKg: p.massKg(), LengthM: graph.None}
		p.kinds[BoughtCost] = purchase.Part(p.scope, purchase.Build(p.scope, need, offers), p.need)
	} else {
		what := missing{"offer for " + string(p.def.Number), p.path}
		if p.path == "" {
			what = missing{"part " + string(p.def.Number), "parts"}
		}
		each := p.scope.By("B1").From(graph.Source{Path: what.path}).Missing("offer", "price of a "+p.each(), a.money.Per(p.unit), what.what)
		p.kinds[BoughtCost] = p.scope.By("B1").Multiply("bought-cost", "cost of what is bought", p.need, each)
	}
	p.kinds[MaterialOverhead] = p.scope.By("C1").Multiply("bought-overhead", "overhead on bought parts", p.kinds[BoughtCost], a.overheads.bought)
}

// massKg is what one unit of a bought part weighs, for offers by the kilogram; None
// where it is not known.
func (p *pool) massKg() graph.ID {
	s := p.scope.By("B1")
	switch {
	case p.unit == graph.Gram:
		return s.Fixed("kg-per-g", "kilograms in a gram", graph.Kilogram.Per(graph.Gram), decimal.New(1, -3), "definition")
	case p.def.Kind != bom.Bought || p.def.MassG == nil:
		return graph.None
	}
	mass := s.Number("mass", "mass of a "+p.each(), graph.Gram.Per(p.unit), *p.def.MassG, "mass_g")
	return s.Convert("mass-kg", "mass of a "+p.each()+" in kg", mass, graph.Gram, graph.Kilogram)
}

// cut charges a made part with its stock, the overhead on it and the reclaim of
// its chips.
func (a *assembly) cut(p *pool) {
	if p.def.Blank == nil && p.def.FirstGuess != nil {
		a.guessStock(p)
		return
	}
	if p.def.Blank == nil {
		a.uncut(p, missing{"blank of " + p.def.Name, p.path + ".blank"})
		return
	}
	st, lacks := a.stock(p.def.Blank.Stock)
	if lacks == (missing{}) {
		lacks = p.undimensioned(st)
	}
	if lacks != (missing{}) {
		a.uncut(p, lacks)
		return
	}
	charge := a.blanks(p, st, massOf(p, st))
	p.kinds[StockCost] = charge.Stock
	p.kinds[MaterialOverhead] = p.scope.By("C1").Multiply("material-overhead", "material overhead", charge.Stock, a.overheads.material)
	p.kinds[ReclaimCredit] = p.scope.By("S4").Subtract("reclaim-credit", "reclaim of chips, as a credit", p.scope.Zero(a.money), charge.Reclaim)
}

// uncut charges a part with stock that cannot be counted or priced. What chips
// would bring back is as unknown.
func (a *assembly) uncut(p *pool, what missing) {
	s := p.scope.From(graph.Source{Path: what.path})
	p.kinds[StockCost] = s.Missing("stock-charged", "stock of the batch", a.money, what.what)
	p.kinds[MaterialOverhead] = p.scope.By("C1").Multiply("material-overhead", "material overhead", p.kinds[StockCost], a.overheads.material)
	if a.reclaims() {
		back := s.Missing("reclaim", "reclaim of chips", a.money, what.what)
		p.kinds[ReclaimCredit] = p.scope.By("S4").Subtract("reclaim-credit", "reclaim of chips, as a credit", p.scope.Zero(a.money), back)
	}
}

// reclaims reports that the shop sells chips of some material.
func (a *assembly) reclaims() bool {
	return slices.ContainsFunc(a.book.Materials, func(m rates.Material) bool { return m.ReclaimPerKg != nil || m.ReclaimMetal != "" })
}

// operations adds the cost of each operation of a routing to the batch.
func (a *assembly) operations(m *made) {
	var byKind [kindCount][]graph.ID
	add := func(k Kind, id graph.ID) {
		if id != graph.None {
			byKind[k] = append(byKind[k], id)
		}
	}
	m.material = slices.Clone(m.kinds[:])
	for i := range m.flow.Steps {
		own := a.operation(m, i)
		m.work = append(m.work, own)
		for k, id := range own {
			add(Kind(k), id)
		}
	}
	for k, ids := range byKind {
		name := "operations-" + Kind(k).Key()
		ids = append([]graph.ID{m.kinds[k]}, ids...)
		m.kinds[k] = m.scope.By("C2").Total(name, Kind(k).Label()+" of the batch", ids...)
	}
}

// operation is the cost of one operation of a batch by kind, in money.
func (a *assembly) operation(m *made, at int) costsByKind {
	st := m.flow.Steps[at]
	s := st.Scope.By("C2")
	if st.Operation.Kind != bom.Outside {
		return a.inShop(s, st)
	}
	own := noCosts()
	own[OutsideCost] = a.outside(m, at)
	own[MaterialOverhead] = s.Multiply("outside-overhead", "overhead on the outside process", own[OutsideCost], a.overheads.outside)
	return own
}

// inShop is the cost of one operation of a batch in the shop, in money.
func (a *assembly) inShop(s graph.Scope, st routing.Step) costsByKind {
	c := a.centre(st.Operation.WorkCentre)
	if st.Operation.WorkCentre == "" {
		nowhere := s.Within("work_centre")
		rate := nowhere.Missing("hour-rate", "rate of an hour", a.money.Per(graph.Hour), noCentre(s))
		c.machineRate, c.labourRate = rate, rate
	}
	own := noCosts()
	machineH := s.Convert("machine-hours", "machine hours", st.Occupied, graph.Minute, graph.Hour)
	own[MachineCost] = s.Multiply("machine-cost", "cost of machine time", machineH, c.machineRate)
	labourH := s.Convert("labour-hours", "attended hours", st.Attended, graph.Minute, graph.Hour)
	own[LabourCost] = s.Multiply("labour-cost", "cost of attended labour", labourH, c.labourRate)
	if len(st.Operation.Features) > 0 {
		own[ToolCost] = s.Multiply("tools-cost", "cost of tools", st.UnitsIn, st.Cut.ToolsPerPiece)
	} else if st.Operation.ToolsPerPiece != nil {
		each := s.Number("tools-per-piece", "tools per piece", a.money.Per(graph.Piece), *st.Operation.ToolsPerPiece, "tools_per_piece")
		own[ToolCost] = s.Multiply("tools-cost", "cost of tools", st.UnitsIn, each)
	}
	own[ConsumablesCost] = a.consumables(s, c, st, machineH)
	if o := a.card.Making; o == nil {
		own[MakingOverhead] = s.Multiply("making-overhead", "manufacturing overhead", own[LabourCost], a.overheads.making)
	} else {
		base, known := map[rates.OverheadBase]graph.ID{rates.LabourCost: own[LabourCost], rates.LabourHours: labourH, rates.MachineHours: machineH}[o.Base]
		if !known {
			a.fail("", "manufacturing overhead is charged on %q, which is no base; there are %s", o.Base, strings.Join(o.Base.Values(), ", "))
			return own
		}
		own[MakingOverhead] = s.Multiply("making-overhead", "manufacturing overhead", base, a.overheads.making)
	}
	return own
}

// consumables is what an operation uses up beside tools, by the occupied hour and by the
// piece that comes in.
func (a *assembly) consumables(s graph.Scope, c centre, st routing.Step, machineH graph.ID) graph.ID {
	byHour := graph.None
	if machineH != graph.None && c.def.ConsumablesPerH != nil {
		rate := c.scope.Shared("consumables-rate", "rate of consumables", a.money.Per(graph.Hour), *c.def.ConsumablesPerH, "consumables_per_h")
		byHour = s.Multiply("consumables-time", "consumables by the hour", machineH, rate)
	}
	each := c.scope.Optional("consumables-each", "consumables of a piece", a.money.Per(graph.Piece), c.def.ConsumablesPerPiece, "consumables_per_piece")
	byPiece := s.Multiply("consumables-pieces", "consumables by the piece", st.UnitsIn, each)
	return s.Sum("consumables-cost", "shop consumables", byHour, byPiece)
}

// ownPerPiece writes the costs that a part or variant has by piece, and not by batch.
type ownPerPiece map[Kind]func() graph.ID

// costs writes the cost of one piece by kind, children included, and C1 to C4.
func (a *assembly) costs(m *made, pieces graph.ID, own ownPerPiece) Costs {
	var c Costs
	s := m.scope.In("each")
	for _, k := range Kinds() {
		c.Kinds[k] = a.each(s, m, k, pieces)
		if kindEntries[k].perPiece {
			charged := graph.None
			if write := own[k]; write != nil {
				charged = write()
			}
			c.Kinds[k] = s.By(k.formula()).Sum(k.Key(), k.Label()+" per "+m.part.each(), c.Kinds[k], charged)
		}
	}
	c.Material = s.By("C1").Sum("material", "material", c.of(MaterialCosts)...)
	c.Making = s.By("C2").Sum("making", "making", c.of(MakingCosts)...)
	c.Special = s.By("C3").Total("special-all", "special direct cost", c.of(SpecialCosts)...)
	c.Production = s.By("C4").Sum("production", "cost of production", c.Material, c.Making, c.Special)
	return c
}

// of lists the kinds of a group.
func (c Costs) of(g Group) []graph.ID {
	var out []graph.ID
	for _, k := range g.Kinds() {
		out = append(out, c.Kinds[k])
	}
	return out
}

// each is the cost of one kind by piece: what the batch itself and its children
// cost, divided by the pieces.
func (a *assembly) each(s graph.Scope, m *made, k Kind, pieces graph.ID) graph.ID {
	var pairs []graph.ID
	for _, u := range m.uses {
		if id := u.part.costs.Kinds[k]; id != graph.None {
			pairs = append(pairs, u.need, id)
		}
	}
	batch, name := m.scope.In("batch").By(k.formula()), k.Key()
	children := graph.None
	if len(pairs) > 0 {
		children = batch.SumProducts(name+"-children", k.Label()+" in the parts used", pairs...)
	}
	total := batch.Total(name, k.Label()+" of the batch", m.kinds[k], children)
	if total == graph.None {
		return graph.None
	}
	if kindEntries[k].perPiece {
		name += "-children"
	}
	return s.By(k.formula()).Divide(name, k.Label()+" per "+m.part.each(), total, pieces)
}

// special is C3: each special direct cost divided by the pieces it is recovered
// over. Its key is made of its name.
func (a *assembly) special(s graph.Scope, list []bom.SpecialCost, unit graph.Unit, shares ...graph.ID) graph.ID {
	for i, sp := range list {
		at := s.In("special", bom.Slug(sp.Name)).Within(index("special_direct", i)).By("C3")
		amount := at.Number("amount", sp.Name, a.money, sp.Amount, "amount")
		over := at.Number("over", "pieces that "+sp.Name+" is recovered over", unit, sp.RecoverUnits, "recover_over_pieces")
		shares = append(shares, at.Divide("share", sp.Name+" per piece", amount, over))
	}
	return s.By("C3").Total("special-own", "special direct cost of its own, per piece", shares...)
}

// programs is what a piece bears of its programs, over the pieces that the part states:
// minutes at the wage of a work centre, those entered of the part or those of each
// operation described by features.
func (a *assembly) programs(p *pool) []graph.ID {
	if p.def.ProgramsOver == nil {
		return nil
	}
	var shares []graph.ID
	for _, st := range p.flow.Steps {
		s, minutes, entered := st.Scope.By("C3"), st.Cut.Program, p.def.ProgrammingMin
		if entered != nil && st.Operation.Kind == bom.Machining {
			s = p.scope.By("C3")
			minutes = s.Number("programming-time", "time of programming", graph.Minute, *entered, "programming_min")
		} else if entered != nil || minutes == graph.None {
			continue
		}
		hours := s.Convert("programming-hours", "hours of programming", minutes, graph.Minute, graph.Hour)
		cost := s.Multiply("programming-cost", "cost of programming", hours, a.programming(a.centre(st.Operation.WorkCentre)))
		over := p.scope.Shared("programs-over", "pieces that bear the programs", graph.Piece, *p.def.ProgramsOver, "programs_over_pieces")
		shares = append(shares, s.Divide("programming-share", "programming per piece", cost, over))
		if entered != nil {
			break
		}
	}
	return shares
}
