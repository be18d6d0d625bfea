package change

import (
	"fmt"
	"slices"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/book/field"
	"kerfbook/costing/book/record"
	"kerfbook/costing/text"
)

// ReadRecord reads what was sent as a record with an id; an empty id stands for the
// one it has.
func ReadRecord(kind, id string, body []byte, ifMatch answer.Version) (Draft, error) {
	k, err := KindOf(kind)
	if err != nil {
		return Draft{}, err
	}
	value, places, err := k.Read(body, field.Hints{})
	if err != nil {
		return Draft{}, Malformed("the record", err)
	}
	ids, field := k.Identify(value)
	if id == "" {
		id = ids[0]
	}
	if !slices.Contains(ids, id) {
		at := places.Of(field)
		return Draft{}, &answer.Error{Code: answer.Invalid, Message: "the record has another id than its address", Fields: []answer.FieldError{{
			Path: field, Pointer: text.Pointer(field), Line: at.Line, Column: at.Column, Message: fmt.Sprintf("this makes it %s, not %s", strings.Join(ids, " or "), bom.Shorten(id))}}}
	}
	d, err := NewDraft(k, id, value, places)
	if written, ok := text.ByHand(body); ok {
		d.Written, d.byValue = written, false
	}
	d.IfMatch = ifMatch
	return d, answer.Unexpected(err)
}

// ReadRemoval reads that a record is to be no more.
func ReadRemoval(kind, id string, ifMatch answer.Version) (Draft, error) {
	k, err := KindOf(kind)
	return Draft{Kind: k, ID: id, Deleted: true, IfMatch: ifMatch}, err
}

// ReadSet reads several records, and ids of others that are to be removed, from one
// text. Faults have their place in it.
func ReadSet(body []byte) ([]Draft, error) {
	sent, places, err := record.ReadSeveral(body, field.Hints{})
	if err != nil {
		return nil, Malformed("the change", err)
	}
	var out []Draft
	for _, s := range sent {
		d := Draft{Kind: s.Kind, ID: s.ID, Deleted: s.Removed}
		if !s.Removed {
			if d, err = NewDraft(s.Kind, s.ID, s.Value, places); err != nil {
				return nil, answer.Unexpected(err)
			}
		}
		d.root, d.IfMatch, d.places = s.Path, answer.Version(s.Version), places
		out = append(out, d)
	}
	return out, nil
}

// Matches holds the versions that drafts name against the records as they are. One
// draft is refused with its reason; of several each is named.
func (s *Shelf) Matches(drafts []Draft) error {
	var refused []*answer.Error
	var fields []answer.FieldError
	for _, d := range drafts {
		if err := s.matches(d); err != nil {
			at := d.places.Of(d.root)
			refused = append(refused, err)
			fields = append(fields, answer.FieldError{Path: d.root, Pointer: text.Pointer(d.root), Line: at.Line, Column: at.Column, Message: err.Message})
		}
	}
	switch {
	case len(refused) == 0:
		return nil
	case len(drafts) == 1 && drafts[0].root == "":
		return refused[0]
	}
	return &answer.Error{Code: refused[0].Code, Message: "some records are not as the change takes them to be; nothing was written", Fields: fields}
}

func (s *Shelf) matches(d Draft) *answer.Error {
	found, ok := s.Find(d.Kind.Name, d.ID)
	switch {
	case !ok && d.Deleted:
		return answer.Errorf(answer.NotFound, "there is no record %s %s", d.Kind.Name, bom.Shorten(d.ID))
	case !ok && d.IfMatch == "":
		return nil
	case !ok:
		return answer.Errorf(answer.Conflict, "there is no record %s %s any more", d.Kind.Name, bom.Shorten(d.ID))
	}
	return Matching("record "+d.Kind.Name+" "+d.ID, found.Version(), d.IfMatch)
}

// Matching holds the version a change names against that of what is there.
func Matching(what string, version, ifMatch answer.Version) *answer.Error {
	switch ifMatch {
	case "":
		return answer.Errorf(answer.VersionMissing, "%s exists; say which version of it you change", what)
	case answer.AnyVersion, version:
		return nil
	}
	return answer.Errorf(answer.Conflict, "%s has changed meanwhile; its version is now %s", what, version)
}
