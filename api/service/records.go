package service

import (
	"context"
	"encoding/hex"
	"fmt"

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
	var found StoredRecord
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
func recordOf(k record.Kind, r StoredRecord) Record {
	out := Record{RecordHead: headOf(r)}
	if r.Deleted {
		return out
	}
	out.Text = k.Plain(r.Text)
	value, _, err := k.Read(out.Text)
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

// SaveResult says what a change of records did.
type SaveResult struct {
	Version answer.Version // of the book
	Records []Record       // as they are now, in the order of the change
	// Lacking is what the change leaves without what it refers to or needs; no
	// figure that rests on it is given.
	Lacking []answer.FieldError
}

// PutRecord creates a record, or makes its next revision; one that says the same
// as the current revision makes none. body is YAML or JSON, ifMatch the version of
// the record that is changed, empty for a new one.
func (s *Service) PutRecord(ctx context.Context, a Actor, kind, id string, body []byte, ifMatch answer.Version) (Record, error) {
	if err := a.need(Write); err != nil {
		return Record{}, err
	}
	d, err := change.ReadRecord(kind, id, body, ifMatch)
	if err != nil {
		return Record{}, err
	}
	saved, err := s.Save(ctx, a, []change.Draft{d})
	if err != nil {
		return Record{}, err
	}
	out := saved.Records[0]
	out.Lacking = saved.Lacking
	return out, nil
}

// DeleteRecord makes a revision that says the record is no more, and says what still
// refers to it.
func (s *Service) DeleteRecord(ctx context.Context, a Actor, kind, id string, ifMatch answer.Version) (lacking []answer.FieldError, err error) {
	if err := a.need(Write); err != nil {
		return nil, err
	}
	d, err := change.ReadRemoval(kind, id, ifMatch)
	if err != nil {
		return nil, err
	}
	saved, err := s.Save(ctx, a, []change.Draft{d})
	return saved.Lacking, err
}

// Save puts and removes records in one change: all of it or nothing.
func (s *Service) Save(ctx context.Context, a Actor, drafts []change.Draft) (out SaveResult, err error) {
	err = s.Update(ctx, func(tx Tx) error {
		out, err = s.SaveIn(ctx, tx, a, drafts)
		return err
	})
	return out, err
}

// SaveIn does it in a transaction under way.
func (s *Service) SaveIn(ctx context.Context, tx Tx, a Actor, drafts []change.Draft) (SaveResult, error) {
	return s.saveAs(ctx, tx, a, "put", drafts)
}

func (s *Service) saveAs(ctx context.Context, tx Tx, a Actor, action string, drafts []change.Draft) (out SaveResult, err error) {
	if err := a.need(Write); err != nil {
		return out, err
	}
	held, err := s.shelf(ctx, tx)
	if err != nil {
		return out, err
	}
	next, lacking, err := after(held, drafts)
	if err != nil {
		return out, err
	}
	done, err := s.write(ctx, tx, a, action, held, next)
	if err != nil {
		return out, err
	}
	out.Version, out.Lacking = done.Version, lacking
	for _, d := range drafts {
		stored, err := tx.Records().Get(ctx, d.Kind.Name, d.ID, 0)
		if err != nil {
			return out, err
		}
		out.Records = append(out.Records, recordOf(d.Kind, stored))
	}
	return out, nil
}

// Preview says what Save would leave lacking, or why it would refuse. Nothing is
// written.
func (s *Service) Preview(ctx context.Context, drafts []change.Draft) (lacking []answer.FieldError, err error) {
	_, _, lacking, err = s.After(ctx, drafts)
	return lacking, err
}

// After gives the book as it is and as it would be after drafts, to be asked about, and what
// they would leave lacking. Nothing is written.
func (s *Service) After(ctx context.Context, drafts []change.Draft) (now, next answer.Origin, lacking []answer.FieldError, err error) {
	err = s.view(ctx, func(tx Tx) error {
		held, err := s.shelf(ctx, tx)
		if err != nil {
			return err
		}
		changed, found, err := after(held, drafts)
		if err == nil {
			now, next, lacking = s.originOf(held).Origin, answer.Of(changed.Book), found
		}
		return err
	})
	return now, next, lacking, err
}

// after gives the book after drafts of the versions they name.
func after(held *change.Shelf, drafts []change.Draft) (next *change.Shelf, lacking []answer.FieldError, err error) {
	if err := held.Matches(drafts); err != nil {
		return nil, nil, err
	}
	if next, lacking, err = held.After(drafts); err != nil {
		return nil, nil, err
	}
	if _, begun := next.Find(record.ShopKind, record.ShopKind); !begun && !next.Empty() {
		if held.Empty() {
			return nil, nil, answer.Errorf(answer.NotFound, "there is no book yet: begin with the shop, its name, country and currency, or import a book")
		}
		return nil, nil, answer.Invalidf("the shop itself is removed last, when the book holds nothing else")
	}
	return next, lacking, nil
}

// write stores the difference between two states of the book as next revisions. A
// change of order alone is logged too, as every version is that of an entry of the
// log.
func (s *Service) write(ctx context.Context, tx Tx, a Actor, action string, held, next *change.Shelf) (out Count, err error) {
	out.Version = held.Version
	if err := fits(next); err != nil {
		return out, err
	}
	moved := false // the places of records
	log := func(action string, r record.Kept) error {
		e, err := s.append(ctx, tx, a, action, r)
		if err == nil {
			a.change = e.Change
			out.Version = stepped(out.Version, e)
		}
		return err
	}
	for _, k := range record.Kinds() {
		known := held.ByID(k.Name)
		for _, r := range next.Records[k.Name] {
			before, there := known[r.ID]
			switch {
			case there && string(before.Text) == string(r.Text):
				out.Unchanged++
				if before.Position != r.Position {
					moved, err = true, tx.Records().Place(ctx, k.Name, r.ID, r.Position)
				}
			case there && before.Same(r):
				out.Changed++
				err = log(wordsAction, r.Kept)
			case there:
				out.Changed++
				err = log(action, r.Kept)
			default:
				out.Created++
				err = log(action, r.Kept)
			}
			if err != nil {
				return out, err
			}
		}
	}
	removal := action
	if action == "put" {
		removal = "delete"
	}
	for _, k := range record.Kinds() {
		stays := next.ByID(k.Name)
		for _, r := range held.Records[k.Name] {
			if _, there := stays[r.ID]; there {
				continue
			}
			out.Deleted++
			if err = log(removal, record.Kept{Kind: k.Name, ID: r.ID, Deleted: true}); err != nil {
				return out, err
			}
		}
	}
	if moved || out.Created > 0 || out.Deleted > 0 {
		last, err := s.logOrder(ctx, tx, a)
		if err != nil {
			return out, err
		}
		out.Version = stepped(out.Version, last)
	}
	if out.Version == held.Version {
		return out, nil
	}
	return out, tx.Records().SetVersion(ctx, out.Version)
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
func orderHash(current []StoredRecord) string {
	var out []byte
	for _, r := range current {
		out = fmt.Appendf(out, "%q %q %d\n", r.Kind, r.ID, r.Position)
	}
	return hex.EncodeToString(hashOf(out))
}

// fits refuses a book that could be exported but not imported again. Only one
// that comes near the limits is written out to see.
func fits(s *change.Shelf) error {
	size, marks := 0, 0
	for _, list := range s.Records {
		for _, h := range list {
			size, marks = size+len(h.Text), marks+text.Marks(h.Text)
		}
	}
	const indent = 16 // more than a line of a record is moved to the right in a book
	if size+indent*marks < text.MaxBytes && 2*marks < text.MaxMarks {
		return nil
	}
	written, err := s.Text()
	if err != nil {
		return answer.Unexpected(err)
	}
	// What else could be wrong with it has been checked.
	if _, _, err := book.Parse(written); err != nil {
		return answer.Errorf(answer.TooLarge, "the book as a whole would be larger than can be read back; take out the parts, offers and prices that are used no more")
	}
	return nil
}

// append writes a record as its next revision and logs it.
func (s *Service) append(ctx context.Context, tx Tx, a Actor, action string, kept record.Kept) (LogEntry, error) {
	before, err := tx.Records().Get(ctx, kept.Kind, kept.ID, 0)
	if err != nil && answer.CodeOf(err) != answer.NotFound {
		return LogEntry{}, err
	}
	kept.Revision = before.Revision + 1
	next := StoredRecord{Kept: kept, Hash: hashOf(kept.Text), ChangedAt: s.clock(), ChangedBy: a.Name}
	if err := tx.Records().Append(ctx, next); err != nil {
		return LogEntry{}, err
	}
	return s.logAt(ctx, tx, next.ChangedAt, a, action, recordObject(next), contentHash(before), contentHash(next))
}

// recordObject names a revision in the log.
func recordObject(r StoredRecord) string {
	return fmt.Sprintf("%s/%s@%d", r.Kind, r.ID, r.Revision)
}

// contentHash is the hash of a revision's text in hex, empty where there is none.
func contentHash(r StoredRecord) string {
	if r.Revision == 0 || r.Deleted {
		return ""
	}
	return hex.EncodeToString(r.Hash)
}
