package estimate

import (
	"fmt"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/making/finish"
	"kerfbook/costing/making/purchase"
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
		out = append(out, purchase.NewOffer(sc, src, o, use, ex))
	}
	return out
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
	sc = sc.From(s.aged(sc, graph.Source{Where: "outside process " + def.Name, Path: path}, def.ValidUntil, s.supplier(def.Supplier)+"'s price for "+def.Name))
	finishes, err := rates.ReferenceFinishes()
	if err != nil {
		s.problems = append(s.problems, err)
		return finish.Process{}, false
	}
	p := finish.NewProcess(sc, *def, ex, finishes)
	s.processes[id] = p
	return p, true
}
