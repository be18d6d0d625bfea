package api

import (
	"reflect"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/money"
)

// kind is one list of the book, or one of the records there is only one of.
type kind struct {
	name string // as the book calls it
	typ  reflect.Type
	one  bool
}

// segment is the kind in a path.
func (k kind) segment() string { return strings.ReplaceAll(k.name, "_", "-") }

// words is the kind for people.
func (k kind) words() string { return strings.ReplaceAll(k.name, "_", " ") }

// Shop is the head of the book.
type Shop struct {
	Name     string        `book:"name,required"`
	Country  bom.Country   `book:"country,required"`
	Currency money.Code    `book:"currency,required"`
	TimeZone book.TimeZone `book:"time_zone"`
}

// recordKinds reads the kinds off the book itself, so that a list added there has
// its routes here.
func recordKinds() []kind {
	kinds := []kind{{"shop", reflect.TypeFor[Shop](), true}}
	t := reflect.TypeFor[book.Book]()
	for i := range t.NumField() {
		f := t.Field(i)
		name, _, _ := strings.Cut(f.Tag.Get("book"), ",")
		switch f.Type.Kind() {
		case reflect.Slice:
			kinds = append(kinds, kind{name, f.Type.Elem(), false})
		case reflect.Struct:
			kinds = append(kinds, kind{name, f.Type, true})
		}
	}
	return kinds
}
