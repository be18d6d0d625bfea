package book

import (
	"cmp"
	"slices"

	"kerfbook/bom"
	"kerfbook/costing/rates"
	"kerfbook/costing/trade"
)

// Each of these finds a record by its id or number, and where in its list it
// stands; nil for none.

func (b *Book) Part(number bom.ID) (*bom.Part, int) {
	return find(b.Parts, func(p *bom.Part) bool { return p.Number == number })
}

func (b *Book) Product(number bom.ID) (*bom.Product, int) {
	return find(b.Products, func(p *bom.Product) bool { return p.Number == number })
}

// TrimName is what a trim is called: by its own name, behind that of its product where the
// book has several.
func (b *Book) TrimName(p *bom.Product, t *bom.Trim) string {
	name := cmp.Or(t.Name, string(t.ID))
	if len(b.Products) > 1 && p.Name != "" && p.Name != name {
		return p.Name + ", " + name
	}
	return name
}

func (b *Book) Stock(id bom.ID) (*bom.Stock, int) {
	return find(b.Stocks, func(s *bom.Stock) bool { return s.ID == id })
}

func (b *Book) Wage(id bom.ID) (*rates.Wage, int) {
	return find(b.Wages, func(w *rates.Wage) bool { return w.ID == id })
}

func (b *Book) Material(id bom.ID) (*rates.Material, int) {
	return find(b.Materials, func(m *rates.Material) bool { return m.ID == id })
}

func (b *Book) WorkCentre(id bom.ID) (*rates.WorkCentre, int) {
	return find(b.WorkCentres, func(w *rates.WorkCentre) bool { return w.ID == id })
}

func (b *Book) Supplier(id bom.ID) (*rates.Supplier, int) {
	return find(b.Suppliers, func(s *rates.Supplier) bool { return s.ID == id })
}

func (b *Book) MetalPrice(id bom.ID) (*rates.MetalPrice, int) {
	return find(b.MetalPrices, func(m *rates.MetalPrice) bool { return m.ID == id })
}

func (b *Book) Process(id bom.ID) (*rates.Process, int) {
	return find(b.Processes, func(p *rates.Process) bool { return p.ID == id })
}

func (b *Book) RateCard(id bom.ID) (*rates.RateCard, int) {
	return find(b.RateCards, func(c *rates.RateCard) bool { return c.ID == id })
}

func (b *Book) Channel(id bom.ID) (*trade.Channel, int) {
	return find(b.Channels, func(c *trade.Channel) bool { return c.ID == id })
}

// Destination is found by its country, with the region if it has one.
func (b *Book) Destination(place string) (*trade.Destination, int) {
	return find(b.Destinations, func(d *trade.Destination) bool { return d.Place() == place })
}

func find[T any](list []T, is func(*T) bool) (*T, int) {
	for i := range list {
		if is(&list[i]) {
			return &list[i], i
		}
	}
	return nil, -1
}

// cuts reports whether anything in the book asks for cutting data: features of an
// operation, cutting data of its own or a material that cuts as another.
func (b *Book) cuts() bool {
	features := func(o bom.Operation) bool { return len(o.Features) > 0 }
	return len(b.CuttingData) > 0 ||
		slices.ContainsFunc(b.Materials, func(m rates.Material) bool { return m.CuttingAs != "" }) ||
		slices.ContainsFunc(b.Parts, func(p bom.Part) bool { return slices.ContainsFunc(p.Routing, features) }) ||
		slices.ContainsFunc(b.Products, func(p bom.Product) bool { return slices.ContainsFunc(p.Routing, features) })
}

// CuttingTables gives the cutting data of the book in front of the reference rows,
// which are there where the book asks for any: they are many, and take a while to be
// read.
func (b *Book) CuttingTables() (rates.CuttingTables, error) {
	t := rates.CuttingTables{Own: b.CuttingData}
	if !b.cuts() {
		return t, nil
	}
	var names []bom.ID
	for _, m := range b.Materials {
		names = append(names, m.ID, m.CuttingAs)
	}
	for i := range b.CuttingData {
		names = append(names, b.CuttingData[i].Material)
	}
	t, err := rates.ReferenceTables(names)
	t.Own = b.CuttingData
	return t, err
}
