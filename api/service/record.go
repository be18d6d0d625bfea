package service

import (
	"time"

	"kerfbook/api/answer"
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
	// Lacking is what saving it left without what it refers to or needs.
	Lacking []answer.FieldError
}

// Written counts what a change did to the records of the book.
type Written struct {
	Version                              answer.Version // of the book after it
	Created, Changed, Deleted, Unchanged int
}

// Imported says what an import did.
type Imported struct {
	Written
	// Warnings are remarks about the book as of today; the figures are right.
	Warnings []answer.FieldError
}
