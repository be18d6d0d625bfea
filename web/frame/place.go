package frame

import (
	"kerfbook/costing/book"
)

// PlaceNames gives the destinations of a book their names: the one the book has,
// or the code.
func PlaceNames(b *book.Book) map[string]string {
	out := map[string]string{}
	for _, d := range b.Destinations {
		name := d.Name
		if name == "" {
			name = d.Place()
		}
		out[d.Place()] = name
	}
	return out
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
