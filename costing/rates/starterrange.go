package rates

import (
	"slices"

	"kerfbook/bom"
	"kerfbook/costing/money"
	"kerfbook/costing/reference"
)

// StarterRange is what parts of a way of making and a size usually have; without
// either it holds for all.
type StarterRange struct {
	ID     bom.ID        `book:"id,required"`
	Name   string        `book:"name,required"`
	Way    bom.Way       `book:"way"`
	Size   bom.SizeClass `book:"size"`
	Value  bom.Number    `book:"value,required,min=0"`
	Source string        `book:"source,required"`
}

// StarterMaterial is how fast a material is cut, by aluminium 6082 as 1, and what a
// kilogram of its bar costs.
type StarterMaterial struct {
	Material   bom.ID     `book:"material,required"`
	Name       string     `book:"name,required"`
	Ease       bom.Number `book:"ease,required,over=0"`
	PricePerKg bom.Number `book:"price_per_kg,required,over=0"`
	Currency   money.Code `book:"currency,required"` // of the price
	Source     string     `book:"source,required"`
}

// StarterExchange is what a euro is in another currency.
type StarterExchange struct {
	To   money.Code `book:"to,required"`
	Rate bom.Number `book:"rate,required,over=0"`
}

// StarterRows are the rows of the first guess.
type StarterRows struct {
	Ranges    []StarterRange    `book:"starter_ranges"`
	Materials []StarterMaterial `book:"starter_materials"`
	Exchange  []StarterExchange `book:"starter_exchange"`
}

// ExchangeTo gives what a shop that counts in a currency begins with, so that prices in
// euro can be charged; nothing where there is no row.
func (r StarterRows) ExchangeTo(currency money.Code) []Exchange {
	at := slices.IndexFunc(r.Exchange, func(x StarterExchange) bool { return x.To == currency })
	if at < 0 {
		return nil
	}
	return []Exchange{{From: r.Materials[0].Currency, To: currency, Kind: ForBuying, Rate: r.Exchange[at].Rate, Source: reference.FromMemory + ", a starter rate until you enter that of the day"}}
}

// ReferenceGuess gives the rows that ship with the program.
var ReferenceGuess = reference.Rows[StarterRows]("guess.yaml")

// Range finds the row of a way of making and a size.
func (r StarterRows) Range(id bom.ID, way bom.Way, size bom.SizeClass) (StarterRange, bool) {
	at := slices.IndexFunc(r.Ranges, func(x StarterRange) bool {
		return x.ID == id && (x.Way == "" || x.Way == way) && (x.Size == "" || x.Size == size)
	})
	if at < 0 {
		return StarterRange{}, false
	}
	return r.Ranges[at], true
}

// Material finds the row of a material by the first of its names that has one.
func (r StarterRows) Material(names []bom.ID) (StarterMaterial, bool) {
	for _, name := range names {
		if at := slices.IndexFunc(r.Materials, func(m StarterMaterial) bool { return m.Material == name }); at >= 0 {
			return r.Materials[at], true
		}
	}
	return StarterMaterial{}, false
}
