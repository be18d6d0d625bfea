package service

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/record"
	"kerfbook/costing/text"
)

// Records lists the records of a kind in the order of their ids, after an id;
// next is empty on the last page.
func (s *Service) Records(ctx context.Context, kind, after string, limit int) (page []RecordHead, next string, err error) {
	if _, err := change.KindOf(kind); err != nil {
		return nil, "", err
	}
	limit = pageSize(limit)
	page = []RecordHead{}
	err = s.view(ctx, func(tx Tx) error {
		list, err := tx.Records().Page(ctx, kind, after, limit+1)
		if len(list) > limit {
			list = list[:limit]
			next = list[limit-1].ID
		}
		for _, r := range list {
			page = append(page, headOf(r))
		}
		return err
	})
	return page, next, err
}

// pageSize keeps a page between one row and a few hundred.
func pageSize(limit int) int {
	const most = 500
	if limit <= 0 {
		return 50
	}
	return min(limit, most)
}

// Record gives a revision of a record, 0 for the current one; a record that is
// deleted has only its revisions left.
func (s *Service) Record(ctx context.Context, kind, id string, revision int) (Record, error) {
	k, err := change.KindOf(kind)
	if err != nil {
		return Record{}, err
	}
	var found change.StoredRecord
	err = s.view(ctx, func(tx Tx) error {
		found, err = tx.Records().Get(ctx, kind, id, revision)
		return err
	})
	if err != nil {
		return Record{}, err
	}
	if found.Deleted && revision == 0 {
		return Record{}, answer.Errorf(answer.NotFound, "record %s %s was deleted", kind, bom.Shorten(id))
	}
	return recordOf(k, found), nil
}

// recordOf gives a stored revision with its content as JSON.
func recordOf(k record.Kind, r change.StoredRecord) Record {
	out := Record{RecordHead: headOf(r)}
	if r.Deleted {
		return out
	}
	out.Text = r.Text
	value, _, err := k.Read(r.Text)
	if err != nil {
		out.Unread = change.UnreadFields(err)
		return out
	}
	out.JSON = record.JSON(value)
	return out
}

// Revisions lists the revisions of a record, the newest first.
func (s *Service) Revisions(ctx context.Context, kind, id string) ([]RecordHead, error) {
	if _, err := change.KindOf(kind); err != nil {
		return nil, err
	}
	var out []RecordHead
	err := s.view(ctx, func(tx Tx) error {
		list, err := tx.Records().Revisions(ctx, kind, id)
		for _, r := range list {
			out = append(out, headOf(r))
		}
		return err
	})
	if err == nil && len(out) == 0 {
		err = answer.Errorf(answer.NotFound, "there is no record %s %s", kind, bom.Shorten(id))
	}
	return out, err
}

// PutRecord creates a record, or makes its next revision; one that says the same
// as the current revision makes none. body is YAML or JSON, ifMatch the version of
// the record that is changed, empty for a new one.
func (s *Service) PutRecord(ctx context.Context, a Actor, kind, id string, body []byte, ifMatch answer.Version) (Record, error) {
	if err := a.need(Write); err != nil {
		return Record{}, err
	}
	k, err := change.KindOf(kind)
	if err != nil {
		return Record{}, err
	}
	d, err := draftOf(k, id, body)
	if err != nil {
		return Record{}, err
	}
	var out Record
	err = s.update(ctx, func(tx Tx) error {
		held, err := s.shelf(ctx, tx)
		if err != nil {
			return err
		}
		if err := matches(held, kind, id, ifMatch); err != nil {
			return err
		}
		if err := s.change(ctx, tx, a, "put", held, []change.Draft{d}); err != nil {
			return err
		}
		stored, err := tx.Records().Get(ctx, kind, id, 0)
		if err != nil {
			return err
		}
		out = recordOf(k, stored)
		return nil
	})
	return out, err
}

// draftOf reads what was sent as a record with an id.
func draftOf(k record.Kind, id string, body []byte) (change.Draft, error) {
	value, places, err := k.Read(body)
	if err != nil {
		return change.Draft{}, change.Malformed("the record", err)
	}
	if ids, field := k.Identify(value); !slices.Contains(ids, id) {
		at := places.Of(field)
		return change.Draft{}, &answer.Error{Code: answer.Invalid, Message: "the record has another id than its address", Fields: []answer.FieldError{{
			Path: field, Pointer: text.Pointer(field), Line: at.Line, Column: at.Column, Message: fmt.Sprintf("this makes it %s, not %s", strings.Join(ids, " or "), bom.Shorten(id))}}}
	}
	d, err := change.NewDraft(k, id, value, places)
	return d, answer.Unexpected(err)
}

// DeleteRecord makes a revision that says the record is no more.
func (s *Service) DeleteRecord(ctx context.Context, a Actor, kind, id string, ifMatch answer.Version) error {
	if err := a.need(Write); err != nil {
		return err
	}
	k, err := change.KindOf(kind)
	if err != nil {
		return err
	}
	if k.Name == record.ShopKind {
		return answer.Invalidf("the shop itself cannot be deleted")
	}
	return s.update(ctx, func(tx Tx) error {
		held, err := s.shelf(ctx, tx)
		if err != nil {
			return err
		}
		if _, ok := held.Find(kind, id); !ok {
			return answer.Errorf(answer.NotFound, "there is no record %s %s", kind, bom.Shorten(id))
		}
		if err := matches(held, kind, id, ifMatch); err != nil {
			return err
		}
		return s.change(ctx, tx, a, "delete", held, []change.Draft{{Kind: k, ID: id, Deleted: true}})
	})
}

// matches holds the version a change names against the record as it is.
func matches(s *change.Shelf, kind, id string, ifMatch answer.Version) error {
	found, ok := s.Find(kind, id)
	switch {
	case !ok && ifMatch == "":
		return nil
	case !ok:
		return answer.Errorf(answer.Conflict, "there is no record %s %s any more", kind, bom.Shorten(id))
	}
	return matching("record "+kind+" "+id, change.RecordVersion(found.StoredRecord), ifMatch)
}

// matching holds the version a change names against that of what is there.
func matching(what string, version, ifMatch answer.Version) error {
	switch ifMatch {
	case "":
		return answer.Errorf(answer.VersionMissing, "%s exists; say which version of it you change", what)
	case answer.AnyVersion, version:
		return nil
	}
	return answer.Errorf(answer.Conflict, "%s has changed meanwhile; its version is now %s", what, version)
}

// change checks drafts against the whole book and writes them as next revisions.
func (s *Service) change(ctx context.Context, tx Tx, a Actor, action string, held *change.Shelf, drafts []change.Draft) error {
	drafts = slices.DeleteFunc(slices.Clone(drafts), func(d change.Draft) bool { return has(held, d) })
	if len(drafts) == 0 {
		return nil
	}
	if held.Empty() {
		return answer.Errorf(answer.NotFound, "there is no book yet; import one")
	}
	next := held.With(drafts)
	if err := held.Check(drafts, next); err != nil {
		return err
	}
	if err := fits(next); err != nil {
		return err
	}
	var last LogEntry
	moved := false // the places of records
	for _, d := range drafts {
		var err error
		if last, err = s.append(ctx, tx, a, action, d, position(next, d)); err != nil {
			return err
		}
		_, before := held.Find(d.Kind.Name, d.ID)
		moved = moved || d.Deleted || !before
	}
	if moved {
		var err error
		if last, err = s.logOrder(ctx, tx, a); err != nil {
			return err
		}
	}
	return tx.Records().SetVersion(ctx, bookVersion(last))
}

// logOrder logs which records the book has and where each stands in its list.
func (s *Service) logOrder(ctx context.Context, tx Tx, a Actor) (LogEntry, error) {
	current, err := tx.Records().Current(ctx)
	if err != nil {
		return LogEntry{}, err
	}
	return s.log(ctx, tx, a, "order", bookObject, "", orderHash(current))
}

// orderHash covers the places of records, which are listed by kind and place.
func orderHash(current []change.StoredRecord) string {
	var out []byte
	for _, r := range current {
		out = fmt.Appendf(out, "%q %q %d\n", r.Kind, r.ID, r.Position)
	}
	return change.HexOf(hashOf(out))
}

// has reports whether a draft says what the record says already.
func has(s *change.Shelf, d change.Draft) bool {
	found, ok := s.Find(d.Kind.Name, d.ID)
	if d.Deleted || !ok {
		return d.Deleted && !ok
	}
	return string(found.Text) == string(d.Written)
}

// position is where a record stands in its list; 0 for one that is deleted.
func position(s *change.Shelf, d change.Draft) int {
	found, _ := s.Find(d.Kind.Name, d.ID)
	return found.Position
}

// fits refuses a book that could be exported but not imported again. Only one
// that comes near the limits is written out to see.
func fits(s *change.Shelf) error {
	size := 0
	for _, list := range s.Records {
		for _, h := range list {
			size += len(h.Text)
		}
	}
	if size < text.MaxBytes/8 {
		return nil
	}
	written, err := s.Book.Write()
	if err != nil {
		return answer.Unexpected(err)
	}
	// What else could be wrong with it has been checked.
	if _, _, err := book.Parse(written); err != nil {
		return answer.Errorf(answer.TooLarge, "the book as a whole would be larger than can be read back")
	}
	return nil
}

// append writes the next revision of a record and logs it.
func (s *Service) append(ctx context.Context, tx Tx, a Actor, action string, d change.Draft, position int) (LogEntry, error) {
	before, err := tx.Records().Get(ctx, d.Kind.Name, d.ID, 0)
	if err != nil && answer.CodeOf(err) != answer.NotFound {
		return LogEntry{}, err
	}
	next := change.StoredRecord{
		Kind: d.Kind.Name, ID: d.ID, Revision: before.Revision + 1, Position: position,
		Text: d.Written, Hash: hashOf(d.Written), Deleted: d.Deleted, ChangedAt: s.clock(), ChangedBy: a.Name,
	}
	if !d.Deleted {
		next.Name = d.Kind.Title(d.Value)
	}
	if err := tx.Records().Append(ctx, next); err != nil {
		return LogEntry{}, err
	}
	return s.logAt(ctx, tx, next.ChangedAt, a, action, recordObject(next), contentHash(before), contentHash(next))
}

// recordObject names a revision in the log.
func recordObject(r change.StoredRecord) string {
	return fmt.Sprintf("%s/%s@%d", r.Kind, r.ID, r.Revision)
}

// contentHash is the hash of a revision's text in hex, empty where there is none.
func contentHash(r change.StoredRecord) string {
	if r.Revision == 0 || r.Deleted {
		return ""
	}
	return change.HexOf(r.Hash)
}
