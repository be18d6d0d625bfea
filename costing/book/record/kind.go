// Package record takes a book apart into its records: which kinds there are, what a
// record is called, how it is read, written and changed at a place.
package record

import (
	"reflect"
	"slices"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/money"
	"kerfbook/costing/rates"
	"kerfbook/costing/text"
	"kerfbook/costing/trade"
)

// Shop is what the book says about the shop itself.
type Shop struct {
	Name       string            `book:"name,required"`
	Country    bom.Country       `book:"country,required"`
	Currency   money.Code        `book:"currency,required"`
	TimeZone   book.TimeZone     `book:"time_zone"`
	PriceDraws int               `book:"price_draws,min=2560,max=102400"`
	PriceSeed  int               `book:"price_seed,min=1"`
	NotCounted []bom.CountAnswer `book:"not_counted"`
}

// Records of which there is one.
const (
	ShopKind  = "shop"
	RulesKind = "rules"
)

// Kind is a list of the book, or a record of which there is one.
type Kind struct {
	Name  string
	Type  reflect.Type // of a record
	Only  bool         // there is one, whose id is the name of the kind
	field int          // of the book; unused for the shop
}

// kinds lists them in the order of the book. They are read off the book itself, so
// that a list added there is a kind here.
var kinds = allKinds()

func allKinds() []Kind {
	out := []Kind{{Name: ShopKind, Type: reflect.TypeFor[Shop](), Only: true}}
	t := reflect.TypeFor[book.Book]()
	for i := range t.NumField() {
		f := t.Field(i)
		if MemberOf(out[0].Type, FieldName(f)) >= 0 {
			continue
		}
		switch f.Type.Kind() {
		case reflect.Slice:
			out = append(out, Kind{Name: FieldName(f), Type: f.Type.Elem(), field: i})
		case reflect.Struct:
			out = append(out, Kind{Name: FieldName(f), Type: f.Type, field: i, Only: true})
		}
	}
	return out
}

// Kinds lists the kinds of record in the order of the book.
func Kinds() []Kind { return slices.Clone(kinds) }

// KindOf finds a kind by its name.
func KindOf(name string) (Kind, bool) {
	i := slices.IndexFunc(kinds, func(k Kind) bool { return k.Name == name })
	if i < 0 {
		return Kind{}, false
	}
	return kinds[i], true
}

// FieldName is the name of a field in the text form; empty if it has none.
func FieldName(f reflect.StructField) string {
	name, _, _ := strings.Cut(f.Tag.Get("book"), ",")
	return name
}

// Field finds the field of a struct by its name in the text form; invalid for none.
func Field(record reflect.Value, name string) reflect.Value {
	if i := MemberOf(record.Type(), name); i >= 0 {
		return record.Field(i)
	}
	return reflect.Value{}
}

// MemberOf is the place of the field of a name; -1 for none, and in a struct that has no
// text form.
func MemberOf(t reflect.Type, name string) int {
	members, _ := text.Members(t)
	for _, m := range members {
		if m.Name == name && len(m.At) == 1 {
			return m.At[0]
		}
	}
	return -1
}

// Identify gives the ids a record may have, the usual one first, and the field
// that holds it, or the first of those that make it up. A record that is valid for
// some time may stand beside another of the same name; the second takes the longer
// id, with its date.
func (k Kind) Identify(record reflect.Value) (ids []string, field string) {
	switch r := record.Interface().(type) {
	case rates.Offer:
		return dated(string(r.For)+"."+string(r.Supplier), r.ValidUntil), "for"
	case trade.Carrier:
		return dated(string(r.ID), r.From), "id"
	case trade.Price:
		return []string{string(r.ID())}, "product"
	case trade.Destination:
		return []string{r.Place()}, "country"
	}
	if k.Only {
		return []string{k.Name}, ""
	}
	for _, name := range []string{"id", "number"} {
		if id := Field(record, name); id.IsValid() {
			return []string{id.String()}, name
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

// Title is a record's name for people; empty where the kind has none.
func (k Kind) Title(record reflect.Value) string {
	if name := Field(record, "name"); name.IsValid() && name.Kind() == reflect.String {
		return name.String()
	}
	return ""
}

// Path is the place in the book of a record that stands at a position in its list.
func (k Kind) Path(position int) string {
	switch {
	case k.Name == ShopKind:
		return ""
	case k.Only:
		return k.Name
	}
	return text.Index(k.Name, position)
}

// Read reads a record's text strictly. Hints make what is wrong say more.
func (k Kind) Read(written []byte, hints ...text.Hints) (reflect.Value, text.Places, error) {
	into := reflect.New(k.Type)
	places, err := text.DecodeRecord(written, into.Interface(), hints...)
	return into.Elem(), places, err
}

// Write gives the text form of a record.
func (k Kind) Write(record reflect.Value) ([]byte, error) { return text.Encode(record.Interface()) }

// Take reads the records of a kind out of a book, in order.
func (k Kind) Take(b *book.Book) []reflect.Value {
	if k.Name == ShopKind {
		return []reflect.Value{reflect.ValueOf(Shop{b.Name, b.Country, b.Currency, b.TimeZone, b.PriceDraws, b.PriceSeed, b.NotCounted})}
	}
	v := reflect.ValueOf(b).Elem().Field(k.field)
	if k.Only {
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

// Fill puts the records of a kind into a book.
func (k Kind) Fill(b *book.Book, records []reflect.Value) {
	if len(records) == 0 {
		return
	}
	if k.Name == ShopKind {
		r := records[0].Interface().(Shop)
		b.Name, b.Country, b.Currency, b.TimeZone, b.NotCounted = r.Name, r.Country, r.Currency, r.TimeZone, r.NotCounted
		b.PriceDraws, b.PriceSeed = r.PriceDraws, r.PriceSeed
		return
	}
	v := reflect.ValueOf(b).Elem().Field(k.field)
	if k.Only {
		v.Set(records[0])
		return
	}
	list := reflect.MakeSlice(v.Type(), 0, len(records))
	v.Set(reflect.Append(list, records...))
}

// Locate says which record a path of the book is in, by kind and position in the
// list, and the rest of the path. It is not ok for a path to no record, such as
// that of a whole list.
func Locate(path string) (k Kind, position int, rest string, ok bool) {
	way, err := text.Steps(path)
	if err != nil || len(way) == 0 {
		return Kind{}, 0, "", false
	}
	if MemberOf(kinds[0].Type, way[0].Name) >= 0 {
		return kinds[0], 0, path, true
	}
	if k, ok = KindOf(way[0].Name); !ok {
		return Kind{}, 0, "", false
	}
	inside := 1
	if !k.Only {
		if len(way) < 2 || way[1].Index < 0 {
			return Kind{}, 0, "", false
		}
		position, inside = way[1].Index, 2
	}
	if inside < len(way) {
		rest = strings.TrimPrefix(path[way[inside].At:], ".")
	}
	return k, position, rest, true
}
