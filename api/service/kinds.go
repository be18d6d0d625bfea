package service

import (
	"reflect"
	"slices"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/money"
	"kerfbook/costing/rates"
	"kerfbook/costing/trade"
)

// shopRecord is what the book says about the shop itself.
type shopRecord struct {
	Name     string        `book:"name,required"`
	Country  bom.Country   `book:"country,required"`
	Currency money.Code    `book:"currency,required"`
	TimeZone book.TimeZone `book:"time_zone"`
}

// Records of which there is one.
const (
	shopKind  = "shop"
	rulesKind = "rules"
)

// kind is a list of the book, or a record of which there is one.
type kind struct {
	name  string
	typ   reflect.Type // of a record
	field int          // of the book; unused for the shop
	only  bool         // there is one, whose id is the name of the kind
}

// kinds lists them in the order of the book.
var kinds = allKinds()

func allKinds() []kind {
	out := []kind{{name: shopKind, typ: reflect.TypeFor[shopRecord](), only: true}}
	t := reflect.TypeFor[book.Book]()
	for i := range t.NumField() {
		f := t.Field(i)
		name := fieldName(f)
		switch f.Type.Kind() {
		case reflect.Slice:
			out = append(out, kind{name: name, typ: f.Type.Elem(), field: i})
		case reflect.Struct:
			out = append(out, kind{name: name, typ: f.Type, field: i, only: true})
		}
	}
	return out
}

// fieldName is the name of a field in the text form; empty if it has none.
func fieldName(f reflect.StructField) string {
	name, _, _ := strings.Cut(f.Tag.Get("book"), ",")
	return name
}

// Kinds lists the kinds of record in the order of the book.
func Kinds() []string {
	out := make([]string, len(kinds))
	for i, k := range kinds {
		out[i] = k.name
	}
	return out
}

func kindOf(name string) (kind, error) {
	i := slices.IndexFunc(kinds, func(k kind) bool { return k.name == name })
	if i < 0 {
		return kind{}, newError(NotFound, "there is no kind of record %q; there are %s", shortened(name), strings.Join(Kinds(), ", "))
	}
	return kinds[i], nil
}

// identify gives the ids a record may have, the usual one first, and the field
// that holds it, or the first of those that make it up. A record that is valid for
// some time may stand beside another of the same name; the second takes the longer
// id, with its date.
func (k kind) identify(record reflect.Value) (ids []string, field string) {
	switch r := record.Interface().(type) {
	case rates.Offer:
		return dated(string(r.For)+"."+string(r.Supplier), r.ValidUntil), "for"
	case trade.Carrier:
		return dated(string(r.ID), r.From), "id"
	case trade.Price:
		trim := string(r.Trim)
		if trim == "" {
			trim = "_"
		}
		return []string{strings.Join([]string{string(r.Product), trim, string(r.Channel)}, ".")}, "product"
	case trade.Destination:
		return []string{r.Place()}, "country"
	}
	if k.only {
		return []string{k.name}, ""
	}
	for _, name := range []string{"id", "number"} {
		if i := memberOf(k.typ, name); i >= 0 {
			return []string{record.Field(i).String()}, name
		}
	}
	return nil, ""
}

func dated(id string, day bom.Date) []string {
	if day == "" {
		return []string{id}
	}
	return []string{id, id + "." + string(day)}
}

// memberOf finds the field of a struct by its name in the text form; -1 for none.
func memberOf(t reflect.Type, name string) int {
	for i := range t.NumField() {
		if fieldName(t.Field(i)) == name {
			return i
		}
	}
	return -1
}

// title is a record's name for people; empty where the kind has none.
func (k kind) title(record reflect.Value) string {
	if i := memberOf(k.typ, "name"); i >= 0 && record.Field(i).Kind() == reflect.String {
		return record.Field(i).String()
	}
	return ""
}

// hold reads the records of a kind out of a book, in order.
func (k kind) hold(b *book.Book) []reflect.Value {
	if k.name == shopKind {
		return []reflect.Value{reflect.ValueOf(shopRecord{b.Name, b.Country, b.Currency, b.TimeZone})}
	}
	v := reflect.ValueOf(b).Elem().Field(k.field)
	if k.only {
		if v.IsZero() {
			return nil
		}
		return []reflect.Value{v}
	}
	out := make([]reflect.Value, v.Len())
	for i := range out {
		out[i] = v.Index(i)
	}
	return out
}

// fill puts the records of a kind into a book.
func (k kind) fill(b *book.Book, records []reflect.Value) {
	if len(records) == 0 {
		return
	}
	if k.name == shopKind {
		r := records[0].Interface().(shopRecord)
		b.Name, b.Country, b.Currency, b.TimeZone = r.Name, r.Country, r.Currency, r.TimeZone
		return
	}
	v := reflect.ValueOf(b).Elem().Field(k.field)
	if k.only {
		v.Set(records[0])
		return
	}
	list := reflect.MakeSlice(v.Type(), 0, len(records))
	v.Set(reflect.Append(list, records...))
}

// prefix is the path in the book of a record that stands at a place in its list.
func (k kind) prefix(position int) string {
	switch {
	case k.name == shopKind:
		return ""
	case k.only:
		return k.name
	}
	return index(k.name, position)
}
