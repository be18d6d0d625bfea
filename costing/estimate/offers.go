package estimate

import (
	"fmt"
	"strconv"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/making/finish"
	"kerfbook/costing/making/purchase"
	"kerfbook/costing/money"
	"kerfbook/costing/rates"
)

// offers gives the offers for a part or stock that are used on the day; use is the
// unit in which the shop uses the goods.
func (s *shop) offers(target bom.ID, use graph.Unit) []purchase.Offer {
	used := rates.OffersOn(s.book.Offers, s.offered[target], s.day)
	var out []purchase.Offer
	for n, i := range used {
		o, at := s.book.Offers[i], index("offers", i)
		if n > 0 && s.book.Offers[used[n-1]].Supplier == o.Supplier {
			s.fail(at, "%s has another offer for %s that is valid on %s, %s; only one of a supplier can be used", o.Supplier, target, s.day, index("offers", used[n-1]))
			continue
		}
		ex := s.toBook(o.Currency)
		sc := s.root.In("offer", string(target), string(o.Supplier)).Of("offer of " + string(o.Supplier) + " for " + string(target))
		src := s.aged(sc, graph.Source{Where: "offer of " + string(o.Supplier) + " for " + string(target), Path: at},
			o.ValidUntil, s.supplier(o.Supplier)+"'s price for "+string(target))
		out = append(out, purchase.NewOffer(sc, src, o, use, ex, s.metalIn(o.Currency)))
	}
	return out
}

// metalIn gives metal prices of the day in a currency.
func (s *shop) metalIn(currency money.Code) purchase.MetalPrice {
	return func(id bom.ID) graph.ID {
		def, at := s.book.MetalPrice(id)
		path := index("metal_prices", at)
		if def == nil {
			def, path = &rates.MetalPrice{ID: id, Name: string(id), Currency: currency}, "metal_prices"
		}
		sc := s.root.In("metal", string(id)).Of(def.Name)
		price := s.metal(sc, def, path)
		if def.Currency == currency {
			return price
		}
		in, label := sc.In("in", string(currency)).By("B3"), "price of "+def.Name
		if id := in.Known("price"); id != graph.None {
			return id
		}
		from, to := s.toBook(def.Currency), s.toBook(currency)
		switch {
		case to == graph.None:
			return in.Multiply("price", label+" in the currency of the book", price, from)
		case from == graph.None:
			return in.Divide("price", label+" in the currency of the offer", price, to)
		}
		return in.Divide("price", label+" in the currency of the offer", in.Multiply("price-book", label+" in the currency of the book", price, from), to)
	}
}

// metal is the price of a metal in force on the day.
func (s *shop) metal(sc graph.Scope, def *rates.MetalPrice, path string) graph.ID {
	const name = "price"
	if id := sc.Known(name); id != graph.None {
		return id
	}
	label, unit := "price of "+def.Name, graph.Currency(string(def.Currency)).Per(graph.Kilogram)
	on := def.On(s.day)
	if on < 0 {
		return sc.From(graph.Source{Where: "metal prices", Path: path}).Missing(name, label, unit, label+" on "+s.day.Words())
	}
	from := def.Days[on].From
	src := graph.Source{Where: "metal price of " + def.Name + " from " + from.Words(), Path: path, Cite: def.Source}
	return sc.From(src).Number(name, label, unit, def.Days[on].PerKg, "days["+strconv.Itoa(on)+"].per_kg")
}

// aged marks a source whose last day has passed, and says so once where it is used.
func (s *shop) aged(at graph.Scope, src graph.Source, until bom.Date, what string) graph.Source {
	if until == "" || until >= s.day {
		return src
	}
	src.RanOut, src.AgeDays = string(until), until.DaysUntil(s.day)
	days := "days"
	if src.AgeDays == 1 {
		days = "day"
	}
	at.From(src).Within("valid_until").Find(graph.Warning, "", fmt.Sprintf(
		"%s ran out on %s, %d %s ago, and is still used: ask for a new one and enter it", what, until.Words(), src.AgeDays, days))
	return src
}

// supplier names a supplier for people.
func (s *shop) supplier(id bom.ID) string {
	if found, _ := s.book.Supplier(id); found != nil {
		return found.Name
	}
	return string(id)
}

// process gives an outside process as figures. One whose last day has passed goes
// on being used, and is marked. ok is false where the book has none.
func (s *shop) process(id bom.ID) (finish.Process, bool) {
	if p, ok := s.processes[id]; ok {
		return p, true
	}
	def, at := s.book.Process(id)
	if def == nil {
		return finish.Process{}, false
	}
	path, ex := index("outside_processes", at), s.toBook(def.Currency)
	sc := s.root.In("process", string(id)).Of(def.Name)
	sc = sc.From(s.aged(sc, graph.Source{Where: "outside process " + def.Name, Path: path, Cite: def.Source}, def.ValidUntil, s.supplier(def.Supplier)+"'s price for "+def.Name))
	finishes, err := rates.ReferenceFinishes()
	if err != nil {
		s.problems = append(s.problems, err)
		return finish.Process{}, false
	}
	metal := graph.None
	if m := def.Metal; m != nil {
		metal = purchase.Above(sc.In("metal", string(m.Metal)).Within("metal").By("B3"), *m, s.metalIn(def.Currency)(m.Metal))
	}
	p := finish.NewProcess(sc, *def, ex, finishes, s.day, metal)
	s.processes[id] = p
	return p, true
}
