package change

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"sync"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/record"
	"kerfbook/costing/text"
)

// Shelf is the stored book in one state: its records and, put together, the book.
// It never changes.
type Shelf struct {
	Version answer.Version
	Book    *book.Book
	Records map[string][]holding // by kind, in the order of the list
}

// holding is a current record with its content, or with what kept it from being read.
type holding struct {
	record.Kept
	value  reflect.Value
	places func() []Place
	unread error
}

// say gives a holding its content.
func (h *holding) say(k record.Kind, value reflect.Value) {
	h.value, h.places = value, sync.OnceValue(func() []Place { return placesOf(k, value) })
}

// Version names the revision that is held.
func (h holding) Version() answer.Version {
	sum := sha256.Sum256(h.Text)
	return answer.Version(h.Kept.Version(sum[:]))
}

// ShelfOf takes a book that is not stored, with the hand of who wrote its text if there is
// one.
func ShelfOf(b *book.Book, written []byte) (*Shelf, error) {
	drafts, err := Split(b, nil, written)
	return (&Shelf{}).With(drafts), err
}

// Empty reports whether there is no record at all.
func (s *Shelf) Empty() bool {
	for _, list := range s.Records {
		if len(list) > 0 {
			return false
		}
	}
	return true
}

// Find gives a current record by its id.
func (s *Shelf) Find(kind, id string) (holding, bool) {
	list := s.Records[kind]
	if i := slices.IndexFunc(list, func(h holding) bool { return h.ID == id }); i >= 0 {
		return list[i], true
	}
	return holding{}, false
}

// ByID gives the current records of a kind by their ids, for who asks for many.
func (s *Shelf) ByID(kind string) map[string]holding {
	out := make(map[string]holding, len(s.Records[kind]))
	for _, h := range s.Records[kind] {
		out[h.ID] = h
	}
	return out
}

// identity names a revision, whose content is always the same.
type identity struct {
	kind, id string
	revision int
}

// NewShelf puts records together. Their content is taken from an older state
// where it has not changed since. A record that an earlier program took and this
// one refuses is kept as it is and takes no part.
func NewShelf(version answer.Version, records []record.Kept, older *Shelf) *Shelf {
	s := &Shelf{Version: version, Records: map[string][]holding{}}
	known := older.contents()
	for _, r := range records {
		h, ok := known[identity{r.Kind, r.ID, r.Revision}]
		if !ok {
			var k record.Kind
			if k, h.unread = KindOf(r.Kind); h.unread == nil {
				var value reflect.Value
				value, _, h.unread = k.Read(k.Plain(r.Text))
				h.say(k, value)
			}
		}
		h.Kept = r
		s.Records[r.Kind] = append(s.Records[r.Kind], h)
	}
	s.Book = s.join()
	return s
}

func (s *Shelf) contents() map[identity]holding {
	out := map[identity]holding{}
	if s == nil {
		return out
	}
	for _, list := range s.Records {
		for _, h := range list {
			out[identity{h.Kind, h.ID, h.Revision}] = h
		}
	}
	return out
}

// readable lists the records of a kind that are in the book, at their places there.
func (s *Shelf) readable(kind string) []holding {
	return slices.DeleteFunc(slices.Clone(s.Records[kind]), func(h holding) bool { return h.unread != nil })
}

// join puts the book together.
func (s *Shelf) join() *book.Book {
	b := &book.Book{Version: book.Version}
	for _, k := range record.Kinds() {
		var values []reflect.Value
		for _, h := range s.readable(k.Name) {
			values = append(values, h.value)
		}
		k.Fill(b, values)
	}
	for name, list := range s.Records {
		for _, h := range list {
			if h.unread == nil {
				continue
			}
			if b.Unread == nil {
				b.Unread = map[string]string{}
			}
			b.Unread[name+" "+h.ID] = unreadWords(h.unread)
		}
	}
	return b
}

// unreadWords says in one line why a stored record cannot be read.
func unreadWords(err error) string {
	fields := UnreadFields(err)
	words := make([]string, len(fields))
	for i, f := range fields {
		words[i] = f.Error()
	}
	return strings.Join(words, "; ")
}

// UnreadFields lists why, each with its place in the stored text.
func UnreadFields(err error) []answer.FieldError {
	var e *answer.Error
	if errors.As(Malformed("the record", err), &e) && len(e.Fields) > 0 {
		return e.Fields
	}
	return []answer.FieldError{{Message: err.Error()}}
}

// Draft is a record as it is to be next. A deleted one has no content.
type Draft struct {
	Kind    record.Kind
	ID      string
	Value   reflect.Value
	places  text.Places // of the text it was sent as
	root    string      // its place in that text, if it was sent with others
	Written []byte
	byValue bool // no text was sent, or one of JSON: Written is how the program writes it
	inBook  bool // Written is as it stands in the text of a book
	Deleted bool
	IfMatch answer.Version // that it changes; empty for a new one
}

// NewDraft writes a record's text.
func NewDraft(k record.Kind, id string, value reflect.Value, places text.Places) (Draft, error) {
	written, err := k.Write(value)
	if err != nil {
		return Draft{}, err
	}
	return Draft{Kind: k, ID: id, Value: value, places: places, Written: written, byValue: true}, nil
}

// At gives the draft its place among others of one form; faults of it have their place
// below.
func (d Draft) At(root string) Draft {
	d.root = root
	return d
}

// With gives the state after changes, not stored yet: its version is empty. A new
// record goes to the end of its list.
func (s *Shelf) With(drafts []Draft) *Shelf {
	next, drafted := &Shelf{Records: map[string][]holding{}}, map[identity]bool{}
	for _, d := range drafts {
		drafted[identity{kind: d.Kind.Name, id: d.ID}] = d.Deleted
	}
	at := map[identity]int{} // of those that are changed
	for name, list := range s.Records {
		stay := make([]holding, 0, len(list))
		for _, h := range list {
			who := identity{kind: name, id: h.ID}
			deleted, there := drafted[who]
			if there && !deleted {
				at[who] = len(stay)
			}
			if !deleted {
				stay = append(stay, h)
			}
		}
		next.Records[name] = stay
	}
	for _, d := range drafts {
		list := next.Records[d.Kind.Name]
		i, there := at[identity{kind: d.Kind.Name, id: d.ID}]
		switch {
		case d.Deleted:
		case there:
			list[i].Text, list[i].Name, list[i].unread = d.kept(list[i]), d.Kind.Title(d.Value), nil
			list[i].say(d.Kind, d.Value)
		default:
			r := record.Kept{Kind: d.Kind.Name, ID: d.ID, Name: d.Kind.Title(d.Value), Text: d.Written, Position: nextPosition(list)}
			h := holding{Kept: r}
			h.say(d.Kind, d.Value)
			next.Records[d.Kind.Name] = append(list, h)
		}
	}
	next.Book = next.join()
	return next
}

// kept is the text of a record as it is kept in the place of what is held: what was sent
// with its comments, or the text held with another value in it.
func (d Draft) kept(held holding) []byte {
	switch {
	case d.byValue && held.unread == nil:
		if revised, err := d.Kind.Revise(held.Text, d.Value); err == nil {
			return revised
		}
	case !d.byValue && !d.inBook:
		return d.Kind.Placed(d.Written, held.Text)
	}
	return d.Written
}

// Same reports whether a record says the same as another; only the hand may differ.
func (h holding) Same(other holding) bool {
	return h.unread == nil && other.unread == nil && bytes.Equal(record.JSON(h.value), record.JSON(other.value))
}

// Text gives the book as its authors wrote it.
func (s *Shelf) Text() ([]byte, error) {
	texts := map[string][][]byte{}
	for name := range s.Records {
		for _, h := range s.readable(name) {
			texts[name] = append(texts[name], h.Text)
		}
	}
	return record.Together(s.Book, texts)
}

// Imported gives drafts of a whole book the texts that are to be kept: those held where
// the book holds the records as it was written from them, or one changed where only a
// value was sent.
func (s *Shelf) Imported(drafts []Draft) ([]Draft, error) {
	written, err := s.Text()
	if err != nil {
		return nil, err
	}
	said := map[identity][]byte{}
	for kind, texts := range record.Apart(written) {
		for i, h := range s.readable(kind) {
			if i < len(texts) {
				said[identity{kind: kind, id: h.ID}] = texts[i]
			}
		}
	}
	out := slices.Clone(drafts)
	for i, d := range out {
		held, found := s.Find(d.Kind.Name, d.ID)
		was, known := said[identity{kind: d.Kind.Name, id: d.ID}]
		switch {
		case found && known && bytes.Equal(was, d.Written):
			out[i].Written = held.Text
		case found:
			out[i].Written = d.kept(held)
		}
	}
	return out, nil
}

// nextPosition is behind the last record of a list.
func nextPosition(list []holding) int {
	if len(list) == 0 {
		return 0
	}
	return list[len(list)-1].Position + 1
}

// Split takes a book apart, in order, with the texts of its records where they have
// some. Records that would share an id are refused.
func Split(b *book.Book, places text.Places, written []byte) ([]Draft, error) {
	var out []Draft
	texts := record.Apart(written)
	bad := answer.Invalidf("the book cannot be kept")
	for _, k := range record.Kinds() {
		taken := map[string]string{} // paths by id
		for i, r := range record.All(b, k) {
			if first, twice := taken[r.ID]; twice {
				at := places.Of(r.Path)
				bad.Fields = append(bad.Fields, answer.FieldError{Path: r.Path, Pointer: text.Pointer(r.Path), Line: at.Line, Column: at.Column,
					Message: fmt.Sprintf("is %s, as is %s; give one of them another name or another date", r.ID, first)})
				continue
			}
			taken[r.ID] = r.Path
			d, err := NewDraft(k, r.ID, r.Value, nil)
			if err != nil {
				return nil, answer.Unexpected(err)
			}
			if i < len(texts[k.Name]) {
				d.Written, d.byValue, d.inBook = texts[k.Name][i], false, true
			}
			out = append(out, d)
		}
	}
	if len(bad.Fields) > 0 {
		return nil, bad
	}
	return out, nil
}

// KindOf finds a kind of record by its name.
func KindOf(name string) (record.Kind, error) {
	k, ok := record.KindOf(name)
	if near, close := text.Nearest(name, Kinds()); !ok && close {
		return k, answer.Errorf(answer.NotFound, "there is no kind of record %q; did you mean %s?", bom.Shorten(name), near)
	} else if !ok {
		return k, answer.Errorf(answer.NotFound, "there is no kind of record %q; there are %s", bom.Shorten(name), strings.Join(Kinds(), ", "))
	}
	return k, nil
}

// Kinds lists the kinds of record in the order of the book.
func Kinds() []string {
	var out []string
	for _, k := range record.Kinds() {
		out = append(out, k.Name)
	}
	return out
}
