package form

import (
	"kerfbook/costing/book"
	"kerfbook/costing/book/field"
	"kerfbook/costing/book/record"
	"kerfbook/costing/rates"
	"kerfbook/web/frame"
)

// RecordKind is a list of the book as people know it.
type RecordKind struct {
	Kind, Name, One, Purpose string
}

// Kinds lists the lists of a book in the order of the pipeline.
func Kinds() []RecordKind {
	var out []RecordKind
	for _, name := range []string{"rate_cards", "wages", "work_centres", "materials", "tools", "cutting_data", "factors", "suppliers", "metal_prices",
		"stocks", "offers", "outside_processes", "parts", "products", "channels", "prices", "carriers", "destinations", "baskets",
		"overrides", record.RulesKind, record.ShopKind} {
		k, _ := KindOf(name)
		out = append(out, k)
	}
	return out
}

// KindOf finds a kind by its word, as the dictionary calls it.
func KindOf(word string) (RecordKind, bool) {
	k, ok := field.KindOf(word)
	return RecordKind{word, k.Name, k.One, k.About}, ok
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
