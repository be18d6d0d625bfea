package web

import "kerfbook/costing/book"

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
	if e, ok := findEntry(b, "channels", id); ok && e.name != "" {
		return e.name
	}
	return id
}
