package form

import (
	"kerfbook/costing/book"
	"kerfbook/costing/book/record"
	"kerfbook/costing/rates"
	"kerfbook/web/frame"
)

// RecordKind is a list of the book as people know it.
type RecordKind struct {
	Kind, Name, One, Purpose string
}

// Kinds lists the lists of a book in the order of the pipeline.
var Kinds = []RecordKind{
	{"rate_cards", "Rate cards", "rate card", "Dated overheads and exchange rates. The latest one that has begun counts."},
	{"work_centres", "Work centres", "work centre", "Machines and benches with their hour rates."},
	{"materials", "Materials", "material", "What stock consists of, and what chips bring."},
	{"tools", "Tools", "tool", "Cutting tools with their edges, and where they are kept."},
	{"cutting_data", "Cutting data", "row of cutting data", "Your own speeds, feeds and depths; they go before the reference rows."},
	{"factors", "Factors", "factor", "Measured ÷ computed minutes and roughness, where you have measured."},
	{"suppliers", "Suppliers", "supplier", "Who sells parts, stock and outside processes."},
	{"metal_prices", "Metal prices", "metal price", "What metals cost from day to day, where offers or chips follow them."},
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

// KindOf finds a kind by its word.
func KindOf(word string) (RecordKind, bool) {
	for _, k := range Kinds {
		if k.Kind == word {
			return k, true
		}
	}
	return RecordKind{}, false
}

// RecordAddress is that of the page of a record.
func RecordAddress(r record.Record) string { return frame.RecordHref(r.Kind.Name, r.ID) }

// NameOf is a record's name for people. Kinds that are given none are told by what
// they are about.
func NameOf(r record.Record) string {
	switch v := r.Value.Interface().(type) {
	case rates.RateCard:
		return "from " + string(v.From)
	case rates.CuttingRow:
		return string(v.Material) + ", " + Words(string(v.Tool))
	case rates.Factor:
		return Words(string(v.Feature)) + " at " + string(v.WorkCentre)
	case book.Override:
		return string(v.Figure)
	case rates.Offer:
		return string(v.For) + " from " + string(v.Supplier)
	}
	return r.Title()
}

// RecordsOf lists the records of a kind.
func RecordsOf(b *book.Book, kind string) []record.Record {
	k, _ := record.KindOf(kind) // the callers name kinds of the table above
	return record.All(b, k)
}

// RecordAt finds the record that a place of the book, such as
// parts[3].routing[0].yield, lies in: words for it, and the address where it is
// edited. Both are empty for a place in no record of a list.
func RecordAt(b *book.Book, path string) (words, edit string) {
	r, ok := record.At(b, path)
	if !ok {
		return "", ""
	}
	k, ok := KindOf(r.Kind.Name)
	if !ok || k.Kind == record.ShopKind {
		return "", ""
	}
	return k.One + " " + r.ID, RecordAddress(r) + "/edit"
}
