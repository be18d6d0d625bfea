package estimate

import (
	"cmp"
	"errors"
	"fmt"
	"maps"
	"slices"

	"kerfbook/bom"
	"kerfbook/bom/variant"
	"kerfbook/costing/book"
	"kerfbook/costing/book/check"
	"kerfbook/costing/graph"
	"kerfbook/costing/making/blank"
	"kerfbook/costing/making/guess"
	"kerfbook/costing/making/routing"
)

// Build writes the estimate of a mix on a day. The error joins everything that
// is wrong: *BuildError, *variant errors with the trim and place they name, and
// *graph.FaultError.
func Build(b *book.Book, mix []MixLine, day bom.Date) (*Estimate, error) {
	est, err := build(b, mix, day, graph.Limits{})
	if err == nil || len(b.Unread) == 0 {
		return est, err
	}
	all := graph.Joined(err)
	for _, problem := range check.Unread(b) { // may be the reason
		all = append(all, &BuildError{problem.Path, problem.Message})
	}
	return nil, errors.Join(all...)
}

func build(b *book.Book, mix []MixLine, day bom.Date, limits graph.Limits) (*Estimate, error) {
	if len(mix) == 0 {
		return nil, &BuildError{"", "the mix names no variant"}
	}
	builder := graph.NewBuilder(limits)
	override(builder, b.Overrides, day)
	s, err := newShop(b, day, builder.Root())
	if err != nil {
		return nil, err
	}
	for _, problem := range check.Unread(b) {
		builder.Root().Find(graph.Warning, "book", problem.Message)
	}
	a := &assembly{shop: s, lines: slices.Clone(mix), parts: map[bom.ID]*pool{}}
	est := &Estimate{Book: b, Day: day, Channels: s.channels}
	a.down(mix)
	if len(s.problems) > 0 {
		return nil, cmp.Or(builder.BeyondLimits(), errors.Join(s.problems...))
	}
	a.up(est)
	a.land(est)
	if len(s.problems) > 0 {
		return nil, cmp.Or(builder.BeyondLimits(), errors.Join(s.problems...))
	}
	est.Graph, err = builder.Build()
	return est, misplaced(b, day, err)
}

// assembly is one estimate being built: variants and parts on the way down
// (quantities) and up (costs).
type assembly struct {
	*shop
	lines    []MixLine
	variants []*made // one per line
	parts    map[bom.ID]*pool
	order    []*pool // parents before children
	// shared holds, by stock, the charges of the parts that are cut from it
	// together.
	shared map[bom.ID]map[bom.ID]blank.Charge
}

// use is a child within its parent: the unrounded pieces needed.
type use struct {
	part      *pool
	need      graph.ID
	operation int // that consumes it; 0 is the first
}

// made is a batch of something that is put together: a variant, or a part.
type made struct {
	part  *pool  // nil for a variant
	place string // in the book
	scope graph.Scope
	flow  routing.Flow
	uses  []use
	kinds costsByKind // own cost of the batch, money

	material []graph.ID    // those of the kinds that come before the first operation
	work     []costsByKind // of each operation
}

// pool is a part with what the whole mix needs of it.
type pool struct {
	made
	def       *bom.Part
	path      string
	unit      graph.Unit // that it is counted in
	needs     []graph.ID // contributions, unrounded
	unrounded graph.ID   // their sum
	// The first guess at it, begun when it is asked for, or what that lacks.
	guess      *guess.Part
	guessLacks missing
	need       graph.ID // the sum in whole pieces, or in its unit
	costs      Costs
}

// line is one child of a variant or part, in the form both share.
type line struct {
	name      string // last element of its key
	part      bom.ID
	quantity  bom.Number
	operation int
	scrap     *bom.Number
	path      string
}

// down writes quantities: the variants' routings, then every part once its
// parents have said what they need.
func (a *assembly) down(mix []MixLine) {
	named := map[string]bom.ID{}
	for i, l := range mix {
		if err := l.Check(); err != nil {
			a.problems = append(a.problems, err)
		}
		if _, trim, _ := a.find(l); trim != nil {
			l = l.without(trim.Choices)
			a.lines[i] = l
		}
		switch other, taken := named[l.Name()]; {
		case !taken:
			named[l.Name()] = l.Product
			a.addVariant(l)
		case other == l.Product:
			a.fail("", "the mix names %s twice; add its quantities up", l.Name())
		case other == "" || l.Product == "":
			a.fail("", "%s in the mix is the name of a part and of a trim of %s; they cannot be in one mix", l.Name(), cmp.Or(other, l.Product))
		default:
			a.fail("", "products %s and %s both have a trim %s; they cannot be in one mix", other, l.Product, l.Name())
		}
	}
	if len(a.problems) > 0 {
		return
	}
	for _, p := range a.order {
		a.pool(p)
	}
}

// find gives the product and the trim that a line of the mix names, with the
// product's place in the book; nil for what the book does not have.
func (a *assembly) find(l MixLine) (product *bom.Product, trim *bom.Trim, path string) {
	product, at := a.book.Product(l.Product)
	if product == nil {
		return nil, nil, ""
	}
	path = index("products", at)
	if of := slices.IndexFunc(product.Trims, func(t bom.Trim) bool { return t.ID == l.Trim }); of >= 0 {
		trim = &product.Trims[of]
	}
	return product, trim, path
}

// addAlone takes a part by itself: a batch of it that goes into nothing.
func (a *assembly) addAlone(l MixLine) {
	p, ok := a.part(l.Part, "")
	if !ok {
		return
	}
	if p.path == "" {
		a.fail("parts", "there is no part %s", l.Part)
		return
	}
	src := graph.Source{Where: bom.InRevision("part "+string(l.Part), p.def.Revision), Path: p.path}
	s := a.root.In("variant", l.Name()).From(src).Of(p.def.Name)
	v := &made{scope: s, place: p.path, flow: routing.Build(s, nil, a.quantityOf(l, p.def.Name), a.workshop(nil, nil, p.path))}
	a.variants = append(a.variants, v)
	need := s.By("Y2").Multiply("need", p.def.Name+" needed", v.flow.Consumed(0), s.One(p.unit.Per(graph.Piece)))
	p.needs = append(p.needs, need)
	v.uses = append(v.uses, use{p, need, 0})
}

// quantityOf is the input that says how many pieces of a line the batch is to give.
func (a *assembly) quantityOf(l MixLine, of string) graph.ID {
	return a.root.In("mix").From(graph.Source{Where: "the mix asked for"}).
		Number(l.Name(), "batch quantity of "+of, graph.Piece, l.Quantity, "")
}

func (a *assembly) addVariant(l MixLine) {
	if l.Part != "" {
		a.addAlone(l)
		return
	}
	product, trim, path := a.find(l)
	switch {
	case product == nil:
		a.fail("products", "there is no product %s", l.Product)
		return
	case trim == nil:
		a.fail(path+".trims", "product %s has no trim %s", product.Number, l.Trim)
		return
	}
	positions, err := variant.Resolve(product, l.selection(*trim))
	if err != nil {
		a.problems = append(a.problems, fmt.Errorf("trim %s: %w", l.Name(), err))
		return
	}
	src := graph.Source{Where: bom.InRevision("product "+string(product.Number), product.Revision), Path: path}
	s := a.root.In("variant", l.Name()).From(src).Of(a.book.TrimName(product, trim)).Entered(product.Name, "product", string(product.Number))
	v := &made{scope: s, place: path}
	v.flow = routing.Build(s, product.Routing, a.quantityOf(l, a.book.TrimName(product, trim)), a.workshop(nil, product.Routing, path))
	a.variants = append(a.variants, v)
	for _, p := range positions {
		a.use(v, line{fmt.Sprintf("position/%d", p.Number), p.Part, p.Quantity, p.Operation, p.FittingScrap,
			index("positions", slices.IndexFunc(product.Positions, func(x bom.Position) bool { return x.Number == p.Number }))})
	}
}

// selection is the trim's choices with those of the line in their place.
func (l MixLine) selection(t bom.Trim) map[bom.ID]bom.ID {
	out := maps.Clone(t.Choices)
	if out == nil {
		out = map[bom.ID]bom.ID{}
	}
	maps.Copy(out, l.Choices)
	return out
}

// use writes Y2, the need of a child: units in at the operation that consumes it
// × quantity per ÷ (1 − fitting scrap).
func (a *assembly) use(parent *made, l line) {
	child, ok := a.part(l.part, l.path)
	if !ok {
		return
	}
	s := parent.scope.In(l.name).By("Y2").Within(l.path)
	each := s.Number("quantity", "quantity of "+child.def.Name+" per piece", child.unit.Per(graph.Piece), l.quantity, "quantity")
	if !l.quantity.IsRange && !l.quantity.Missing && l.quantity.Likely.IsZero() {
		s.Find(graph.Warning, "quantity", child.def.Name+" is left out: its quantity is 0")
	}
	need := s.Multiply("fitted", child.def.Name+" fitted", parent.flow.Consumed(l.operation), each)
	if l.scrap != nil {
		scrap := s.Number("fitting-scrap", "share lost while fitting", graph.Plain, *l.scrap, "fitting_scrap")
		need = s.Divide("need", child.def.Name+" needed", need, s.Subtract("fitting-yield", "1 − fitting scrap", s.One(graph.Plain), scrap))
	}
	child.needs = append(child.needs, need)
	parent.uses = append(parent.uses, use{child, need, l.operation})
}

// part finds a part of the book, and on its first use walks its children so that
// parts end up ordered parents first.
func (a *assembly) part(id bom.ID, path string) (*pool, bool) {
	if p, ok := a.parts[id]; ok {
		return p, true
	}
	def, at := a.numbered[id], a.places[id]
	if def == nil { // without a path, it is priced as a bought part that nobody offers
		p := &pool{def: &bom.Part{Number: id, Name: string(id), Kind: bom.Bought}, unit: graph.Piece}
		p.part = p
		a.parts[id] = p
		a.order = slices.Insert(a.order, 0, p)
		return p, true
	}
	if len(a.parts) == 0 {
		if cycles := bom.FindCycles(a.book.Parts); len(cycles) > 0 {
			a.fail("parts", "a part contains itself: %s", bom.CycleText(cycles[0]))
			return nil, false
		}
	}
	p := &pool{def: guess.Routed(def), path: index("parts", at), unit: unitOf(def)}
	p.part, p.place = p, p.path
	a.parts[id] = p
	for i, c := range p.def.Children {
		if _, ok := a.part(c.Part, fmt.Sprintf("%s.children[%d].part", p.path, i)); !ok {
			return nil, false
		}
	}
	a.order = slices.Insert(a.order, 0, p)
	return p, true
}

// unitOf is the unit that a part is counted in.
func unitOf(p *bom.Part) graph.Unit {
	if p.ByPiece() {
		return graph.Piece
	}
	return map[bom.Measure]graph.Unit{bom.Metres: graph.Metre, bom.DM2: graph.Dm.Power(2), bom.Millilitres: graph.Cm.Power(3),
		bom.Grams: graph.Gram, bom.Minutes: graph.Minute}[p.CountedIn]
}

// each is what one of a part or variant is called, counted what several are.
func (p *pool) each() string {
	if p == nil || p.def.ByPiece() {
		return "piece"
	}
	return p.unit.String()
}

func (p *pool) counted() string {
	if p.def.ByPiece() {
		return "pieces"
	}
	return p.unit.String()
}

// pool adds up the needs of a part, rounds them once, and writes its routing and
// the needs of its children.
func (a *assembly) pool(p *pool) {
	d := p.def
	p.scope = a.root.In("part", string(d.Number)).From(graph.Source{
		Where: bom.InRevision("part "+string(d.Number), d.Revision), Path: p.path}).Of(d.Name)
	s := p.scope.By("Y2")
	if !d.ByPiece() { // no piece to round to: what is bought of it is rounded
		p.unrounded = s.Sum("need", p.counted()+" needed", p.needs...)
		p.need, p.flow = p.unrounded, routing.Flow{UnitsIn: p.unrounded, Start: p.unrounded}
		return
	}
	p.unrounded = s.Sum("need-unrounded", "pieces needed, before rounding", p.needs...)
	p.need = s.Whole("need", "pieces needed", p.unrounded)
	if twice := book.PackedTwice(d, a.uses); twice != "" {
		s.Find(graph.Warning, "need", twice)
	}
	if hour, ok := guess.HourOf(d, a.book.WorkCentre); ok {
		for _, of := range hour.Apart {
			s.Find(graph.Warning, "need", hour.Differ(of))
		}
	}
	shop := a.workshop(d, d.Routing, p.path)
	shop.Guess = a.guessTimes(p)
	shop.Surface = func(f routing.Flow, at int) graph.ID { return a.surfaceAt(p, f, at) }
	p.flow = routing.Build(p.scope, d.Routing, p.need, shop)
	for i, c := range d.Children {
		name := "child/" + string(c.Part)
		if c.Operation > 0 {
			name += fmt.Sprintf("/at/%d", c.Operation)
		}
		a.use(&p.made, line{name, c.Part, c.Quantity, c.Operation, c.FittingScrap, index("children", i)})
	}
}

func sortedIDs[V any](m map[bom.ID]V) []bom.ID {
	return slices.Sorted(maps.Keys(m))
}
