package service

import (
	"time"

	"kerfbook/api/answer"
)

// RecordHead is a record without its content.
type RecordHead struct {
	Kind      string         `json:"kind"`
	ID        string         `json:"id"`
	Name      string         `json:"name,omitempty"` // for people; empty where the kind has none
	Revision  int            `json:"revision"`
	Version   answer.Version `json:"version" doc:"What If-Match names, there in quotes"`
	ChangedAt time.Time      `json:"changed_at"`
	ChangedBy string         `json:"changed_by"`
	Deleted   bool           `json:"deleted,omitempty"`
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

// Count says what a change did to the records of the book.
type Count struct {
	Version                              answer.Version // of the book after it
	Created, Changed, Deleted, Unchanged int
}

// Import says what an import did.
type Import struct {
	Count
	// Warnings are remarks about the book as of today; the figures are right.
	Warnings []answer.FieldError
}
