package service

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"kerfbook/api/answer"
	"kerfbook/costing/text"
)

// LogEntry is one entry of the change log. Hash covers the entry and, through
// Prev, all before it.
type LogEntry struct {
	Seq           int64
	At            time.Time
	Actor         string
	Action        string // put, delete, import, issue, …
	Object        string // parts/EMB-010@3, quotes/Q-2026-0001@1, tokens/…
	Before, After string // SHA-256 of the content in hex, empty for none
	// Change is the number of the first entry of those made together, with the Reason
	// given; entries from before there were changes have neither.
	Change     int64
	Reason     string
	Prev, Hash []byte
}

// clock is the time as it is stored: to the microsecond, UTC.
func (s *Service) clock() time.Time { return s.now().UTC().Truncate(time.Microsecond) }

// log appends an entry to the change log.
func (s *Service) log(ctx context.Context, tx Tx, a Actor, action, object, before, after string) (LogEntry, error) {
	return s.logAt(ctx, tx, s.clock(), a, action, object, before, after)
}

// logAt does the same with the time that the row it is about has.
func (s *Service) logAt(ctx context.Context, tx Tx, at time.Time, a Actor, action, object, before, after string) (LogEntry, error) {
	head, err := tx.Log().Head(ctx)
	switch {
	case answer.CodeOf(err) == answer.NotFound:
		head = LogEntry{Hash: make([]byte, sha256.Size)}
	case err != nil:
		return LogEntry{}, err
	}
	if err := plainReason(a.Reason); err != nil {
		return LogEntry{}, err
	}
	e := LogEntry{Seq: head.Seq + 1, At: at, Actor: a.Name, Action: action, Object: object,
		Before: before, After: after, Change: cmp.Or(a.change, head.Seq+1), Reason: a.Reason, Prev: head.Hash}
	e.Hash = chain(e.Prev, e.canonical())
	return e, tx.Log().Append(ctx, e)
}

// chain gives the hash of an entry behind another.
func chain(prev, canonical []byte) []byte {
	h := sha256.New()
	h.Write(prev)
	h.Write(canonical)
	return h.Sum(nil)
}

// canonical writes an entry as canonical JSON (RFC 8785): names in order, no
// spaces, the time in microseconds since 1970 UTC. An entry from before there were
// changes keeps the form it was written in.
func (e LogEntry) canonical() []byte {
	if e.Change != 0 || e.Reason != "" {
		return fmt.Appendf(nil, `{"action":%s,"actor":%s,"after":%s,"at":%d,"before":%s,"change":%d,"object":%s,"reason":%s,"seq":%d}`,
			text.Canonical(e.Action), text.Canonical(e.Actor), text.Canonical(e.After), e.At.UnixMicro(),
			text.Canonical(e.Before), e.Change, text.Canonical(e.Object), text.Canonical(e.Reason), e.Seq)
	}
	return fmt.Appendf(nil, `{"action":%s,"actor":%s,"after":%s,"at":%d,"before":%s,"object":%s,"seq":%d}`,
		text.Canonical(e.Action), text.Canonical(e.Actor), text.Canonical(e.After), e.At.UnixMicro(),
		text.Canonical(e.Before), text.Canonical(e.Object), e.Seq)
}

// plainName refuses names that could not be shown, logged or stored as they are.
func plainName(what, name string) error {
	const most = 80
	ok := name != "" && len(name) <= most && utf8.ValidString(name) && strings.TrimSpace(name) == name
	ok = ok && !strings.ContainsFunc(name, unseen)
	if !ok {
		return answer.Invalidf("%s must be a name of 1 to %d bytes without control or invisible characters", what, most)
	}
	return nil
}

// plainReason refuses a reason that is not one line that can be read.
func plainReason(reason string) error {
	const most = 300
	if len(reason) > most || !utf8.ValidString(reason) || strings.ContainsFunc(reason, unseen) {
		return answer.Invalidf("the reason must be one line of at most %d bytes without control or invisible characters", most)
	}
	return nil
}

// unseen finds characters that leave no mark, so that two names that look the same
// are the same: controls, formats such as joiners and marks of direction, fillers
// that are drawn as nothing, and spaces but the ordinary one.
func unseen(r rune) bool {
	return unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp, unicode.Other_Default_Ignorable_Code_Point, unicode.Variation_Selector) ||
		unicode.IsSpace(r) && r != ' ' || r == '\u2800' || r == utf8.RuneError
}

// wordsAction is logged of a revision that says what the one before it says, with other
// comments, blanks or order of fields.
const wordsAction = "words"

// stepped names the state of the book that a change left behind. Figures are the same
// after one of words: that only adds to the name.
func stepped(before answer.Version, e LogEntry) answer.Version {
	if e.Action == wordsAction {
		return before.Figures() + "." + answer.Version(hex.EncodeToString(e.Hash)[:8])
	}
	return answer.Version(hex.EncodeToString(e.Hash)[:24])
}

// Ready reports whether requests can be served.
func (s *Service) Ready(ctx context.Context) error { return answer.Unexpected(s.store.Ready(ctx)) }
