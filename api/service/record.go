package service

import (
	"strings"
	"time"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/book/record"
)

// RecordHead is a record without its content.
type RecordHead struct {
	Kind, ID  string
	Name      string // for people; empty where the kind has none
	Revision  int
	Version   answer.Version
	ChangedAt time.Time
	ChangedBy string
	Deleted   bool
}

// Record is a revision of a record. A deleted one has no text.
type Record struct {
	RecordHead
	Text []byte // the strict text form, always the same for the same record
	JSON []byte // the same as JSON, decimals as strings
	// Unread says why this program cannot read Text; then there is no JSON.
	Unread []answer.FieldError
}

// Imported says what an import did.
type Imported struct {
	Version                              answer.Version
	Created, Changed, Deleted, Unchanged int
	// Warnings are remarks about the book as of today; the figures are right.
	Warnings []answer.FieldError
}

// kindOf finds a kind of record by its name.
func kindOf(name string) (record.Kind, error) {
	k, ok := record.KindOf(name)
	if !ok {
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
