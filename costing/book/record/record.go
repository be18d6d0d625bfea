package record

import (
	"fmt"
	"reflect"
	"slices"

	"kerfbook/costing/book"
)

// Record is a record of a book.
type Record struct {
	Kind  Kind
	ID    string
	Path  string // its place in the book, such as parts[3]
	Value reflect.Value
}

// Title is its name for people; empty where its kind has none.
func (r Record) Title() string { return r.Kind.Title(r.Value) }

// All lists the records of a kind in a book, in order.
func All(b *book.Book, k Kind) []Record {
	var out []Record
	taken := map[string]bool{}
	for i, value := range k.Take(b) {
		ids, _ := k.Identify(value)
		id := ids[0]
		if free := slices.IndexFunc(ids, func(id string) bool { return !taken[id] }); free >= 0 {
			id = ids[free]
		}
		taken[id] = true
		out = append(out, Record{k, id, k.Path(i), value})
	}
	return out
}

// Find gives a record of a book by the name of its kind and its id.
func Find(b *book.Book, kind, id string) (Record, bool) {
	k, ok := KindOf(kind)
	if !ok {
		return Record{}, false
	}
	return Finder(b, k)(id)
}

// Finder gives records of a kind in a book by their ids, for whoever asks for several: the
// book is gone through once.
func Finder(b *book.Book, k Kind) func(id string) (Record, bool) {
	all := All(b, k)
	at := map[string]int{}
	for i, r := range all {
		if _, taken := at[r.ID]; !taken {
			at[r.ID] = i
		}
	}
	return func(id string) (Record, bool) {
		i, known := at[id]
		if !known {
			// It keeps the longer id that it took beside another which is gone since.
			i = slices.IndexFunc(all, func(r Record) bool {
				ids, _ := k.Identify(r.Value)
				return slices.Contains(ids, id)
			})
		}
		if i < 0 {
			return Record{}, false
		}
		found := all[i]
		found.ID = id
		return found, true
	}
}

// At finds the record that a place of the book, such as parts[3].routing[0].yield,
// lies in.
func At(b *book.Book, path string) (Record, bool) {
	k, position, _, ok := Locate(path)
	if !ok {
		return Record{}, false
	}
	all := All(b, k)
	if position >= len(all) {
		return Record{}, false
	}
	return all[position], true
}

// Revision is one revision of a record as its text is kept.
type Kept struct {
	Kind, ID string
	Name     string // for people
	Revision int
	Position int // in the list of its kind; of the record, not of the revision
	Text     []byte
	Deleted  bool
}

// Version names a revision by its number and the SHA-256 of its text.
func (k Kept) Version(hash []byte) string { return fmt.Sprintf("%d-%x", k.Revision, hash[:6]) }
