package service

import (
	"context"
	"fmt"
	"strconv"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/costing/book/record"
	"kerfbook/costing/text"
)

// ChangesOf says which changes are asked for: those before one, of a person, of a record
// or quote such as parts/HS-010.
type ChangesOf struct {
	Before        int64
	Actor, Record string
	SignIns       bool // links and sessions too
	Told          int  // of how many records of a change the fields are told; 0 leaves out the records as well
}

// Change is what was done together, with what it did to records.
type Change struct {
	LogEntry // the first of it
	Records  []RecordChange
	Effect   *change.Effect // of a list: of the newest few, and of those that somebody opened
}

// effectsListed is of how many changes of a list the effect is worked out, each from two
// states of the book.
const effectsListed = 3

// RecordChange is what a change did to one record.
type RecordChange struct {
	Kind, ID string
	Revision int
	Did      string // added, changed, removed; words where it says the same in other words
	Fields   []text.FieldDifference
	Told     bool // Fields are those that differ; else nobody asked, or the texts cannot be read
}

// History lists changes, the newest first. more says whether there are earlier ones.
func (s *Service) History(ctx context.Context, of ChangesOf, limit int) (page []Change, more bool, err error) {
	limit = pageSize(limit)
	err = s.view(ctx, func(tx Tx) error {
		firsts, err := tx.Log().Page(ctx, of, limit+1)
		if more = len(firsts) > limit; more {
			firsts = firsts[:limit]
		}
		for _, e := range firsts {
			c := Change{LogEntry: e}
			if of.Told > 0 && err == nil {
				entries := []LogEntry{e}
				if e.Change != 0 {
					entries, err = tx.Log().Of(ctx, e.Change)
				}
				if err == nil {
					c.Records, err = recordChanges(ctx, tx, entries, of.Told)
				}
			}
			if known, ok := s.memory.effects.Peek(e.Seq); ok {
				c.Effect = &known
			}
			page = append(page, c)
		}
		return err
	})
	for i, listed := 0, 0; i < len(page) && listed < effectsListed && err == nil; i++ {
		if len(page[i].Records) > 0 {
			listed++
			page[i].Effect, err = s.effectOf(ctx, page[i].Seq)
		}
	}
	return page, more, err
}

// Actors lists everybody who did something.
func (s *Service) Actors(ctx context.Context) (names []string, err error) {
	err = s.view(ctx, func(tx Tx) error {
		names, err = tx.Log().Actors(ctx)
		return err
	})
	return names, err
}

// ChangeAt gives one change by the number of its first entry, with all fields that differ
// and its effect.
func (s *Service) ChangeAt(ctx context.Context, number int64) (out Change, err error) {
	err = s.view(ctx, func(tx Tx) error {
		entries, err := tx.Log().Of(ctx, number)
		if err != nil {
			return err
		}
		if len(entries) == 0 {
			return answer.Errorf(answer.NotFound, "there is no change %d", number)
		}
		out.LogEntry = entries[0]
		out.Records, err = recordChanges(ctx, tx, entries, len(entries))
		return err
	})
	if err != nil || len(out.Records) == 0 {
		return out, err
	}
	out.Effect, err = s.effectOf(ctx, number)
	return out, err
}

// effectOf is worked out when a change is listed or opened, and kept: saving waits for no
// figure, and nothing is stored that follows from what is.
func (s *Service) effectOf(ctx context.Context, number int64) (*change.Effect, error) {
	out, err := s.memory.effects.Get(ctx, number, func() (out change.Effect, err error) {
		var entries []LogEntry
		var before, after *change.Shelf
		err = s.view(ctx, func(tx Tx) error {
			held, err := s.shelf(ctx, tx)
			if err == nil {
				entries, err = tx.Log().Of(ctx, number)
			}
			if err == nil {
				before, err = stateAt(ctx, tx, held, entries[0].Seq-1)
			}
			if err == nil {
				after, err = stateAt(ctx, tx, held, entries[len(entries)-1].Seq)
			}
			return err
		})
		if err != nil {
			return out, err
		}
		return change.EffectOf(ctx, s.originThen(before), s.originThen(after), after.Book.TimeZone.Day(entries[0].At))
	})
	return &out, err
}

// revisionIn reads what an entry about a record names: parts/HS-010@3.
func revisionIn(e LogEntry) (kind, id string, revision int, ok bool) {
	kind, rest, _ := strings.Cut(e.Object, "/")
	at := strings.LastIndexByte(rest, '@')
	if !isRecordEntry(e.Object) || at < 0 {
		return "", "", 0, false
	}
	revision, err := strconv.Atoi(rest[at+1:])
	return kind, rest[:at], revision, err == nil
}

// recordChanges tells what entries did to records, with the fields of the first few.
func recordChanges(ctx context.Context, tx Tx, entries []LogEntry, told int) (out []RecordChange, err error) {
	for _, e := range entries {
		kind, id, revision, ok := revisionIn(e)
		if !ok {
			continue
		}
		c := RecordChange{Kind: kind, ID: id, Revision: revision, Did: "changed"}
		switch {
		case e.After == "":
			c.Did = "removed"
		case e.Before == "":
			c.Did = "added"
		case e.Action == wordsAction:
			c.Did = "words"
		}
		if len(out) < told && c.Did != "words" {
			if c.Fields, c.Told, err = fieldsBetween(ctx, tx, kind, id, revision-1, revision); err != nil {
				return nil, err
			}
		}
		out = append(out, c)
	}
	return out, nil
}

// fieldsBetween tells what differs between two revisions of a record; a revision that is
// not there says nothing. told is false where a text cannot be read.
func fieldsBetween(ctx context.Context, tx Tx, kind, id string, before, after int) (out []text.FieldDifference, told bool, err error) {
	k, err := change.KindOf(kind)
	if err != nil {
		return nil, false, err
	}
	var texts [2][]byte
	for i, revision := range []int{before, after} {
		if revision == 0 {
			continue
		}
		r, err := tx.Records().Get(ctx, kind, id, revision)
		if err != nil {
			return nil, false, err
		}
		texts[i] = r.Text
	}
	out, err = change.FieldsBetween(k, texts[0], texts[1])
	return out, err == nil, nil
}

// Fields tells what a revision of a record says that another does not.
func (s *Service) Fields(ctx context.Context, kind, id string, before, after int) (out []text.FieldDifference, told bool, err error) {
	err = s.view(ctx, func(tx Tx) error {
		out, told, err = fieldsBetween(ctx, tx, kind, id, before, after)
		return err
	})
	return out, told, err
}

// stateAt is the book as it was after an entry of the log: as it is, with what was changed
// since put back. Records that were removed since stand at the end of their lists.
func stateAt(ctx context.Context, tx Tx, held *change.Shelf, seq int64) (*change.Shelf, error) {
	since, err := tx.Log().After(ctx, seq)
	if err != nil {
		return nil, err
	}
	then := map[string]StoredRecord{} // by record; without a text where there was none
	var gone []record.Kept
	for _, e := range since {
		kind, id, revision, ok := revisionIn(e)
		if _, seen := then[kind+"/"+id]; seen || !ok {
			continue
		}
		was := StoredRecord{Kept: record.Kept{Deleted: true}}
		if revision > 1 {
			if was, err = tx.Records().Get(ctx, kind, id, revision-1); err != nil {
				return nil, err
			}
		}
		then[kind+"/"+id] = was
		if _, stands := held.Find(kind, id); !stands && !was.Deleted {
			gone = append(gone, was.Kept)
		}
	}
	if len(then) == 0 {
		return held, nil
	}
	var out []record.Kept
	for _, k := range record.Kinds() {
		for _, r := range held.Records[k.Name] {
			was, changed := then[k.Name+"/"+r.ID]
			switch {
			case !changed:
				out = append(out, r.Kept)
			case !was.Deleted:
				out = append(out, was.Kept)
			}
		}
	}
	return change.NewShelf("", append(out, gone...), held), nil
}

// originThen asks a state of the book, from memory if it is the one that is stored.
func (s *Service) originThen(state *change.Shelf) answer.Origin {
	if state.Version == "" {
		return answer.Of(state.Book)
	}
	return s.originOf(state).Origin
}

// LastChange is the number of the last change of the book that somebody made since it had
// a version; 0 for none.
func (s *Service) LastChange(ctx context.Context, a Actor, since answer.Version) (number int64, err error) {
	if v, err := s.store.BookVersion(ctx); err != nil || v == since {
		return 0, answer.Unexpected(err)
	}
	err = s.view(ctx, func(tx Tx) error {
		last, err := tx.Log().Page(ctx, ChangesOf{Actor: a.Name}, 1)
		if len(last) > 0 && isRecordEntry(last[0].Object) {
			number = last[0].Seq
		}
		return err
	})
	return number, err
}

// Undo puts back what records said before a change, as a change of its own. It is refused
// where one of them has been changed since.
func (s *Service) Undo(ctx context.Context, a Actor, number int64) (out SaveResult, err error) {
	if err := a.need(Write); err != nil {
		return out, err
	}
	err = s.Update(ctx, func(tx Tx) error {
		entries, err := tx.Log().Of(ctx, number)
		if err != nil {
			return err
		}
		drafts, err := undoing(ctx, tx, entries)
		if err == nil && len(drafts) == 0 {
			err = answer.Errorf(answer.NotFound, "change %d changed no record; there is nothing to undo", number)
		}
		if err == nil {
			out, err = s.saveAs(ctx, tx, a, "undo", drafts)
		}
		return err
	})
	return out, err
}

// undoing puts back what records said before entries.
func undoing(ctx context.Context, tx Tx, entries []LogEntry) (drafts []change.Draft, err error) {
	moved := answer.Errorf(answer.Conflict, "it cannot be undone: what it changed was changed again since, and nothing was done; the revisions of each record can be opened and restored")
	for _, e := range entries {
		kind, id, revision, ok := revisionIn(e)
		if !ok {
			continue
		}
		now, err := tx.Records().Get(ctx, kind, id, 0)
		if err != nil {
			return nil, err
		}
		if now.Revision != revision {
			moved.Fields = append(moved.Fields, answer.FieldError{Path: kind + "/" + id,
				Message: fmt.Sprintf("%s saved revision %d at %s", now.ChangedBy, now.Revision, now.ChangedAt.UTC().Format("2006-01-02 15:04 UTC"))})
			continue
		}
		was := StoredRecord{Kept: record.Kept{Deleted: true}}
		if revision > 1 {
			if was, err = tx.Records().Get(ctx, kind, id, revision-1); err != nil {
				return nil, err
			}
		}
		d, err := put(kind, id, was, now)
		if err != nil {
			return nil, err
		}
		drafts = append(drafts, d)
	}
	if len(moved.Fields) > 0 {
		return nil, moved
	}
	return drafts, nil
}

// put is the draft that makes a record say again what it said.
func put(kind, id string, was, now StoredRecord) (change.Draft, error) {
	version := now.version()
	if was.Deleted {
		return change.ReadRemoval(kind, id, version)
	}
	if now.Deleted {
		version = ""
	}
	k, err := change.KindOf(kind)
	if err != nil {
		return change.Draft{}, err
	}
	return change.ReadRecord(kind, id, k.Plain(was.Text), version)
}
