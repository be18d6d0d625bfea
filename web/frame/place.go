package frame

import (
	"strings"

	"golang.org/x/text/language"
	"golang.org/x/text/language/display"

	"kerfbook/costing/book"
)

// PlaceName names a destination, of the book or not: as the book does, or its country in
// English.
func PlaceName(b *book.Book, place string) string {
	country, sub, _ := strings.Cut(place, "-")
	if d, _ := b.Destination(place); d != nil && d.Name != "" {
		return d.Name
	}
	region, err := language.ParseRegion(country)
	if err != nil {
		return place
	}
	return strings.TrimSuffix(display.English.Regions().Name(region)+", "+sub, ", ")
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
