package frame

import (
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/web/notation"
)

// PlaceName names a destination, of the book or not: as the book does, or its country in
// English.
func PlaceName(b *book.Book, place string) string {
	country, sub, _ := strings.Cut(place, "-")
	if d, _ := b.Destination(place); d != nil && d.Name != "" {
		return d.Name
	}
	return strings.TrimSuffix(notation.CountryName(bom.Country(country))+", "+sub, ", ")
}

// Countries offers those of the world, each with its name.
func Countries() []Option {
	var out []Option
	for _, code := range bom.Countries() {
		out = append(out, Option{Value: code, Label: notation.CountryName(bom.Country(code))})
	}
	return out
}

// CountryField asks for a country.
func CountryField(name, label, hint, value string) Field {
	return Field{Name: name, Label: label, Hint: hint, Value: value, Data: Countries()}
}

// ChannelName gives a channel the name the book has for it, or its id.
func ChannelName(b *book.Book, id string) string {
	for _, ch := range b.Channels {
		if string(ch.ID) == id && ch.Name != "" {
			return ch.Name
		}
	}
	return id
}
