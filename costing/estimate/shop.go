package estimate

import (
	"fmt"
	"slices"
	"sync"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/graph"
	"kerfbook/costing/making/blank"
	"kerfbook/costing/making/finish"
	"kerfbook/costing/making/machining"
	"kerfbook/costing/making/routing"
	"kerfbook/costing/money"
	"kerfbook/costing/rates"
	"kerfbook/costing/selling/exchange"
	"kerfbook/costing/selling/price"
	"kerfbook/costing/trade"
)

// shop builds what several parts or variants share, each thing once: work
// centres, stocks, processes, exchange rates, channels.
type shop struct {
	book  *book.Book
	day   bom.Date
	card  rates.RateCard
	root  graph.Scope
	money graph.Unit

	cardPath  string
	cards     graph.Scope // source: the rate card in force
	overheads overheads
	centres   map[bom.ID]centre
	stocks    map[bom.ID]blank.Stock
	processes map[bom.ID]finish.Process
	numbered  map[bom.ID]*bom.Part // all of the book
	places    map[bom.ID]int       // of these in its list
	uses      func() book.Uses     // worked out once, where a part is packed
	offered   map[bom.ID][]int     // places of the offers for a part or stock
	channels  map[bom.ID]price.Channel
	cutting   *machining.Shop
	problems  []error
}

func newShop(b *book.Book, day bom.Date, root graph.Scope) (*shop, error) {
	card, ok := rates.CardOn(b.RateCards, day)
	if !ok {
		return nil, &BuildError{"rate_cards", fmt.Sprintf("no rate card is in force on %s", day)}
	}
	s := &shop{
		book: b, day: day, card: card, root: root, money: graph.Currency(string(b.Currency)),
		centres: map[bom.ID]centre{}, stocks: map[bom.ID]blank.Stock{},
		numbered: bom.PartsByNumber(b.Parts), places: make(map[bom.ID]int, len(b.Parts)), offered: rates.OffersFor(b.Offers),
		processes: map[bom.ID]finish.Process{}, channels: map[bom.ID]price.Channel{}, uses: sync.OnceValue(b.Uses),
	}
	for i := range slices.Backward(b.Parts) { // the first counts of parts with one number
		s.places[b.Parts[i].Number] = i
	}
	_, at := b.RateCard(card.ID)
	s.cardPath = index("rate_cards", at)
	s.cards = root.In("rate-card").From(graph.Source{
		Where: "rate card " + string(card.ID), Path: s.cardPath, Cite: card.Source})
	s.overheads = s.newOverheads()
	data, err := b.CuttingTables()
	if err != nil {
		return nil, err
	}
	s.cutting = machining.New(root, s.money, machining.Definitions{
		Day: day, Tools: b.Tools, Materials: b.Materials, Centres: b.WorkCentres, Factors: b.Factors, Data: data})
	return s, nil
}

func index(list string, i int) string { return fmt.Sprintf("%s[%d]", list, i) }

// fail records a problem once, however many parts or operations run into it.
func (s *shop) fail(path, format string, args ...any) {
	e := BuildError{path, fmt.Sprintf(format, args...)}
	if !slices.ContainsFunc(s.problems, func(p error) bool { b, ok := p.(*BuildError); return ok && *b == e }) {
		s.problems = append(s.problems, &e)
	}
}

// centre is a work centre as figures. A rate that only the cost of an operation asks
// for is read there, from def by scope.
type centre struct {
	routing.Centre
	machineRate, labourRate graph.ID         // money/h; a gap where the book gives none
	programs                graph.ID         // money/h of writing programs
	def                     rates.WorkCentre // without a number where the book has no such work centre
	scope                   graph.Scope      // source: the work centre
}

// centre gives a work centre as figures.
func (s *shop) centre(id bom.ID) centre {
	if c, ok := s.centres[id]; ok {
		return c
	}
	c := centre{Centre: routing.Centre{Allowance: graph.None}, scope: s.root, machineRate: graph.None, labourRate: graph.None, programs: graph.None}
	if id == "" { // an operation that names none yet; its own rate is the gap
		return c
	}
	perHour := s.money.Per(graph.Hour)
	w, at := s.book.WorkCentre(id)
	if w == nil {
		what := "work centre " + string(id)
		sc := s.root.In("work-centre", string(id)).From(graph.Source{Path: "work_centres"}).Of(string(id))
		c.scope, c.machineRate, c.labourRate = sc, sc.Missing("machine-rate", "machine rate", perHour, what), sc.Missing("labour-rate", "labour rate", perHour, what)
		c.programs = c.labourRate
		s.centres[id] = c
		return c
	}
	sc := s.root.In("work-centre", string(id)).From(graph.Source{Where: "work centre " + w.Name, Path: index("work_centres", at)}).Of(w.Name)
	c.def, c.scope = *w, sc
	c.machineRate, c.labourRate, c.programs = s.hours(sc, w, at)
	if w.Allowance != nil {
		c.Allowance = sc.Number("allowance", "allowance", graph.Plain, *w.Allowance, "allowance")
		c.OfShift = w.AllowanceBase == rates.OfShift
	}
	s.centres[id] = c
	return c
}

// stock gives a stock as figures, with the offers for it, or what it lacks.
func (s *shop) stock(id bom.ID) (blank.Stock, missing) {
	if st, ok := s.stocks[id]; ok {
		return st, s.unoffered(st)
	}
	def, at := s.book.Stock(id)
	if def == nil {
		return blank.Stock{}, missing{"stock " + string(id), "stocks"}
	}
	m, of := s.material(def.Material)
	switch {
	case def.Material == "":
		return blank.Stock{}, missing{"material of " + def.Name, index("stocks", at) + ".material"}
	case of < 0:
		return blank.Stock{}, missing{"material " + string(def.Material), index("stocks", at) + ".material"}
	case m.DensityGCM3.Missing:
		return blank.Stock{}, missing{"density of " + m.Name, index("materials", of) + ".density_g_cm3"}
	case def.LengthMM.Missing:
		return blank.Stock{}, missing{"length of " + def.Name, index("stocks", at) + ".length_mm"}
	}
	ms := s.root.In("material", string(m.ID)).From(graph.Source{Where: "material " + m.Name, Path: index("materials", of), Cite: m.Source}).Of(m.Name)
	sc := s.root.In("stock", string(id)).From(graph.Source{Where: "stock " + def.Name, Path: index("stocks", at)}).Of(def.Name)
	st := blank.NewStock(sc, def, m, ms)
	st.Reclaim, st.Recovered = s.reclaim(ms, m)
	st.Offers = s.offers(id, graph.Plain)
	s.stocks[id] = st
	return st, s.unoffered(st)
}

// unoffered is the offer that a stock lacks.
func (s *shop) unoffered(st blank.Stock) missing {
	if len(st.Offers) > 0 {
		return missing{}
	}
	_, at := s.book.Stock(st.Def.ID)
	return missing{"offer for " + string(st.Def.ID), index("stocks", at)}
}

func (s *shop) material(id bom.ID) (rates.Material, int) {
	m, at := s.book.Material(id)
	if m == nil {
		return rates.Material{}, at
	}
	return *m, at
}

// reclaim gives the price of chips and the share collected, shared by all stocks
// of the material.
func (s *shop) reclaim(sc graph.Scope, m rates.Material) (price, recovered graph.ID) {
	price, recovered = sc.Known("reclaim"), sc.Known("recovered-share")
	if price == graph.None && m.ReclaimPerKg != nil {
		price = sc.Number("reclaim", "reclaim price", s.money.Per(graph.Kilogram), *m.ReclaimPerKg, "reclaim_per_kg")
	}
	if price == graph.None && m.ReclaimMetal != "" {
		price = s.metalIn(s.book.Currency)(m.ReclaimMetal)
		if m.ReclaimShare != nil {
			share := sc.Number("reclaim-share", "share of the metal price that chips bring", graph.Plain, *m.ReclaimShare, "reclaim_share")
			price = sc.By("S4").Multiply("reclaim", "reclaim price", price, share)
		}
	}
	if recovered == graph.None && m.RecoveredShare != nil {
		recovered = sc.Number("recovered-share", "share of chips collected", graph.Plain, *m.RecoveredShare, "recovered_share")
	}
	return price, recovered
}

// NoChannel stands in keys for a price in no channel, of a book that has none.
const NoChannel = "net"

// channel gives a channel as figures. One that the book does not have takes
// something that is missing.
func (s *shop) channel(id bom.ID) price.Channel {
	if c, ok := s.channels[id]; ok {
		return c
	}
	if id == "" {
		s.channels[id] = price.NoChannel(s.root.In("channel", NoChannel).Of("no channel"), string(s.book.Currency), s.smallestCoin(s.book.Currency))
		return s.channels[id]
	}
	def, at := s.book.Channel(id)
	path := index("channels", at)
	if def == nil {
		def, path = &trade.Channel{ID: id, Name: string(id)}, "channels"
	}
	sc := s.root.In("channel", string(id)).From(graph.Source{Where: "channel " + def.Name, Path: path}).Of(def.Name)
	if path == "channels" {
		sc.Missing("tax", "tax in shelf prices at home", graph.Plain, "channel "+string(id))
	}
	c := price.NewChannel(sc, *def, string(s.book.Currency), s.smallestCoin(s.book.Currency))
	if path == "channels" {
		c.Returns = sc.Missing("returns", "allowance for returns", s.money.Per(graph.Piece), "channel "+string(id))
	}
	s.channels[id] = c
	return c
}

// toBook gives the buying rate from a currency into that of the book; None
// where they are the same.
func (s *shop) toBook(from money.Code) graph.ID {
	card := exchange.Rates{Root: s.root, Card: s.card, Path: s.cardPath}
	id, ok := card.Rate(from, s.book.Currency, rates.ForBuying)
	if !ok {
		id = card.Missing(from, s.book.Currency, rates.ForBuying)
	}
	return id
}

// smallestCoin is the minor unit of a currency, as a fixed figure.
func (s *shop) smallestCoin(code money.Code) graph.ID {
	id := exchange.SmallestUnit(s.root, code)
	if id == graph.None {
		s.fail("currency", "%s is no currency of ISO 4217", code)
	}
	return id
}
