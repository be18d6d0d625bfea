package service

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/costing/book"
	"kerfbook/costing/book/record"
	"kerfbook/costing/text"
)

// shelf is the stored book in one state: its records and, put together, the book.
// It never changes.
type shelf struct {
	version answer.Version
	book    *book.Book
	records map[string][]held // by kind, in the order of the list
}

// held is a current record with its content, or with what kept it from being read.
type held struct {
	StoredRecord
	value  reflect.Value
	unread error
}

func (s *shelf) empty() bool { return len(s.records) == 0 }

// find gives a current record by its id.
func (s *shelf) find(kind, id string) (held, bool) {
	list := s.records[kind]
	if i := slices.IndexFunc(list, func(h held) bool { return h.ID == id }); i >= 0 {
		return list[i], true
	}
	return held{}, false
}

// identity names a revision, whose content is always the same.
type identity struct {
	kind, id string
	revision int
}

// newShelf puts records together. Their content is taken from an older state
// where it has not changed since. A record that an earlier program took and this
// one refuses is kept as it is and takes no part.
func newShelf(version answer.Version, records []StoredRecord, older *shelf) *shelf {
	s := &shelf{version: version, records: map[string][]held{}}
	known := older.contents()
	for _, r := range records {
		h, ok := known[identity{r.Kind, r.ID, r.Revision}]
		if !ok {
			var k record.Kind
			if k, h.unread = kindOf(r.Kind); h.unread == nil {
				h.value, _, h.unread = k.Read(r.Text)
			}
		}
		h.StoredRecord = r
		s.records[r.Kind] = append(s.records[r.Kind], h)
	}
	s.book = s.join()
	return s
}

func (s *shelf) contents() map[identity]held {
	out := map[identity]held{}
	if s == nil {
		return out
	}
	for _, list := range s.records {
		for _, h := range list {
			out[identity{h.Kind, h.ID, h.Revision}] = h
		}
	}
	return out
}

// readable lists the records of a kind that are in the book, at their places there.
func (s *shelf) readable(kind string) []held {
	return slices.DeleteFunc(slices.Clone(s.records[kind]), func(h held) bool { return h.unread != nil })
}

// join puts the book together.
func (s *shelf) join() *book.Book {
	b := &book.Book{Version: book.Version}
	for _, k := range record.Kinds() {
		var values []reflect.Value
		for _, h := range s.readable(k.Name) {
			values = append(values, h.value)
		}
		k.Fill(b, values)
	}
	for name, list := range s.records {
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
	fields := unreadFields(err)
	words := make([]string, len(fields))
	for i, f := range fields {
		words[i] = f.Error()
	}
	return strings.Join(words, "; ")
}

// unreadFields lists why, each with its place in the stored text.
func unreadFields(err error) []answer.FieldError {
	var e *answer.Error
	if errors.As(malformed("the record", err), &e) && len(e.Fields) > 0 {
		return e.Fields
	}
	return []answer.FieldError{{Message: err.Error()}}
}

// draft is a record as it is to be next. A deleted one has no content.
type draft struct {
	kind    record.Kind
	id      string
	value   reflect.Value
	places  text.Places // of the text it was sent as
	written []byte
	deleted bool
}

// newDraft writes a record's text.
func newDraft(k record.Kind, id string, value reflect.Value, places text.Places) (draft, error) {
	written, err := k.Write(value)
	if err != nil {
		return draft{}, err
	}
	return draft{kind: k, id: id, value: value, places: places, written: written}, nil
}

// with gives the state after changes, not stored yet: its version is empty. A new
// record goes to the end of its list.
func (s *shelf) with(drafts []draft) *shelf {
	next := &shelf{records: map[string][]held{}}
	for name, list := range s.records {
		next.records[name] = slices.Clone(list)
	}
	for _, d := range drafts {
		list := next.records[d.kind.Name]
		at := slices.IndexFunc(list, func(h held) bool { return h.ID == d.id })
		switch {
		case d.deleted && at >= 0:
			list = slices.Delete(list, at, at+1)
		case d.deleted:
		case at >= 0:
			list[at].value, list[at].Text, list[at].unread = d.value, d.written, nil
		default:
			r := StoredRecord{Kind: d.kind.Name, ID: d.id, Text: d.written, Position: nextPosition(list)}
			list = append(list, held{StoredRecord: r, value: d.value})
		}
		next.records[d.kind.Name] = list
	}
	next.book = next.join()
	return next
}

// nextPosition is behind the last record of a list.
func nextPosition(list []held) int {
	if len(list) == 0 {
		return 0
	}
	return list[len(list)-1].Position + 1
}

// shelf gives the stored book as a transaction sees it.
func (s *Service) shelf(ctx context.Context, tx Tx) (*shelf, error) {
	version, err := tx.Records().Version(ctx)
	if err != nil {
		return nil, err
	}
	if found, ok := s.memory.shelves.Peek(version); ok {
		return found, nil
	}
	records, err := tx.Records().Current(ctx)
	if err != nil {
		return nil, err
	}
	made := newShelf(version, records, s.memory.shelves.Newest())
	s.memory.shelves.Put(version, made)
	return made, nil
}

// current gives the stored book; NotFound if there is none.
func (s *Service) current(ctx context.Context) (*shelf, error) {
	if ctx.Value(ambient{}) == nil {
		version, err := s.store.BookVersion(ctx)
		if err != nil {
			return nil, answer.Unexpected(err)
		}
		if found, ok := s.memory.shelves.Peek(version); ok && !found.empty() {
			return found, nil
		}
	}
	var found *shelf
	err := s.view(ctx, func(tx Tx) (err error) {
		found, err = s.shelf(ctx, tx)
		return err
	})
	if err != nil {
		return nil, err
	}
	if found.empty() {
		return nil, answer.Errorf(answer.NotFound, "there is no book yet; import one")
	}
	return found, nil
}

func hashOf(written []byte) []byte {
	sum := sha256.Sum256(written)
	return sum[:]
}

func hexOf(hash []byte) string { return hex.EncodeToString(hash) }

// recordVersion names a revision by number and content.
func recordVersion(r StoredRecord) answer.Version {
	return answer.Version(fmt.Sprintf("%d-%s", r.Revision, hexOf(r.Hash)[:12]))
}

func headOf(r StoredRecord) RecordHead {
	return RecordHead{Kind: r.Kind, ID: r.ID, Name: r.Name, Revision: r.Revision, Version: recordVersion(r),
		ChangedAt: r.ChangedAt, ChangedBy: r.ChangedBy, Deleted: r.Deleted}
}
