package web

import (
	"kerfbook/costing/book"
	"kerfbook/costing/book/record"
)

// placeNames gives the destinations of a book their names: the one the book has,
// or the code.
func placeNames(b *book.Book) map[string]string {
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

// channelName gives a channel the name the book has for it, or its id.
func channelName(b *book.Book, id string) string {
	if e, ok := record.Find(b, "channels", id); ok && nameOf(e) != "" {
		return nameOf(e)
	}
	return id
}
