package promise

import (
	"context"
	"time"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
)

// QuoteStore keeps quotes: immutable revisions under numbers without gaps.
type QuoteStore interface {
	// NextNumber counts a series up and gives the new count, 1 for the first.
	// It is given back if the transaction fails, so that no number is left out.
	NextNumber(ctx context.Context, series string) (int64, error)
	// Counted gives how far each series has been counted.
	Counted(ctx context.Context) (map[string]int64, error)
	// Insert adds a revision of a quote and makes it the latest one; Exists if
	// the number has that revision.
	Insert(ctx context.Context, q StoredQuote) error
	// SetState changes the state of a quote, all its revisions alike.
	SetState(ctx context.Context, number, state string) error
	// Get gives a revision with its document, 0 for the latest.
	Get(ctx context.Context, number string, revision int) (StoredQuote, error)
	// Page lists the latest revisions without their documents, the newest
	// number first, after a number.
	Page(ctx context.Context, after string, limit int) ([]StoredQuote, error)
	// EachRevision hands over every revision with its document.
	EachRevision(ctx context.Context, f func(StoredQuote) error) error
	// InsertPattern adds what documents may differ from, under its hash; one that is
	// there already stays.
	InsertPattern(ctx context.Context, b StoredPattern) error
	// Pattern gives the document of one by its hash.
	Pattern(ctx context.Context, hash []byte) ([]byte, error)
	// NewestPattern gives that of the newest one for quotes of a likeness, of the newest
	// whole one for "", nil where there is none.
	NewestPattern(ctx context.Context, likeness string) ([]byte, error)
	// EachPattern hands over every one, the oldest first.
	EachPattern(ctx context.Context, f func(StoredPattern) error) error
}

// StoredQuote is one revision of a quote. State belongs to the quote, everything
// else to the revision.
type StoredQuote struct {
	Number          string
	Revision        int
	State           string
	Customer        string
	Destination     string
	Currency        string
	Net, Tax, Total decimal.Decimal
	ValidUntil      bom.Date
	Document        []byte // as quote.Pack or quote.PackFrom wrote it
	Hash            []byte // SHA-256 of Document
	CreatedAt       time.Time
	CreatedBy       string
}

// StoredPattern is what the documents of quotes with such goods and such a destination
// differ from, so that the store has it once.
type StoredPattern struct {
	Hash     []byte // SHA-256 of Document
	Likeness string
	Whole    bool // it differs from no other
	Document []byte
}
