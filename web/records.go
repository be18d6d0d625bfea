package web

import (
	"reflect"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/money"
	"kerfbook/costing/rates"
	"kerfbook/costing/text"
	"kerfbook/costing/trade"
)

// recordKind is a list of the book as people know it.
type recordKind struct {
	Kind, Name, One, Purpose string
}

// kinds lists the lists of a book in the order of the pipeline.
var kinds = []recordKind{
	{"rate_cards", "Rate cards", "rate card", "Dated overheads and exchange rates. The latest one that has begun counts."},
	{"work_centres", "Work centres", "work centre", "Machines and benches with their hour rates."},
	{"materials", "Materials", "material", "What stock consists of, and what chips bring."},
	{"tools", "Tools", "tool", "Cutting tools with their edges, and where they are kept."},
	{"cutting_data", "Cutting data", "row of cutting data", "Your own speeds, feeds and depths; they go before the reference rows."},
	{"factors", "Factors", "factor", "Measured ÷ computed minutes and roughness, where you have measured."},
	{"suppliers", "Suppliers", "supplier", "Who sells parts, stock and outside processes."},
	{"stocks", "Stocks", "stock", "Bars, tubes, plates and sheets that blanks are cut from."},
	{"offers", "Offers", "offer", "Prices of suppliers by quantity."},
	{"outside_processes", "Outside processes", "outside process", "Work a supplier does on your pieces, priced by the lot."},
	{"parts", "Parts", "part", "Everything with a number: made, bought or assembled."},
	{"products", "Products", "product", "Options, rules, positions and trims of what is sold."},
	{"channels", "Channels", "channel", "Ways of selling, with what they take off the price."},
	{"prices", "Prices", "price", "How a trim is priced in a channel."},
	{"carriers", "Carriers", "carrier", "Parcel services with zones, steps and fees."},
	{"destinations", "Destinations", "destination", "Where you send to."},
	{"baskets", "Baskets", "basket", "Consignments of several pieces."},
	{"overrides", "Overrides", "override", "Numbers in the place of computed figures, each with its reason."},
	{"rules", "Own rules", "own rules", "Your own rows of tax, duty and customs; they go before the reference rows."},
	{"shop", "Shop", "shop", "Name, country, currency and time zone of the shop."},
}

// kindOf finds a kind by its word.
func kindOf(word string) (recordKind, bool) {
	for _, k := range kinds {
		if k.Kind == word {
			return k, true
		}
	}
	return recordKind{}, false
}

// entry is a record of the book with its place.
type entry struct {
	kind, id, name string
	path           string // place in the book, such as parts[3]
	value          reflect.Value
}

// Href is the address of the record's page.
func (e entry) Href() string { return recordHref(e.kind, e.id) }

// entries lists the records of a kind.
func entries(b *book.Book, kind string) []entry {
	if kind == "shop" {
		return []entry{{kind, "shop", b.Name, "", reflect.ValueOf(shopRecord{b.Name, b.Country, b.Currency, b.TimeZone})}}
	}
	list := fieldByTag(reflect.ValueOf(b).Elem(), kind)
	if !list.IsValid() {
		return nil
	}
	if kind == "rules" {
		return []entry{{kind, "rules", "", kind, list}}
	}
	var out []entry
	for i := range list.Len() {
		v := list.Index(i)
		id, name := identity(v.Interface())
		out = append(out, entry{kind, id, name, text.Index(kind, i), v})
	}
	return out
}

// shopRecord is what the shop itself says in the book.
type shopRecord struct {
	Name     string        `book:"name,required"`
	Country  bom.Country   `book:"country,required"`
	Currency money.Code    `book:"currency,required"`
	TimeZone book.TimeZone `book:"time_zone"`
}

// findEntry finds a record.
func findEntry(b *book.Book, kind, id string) (entry, bool) {
	for _, e := range entries(b, kind) {
		if e.id == id {
			return e, true
		}
	}
	return entry{}, false
}

// identity gives the id and name of a record as the store knows it.
func identity(record any) (id, name string) {
	switch r := record.(type) {
	case rates.RateCard:
		return string(r.ID), "from " + string(r.From)
	case rates.WorkCentre:
		return string(r.ID), r.Name
	case rates.Material:
		return string(r.ID), r.Name
	case bom.Tool:
		return string(r.ID), r.Name
	case rates.CuttingRow:
		return string(r.ID), string(r.Material) + ", " + words(string(r.Tool))
	case rates.Factor:
		return string(r.ID), words(string(r.Feature)) + " at " + string(r.WorkCentre)
	case book.Override:
		return string(r.ID), string(r.Figure)
	case rates.Supplier:
		return string(r.ID), r.Name
	case bom.Stock:
		return string(r.ID), r.Name
	case rates.Offer:
		return string(r.For) + "." + string(r.Supplier), string(r.For) + " from " + string(r.Supplier)
	case rates.Process:
		return string(r.ID), r.Name
	case bom.Part:
		return string(r.Number), r.Name
	case bom.Product:
		return string(r.Number), r.Name
	case trade.Channel:
		return string(r.ID), r.Name
	case trade.Price:
		return priceID(r)
	case trade.Carrier:
		return string(r.ID), r.Name
	case trade.Destination:
		return r.Place(), r.Name
	case trade.Basket:
		return string(r.ID), r.Name
	}
	return "", ""
}

func priceID(r trade.Price) (id, name string) {
	trim := string(r.Trim)
	if trim == "" {
		trim = "_"
	}
	return string(r.Product) + "." + trim + "." + string(r.Channel), ""
}

// fieldByTag finds a field of a struct by its name in the book.
func fieldByTag(v reflect.Value, name string) reflect.Value {
	for i := range v.NumField() {
		if tagName(v.Type().Field(i)) == name {
			return v.Field(i)
		}
	}
	return reflect.Value{}
}

func tagName(f reflect.StructField) string {
	name, _, _ := strings.Cut(f.Tag.Get("book"), ",")
	return name
}

// recordAt finds the record that a place of the book, such as
// parts[3].routing[0].yield, lies in: words for it, and the address where it is
// edited. Both are empty for a place in no record of the book.
func recordAt(b *book.Book, path string) (words, edit string) {
	list, _, _ := strings.Cut(path, "[")
	k, ok := kindOf(list)
	if !ok {
		return "", ""
	}
	for _, e := range entries(b, k.Kind) {
		if e.path == path || strings.HasPrefix(path, e.path+".") || strings.HasPrefix(path, e.path+"[") {
			return k.One + " " + e.id, e.Href() + "/edit"
		}
	}
	return "", ""
}
