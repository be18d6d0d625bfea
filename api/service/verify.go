package service

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"maps"
	"slices"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/service/promise"
	"kerfbook/costing/book/record"
)

// LogReport is what a check of the change log found.
type LogReport struct {
	Entries int64
	Head    string // hash of the last entry in hex; keep it elsewhere, and a log cut short shows
	Kept    int64  // the entry whose hash was kept elsewhere; 0 for none
	Faults  []LogFault
}

// LogFault is a row that is not what it was when it was written.
type LogFault struct {
	Seq     int64  `json:"seq,omitempty" doc:"Of the entry; absent for a row the log does not know"`
	Object  string `json:"object"` // the row
	Message string `json:"message"`
}

// VerifyLog checks the whole change log, and everything stored against it:
// revisions of records and their places, quotes and their counters, scenarios, tokens,
// sign-in links and sessions.
func (s *Service) VerifyLog(ctx context.Context) (LogReport, error) { return s.VerifyLogWith(ctx, "") }

// VerifyLogWith does the same, and wants the log to hold the entry of a head that
// was kept elsewhere.
func (s *Service) VerifyLogWith(ctx context.Context, kept string) (LogReport, error) {
	var v verification
	err := s.view(ctx, func(tx Tx) error {
		v = verification{entries: map[string]LogEntry{}, latest: map[string]int{}, access: map[string]LogEntry{}, patterns: promise.Patterns{}, visits: newVisits(), kept: map[string]LogEntry{}, head: kept}
		if err := tx.Log().Each(ctx, v.entry); err != nil {
			return err
		}
		if err := v.records(ctx, tx.Records()); err != nil {
			return err
		}
		if err := tx.Quotes().EachPattern(ctx, v.patterns.Add); err != nil {
			return err
		}
		if err := tx.Quotes().EachRevision(ctx, v.quote); err != nil {
			return err
		}
		v.missing()
		counted, err := tx.Quotes().Counted(ctx)
		if err != nil {
			return err
		}
		promise.Miscounted(counted, v.order, func(object, format string, args ...any) { v.fault(0, object, format, args...) })
		if err := v.signIns(ctx, tx.Access(), s.clock()); err != nil {
			return err
		}
		if err := v.scenarios(ctx, tx.Scenarios()); err != nil {
			return err
		}
		return v.tokens(ctx, tx.Access())
	})
	if err == nil && kept != "" && v.report.Kept == 0 {
		v.fault(0, "change log", "no entry has the fingerprint that was kept elsewhere: since then the log was cut short or written anew")
	}
	return v.report, err
}

// verification walks everything once.
type verification struct {
	report   LogReport
	last     LogEntry
	entries  map[string]LogEntry // by object, of content not seen yet
	order    []string            // objects of content, as logged
	access   map[string]LogEntry // latest entry by token and person
	latest   map[string]int      // revision by record, of those not deleted
	version  answer.Version      // of the book, after the last entry about it
	patterns promise.Patterns    // of quotes
	places   LogEntry            // says where records stand; none if its number is 0
	visits   visits
	kept     map[string]LogEntry // latest entry by scenario
	head     string              // kept elsewhere
}

func (v *verification) fault(seq int64, object, format string, args ...any) {
	v.report.Faults = append(v.report.Faults, LogFault{seq, object, fmt.Sprintf(format, args...)})
}

func (v *verification) entry(e LogEntry) error {
	prev := v.last.Hash
	if v.last.Seq == 0 {
		prev = make([]byte, sha256.Size)
	}
	object := fmt.Sprintf("change log entry %d", e.Seq)
	if e.Seq != v.last.Seq+1 {
		v.fault(e.Seq, object, "entry %d is missing before it", v.last.Seq+1)
	} else if !bytes.Equal(e.Prev, prev) {
		v.fault(e.Seq, object, "does not follow the entry before it")
	}
	if !bytes.Equal(e.Hash, chain(e.Prev, e.canonical())) {
		v.fault(e.Seq, object, "was changed after it was written")
	}
	v.last = e
	v.report.Entries++
	v.report.Head = hex.EncodeToString(e.Hash)
	if v.head != "" && v.head == v.report.Head {
		v.report.Kept = e.Seq
	}
	v.follow(e)
	return nil
}

// follow notes what an entry says of what is stored now.
func (v *verification) follow(e LogEntry) {
	v.visits.follow(e)
	if e.Object == bookObject || isRecordEntry(e.Object) {
		v.version = stepped(v.version, e)
	}
	switch { // a record that comes or goes is followed by an entry about places
	case e.Object == bookObject && e.After != "":
		v.places = e
	case e.Object == bookObject, isRecordEntry(e.Object) && (e.Before == "" || e.After == ""):
		v.places = LogEntry{}
	}
	if strings.HasPrefix(e.Object, "tokens/") || strings.HasPrefix(e.Object, personPrefix) {
		v.access[e.Object] = e
	}
	if strings.HasPrefix(e.Object, scenarioPrefix) {
		v.kept[e.Object] = e
	}
	if isRecordEntry(e.Object) || promise.IsEntry(e.Object) {
		v.entries[e.Object] = e
		v.order = append(v.order, e.Object)
	}
}

// bookObject is the book as a whole in the log, such as the order of its lists.
const bookObject = "book"

// isRecordEntry reports whether an entry is about a revision of a record.
func isRecordEntry(object string) bool {
	list, _, _ := strings.Cut(object, "/")
	_, known := record.KindOf(list)
	return known
}

func (v *verification) revision(r StoredRecord) error {
	object := recordObject(r)
	name := r.Kind + "/" + r.ID
	delete(v.latest, name)
	if !r.Deleted {
		v.latest[name] = r.Revision
	}
	e, ok := v.take(object)
	if !ok {
		return nil
	}
	content := StoredRecord{Kept: r.Kept, Hash: hashOf(r.Text)}
	switch {
	case contentHash(content) != e.After || !bytes.Equal(content.Hash, r.Hash):
		v.fault(e.Seq, object, "its text was changed after it was written")
	case !r.ChangedAt.Equal(e.At) || r.ChangedBy != e.Actor:
		v.fault(e.Seq, object, "who wrote it and when was changed")
	case !r.Deleted && !named(r):
		v.fault(e.Seq, object, "its name was changed after it was written")
	}
	return nil
}

// quote checks a revision of a quote against the log.
func (v *verification) quote(q promise.StoredQuote) error {
	if state, ok := v.entries[q.StateObject()]; ok {
		if q.StateHash() != state.After {
			v.fault(state.Seq, q.StateObject(), "its state was changed behind the log")
		}
		delete(v.entries, q.StateObject())
	}
	if e, ok := v.take(q.Object()); ok {
		if words := q.Altered(e.After, e.At, e.Actor, v.patterns); words != "" {
			v.fault(e.Seq, q.Object(), "%s", words)
		}
	}
	return nil
}

// records checks everything stored of the book.
func (v *verification) records(ctx context.Context, store RecordStore) error {
	if err := store.EachRevision(ctx, v.revision); err != nil {
		return err
	}
	current, err := store.Current(ctx)
	if err != nil {
		return err
	}
	v.heads(current)
	if v.places.Seq > 0 && v.places.After != orderHash(current) {
		v.fault(v.places.Seq, bookObject, "which records it has, or where they stand in their lists, was changed behind the log")
	}
	version, err := store.Version(ctx)
	if err == nil && version != v.version {
		v.fault(0, bookObject, "its version is not that of the last change logged")
	}
	return err
}

// named reports whether a record still has the name its text gives it. A text of
// an older form, which cannot be read any more, proves nothing.
func named(r StoredRecord) bool {
	k, err := change.KindOf(r.Kind)
	if err != nil {
		return true
	}
	value, _, err := k.Read(k.Plain(r.Text))
	return err != nil || k.Title(value) == r.Name
}

// take gives the entry about a row and crosses it off.
func (v *verification) take(object string) (LogEntry, bool) {
	e, ok := v.entries[object]
	if !ok {
		v.fault(0, object, "the change log does not know it")
	}
	delete(v.entries, object)
	return e, ok
}

// heads checks that the current records are the latest revisions.
func (v *verification) heads(current []StoredRecord) {
	for _, r := range current {
		name := r.Kind + "/" + r.ID
		if latest := v.latest[name]; latest != r.Revision {
			v.fault(0, recordObject(r), "is current, but the latest revision is %d", latest)
		}
		delete(v.latest, name)
	}
	for name, revision := range v.latest {
		v.fault(0, fmt.Sprintf("%s@%d", name, revision), "is the latest revision, but not current")
	}
}

// missing names rows that the log knows and that are gone.
func (v *verification) missing() {
	for _, object := range v.order {
		if e, ok := v.entries[object]; ok {
			v.fault(e.Seq, object, "is missing")
			delete(v.entries, object)
		}
	}
}

// tokens holds every token and person against the last entry about it.
func (v *verification) tokens(ctx context.Context, stored AccessStore) error {
	people, err := stored.People(ctx)
	if err != nil {
		return err
	}
	for _, p := range people {
		object := personPrefix + p.ID
		if e, ok := v.access[object]; !ok || e.After != p.content() {
			v.fault(e.Seq, object, "%s was changed behind the log", p.Name)
		}
		delete(v.access, object)
	}
	list, err := stored.Tokens(ctx)
	for _, t := range list {
		object := tokenObject(t.Token)
		e, ok := v.access[object]
		delete(v.access, object)
		switch {
		case !ok:
			v.fault(0, object, "the change log does not know it")
		case e.After == "" && e.Action == loggedOnly(t), e.After == t.content():
		default:
			v.fault(e.Seq, object, "was changed after it was written")
		}
	}
	for _, object := range slices.Sorted(maps.Keys(v.access)) {
		v.fault(v.access[object].Seq, object, "is missing")
	}
	return err
}

// loggedOnly is all that the entry about a token says that was written before
// entries had the hash of the token.
func loggedOnly(t StoredToken) string {
	if t.Revoked.IsZero() {
		return "create token (" + t.Scopes.String() + ")"
	}
	return "revoke token"
}
