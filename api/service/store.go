package service

import (
	"context"
	"time"

	"kerfbook/api/answer"
	"kerfbook/api/service/promise"
	"kerfbook/costing/book/record"
)

// Store keeps what the service knows. Errors of a store are *Error where the
// caller can do something about them: NotFound, Exists, Busy.
type Store interface {
	// Update runs f in the one transaction that may write: either everything it
	// did is kept, or nothing. f may be run again if the database asks for it,
	// so it must not change anything else.
	Update(ctx context.Context, f func(Tx) error) error
	// View runs f on one state of the database.
	View(ctx context.Context, f func(Tx) error) error
	// BookVersion gives the version of the book at little cost; empty if there
	// is no book.
	BookVersion(ctx context.Context) (answer.Version, error)
	// TokenByHash gives a token and the version of the book at little cost, in one
	// statement; NotFound if there is no such token.
	TokenByHash(ctx context.Context, hash []byte) (StoredToken, answer.Version, error)
	// Ready reports whether the database answers and has the schema this
	// program knows.
	Ready(ctx context.Context) error
	Close() error
}

// Tx is what a store can do within a transaction, in groups.
type Tx interface {
	Records() RecordStore
	Quotes() promise.QuoteStore
	Access() AccessStore
	Log() LogStore
	Idempotency() IdempotencyStore
	Runs() RunStore
	Scenarios() ScenarioStore
}

// RecordStore keeps the records of the book: all revisions for ever, and which of
// them are current.
type RecordStore interface {
	// Version gives the version of the book, empty if there is none.
	Version(ctx context.Context) (answer.Version, error)
	SetVersion(ctx context.Context, v answer.Version) error
	// Current lists the records that are not deleted, by kind and position.
	Current(ctx context.Context) ([]StoredRecord, error)
	// Page lists records of a kind that are not deleted, in the order of their
	// ids, without their texts, after an id.
	Page(ctx context.Context, kind, after string, limit int) ([]StoredRecord, error)
	// Get gives a revision, 0 for the current one, which may be a deletion.
	Get(ctx context.Context, kind, id string, revision int) (StoredRecord, error)
	// Revisions lists all revisions of a record without their texts, the newest
	// first.
	Revisions(ctx context.Context, kind, id string) ([]StoredRecord, error)
	// Append adds the next revision and makes it the current one.
	Append(ctx context.Context, r StoredRecord) error
	// Place changes where records stand in their list.
	Place(ctx context.Context, kind, id string, position int) error
	// EachRevision hands over every revision with its text.
	EachRevision(ctx context.Context, f func(StoredRecord) error) error
}

// StoredRecord is one revision of a record, with what the store vouches for.
type StoredRecord struct {
	record.Kept
	Hash      []byte // SHA-256 of Text
	ChangedAt time.Time
	ChangedBy string
}

func (r StoredRecord) version() answer.Version { return answer.Version(r.Version(r.Hash)) }

// AccessStore keeps who may come in. It sees hashes of secrets, never a secret.
type AccessStore interface {
	InsertLink(ctx context.Context, l StoredLink) error
	// Links and Sessions list those that have not been forgotten.
	Links(ctx context.Context) ([]StoredLink, error)
	Sessions(ctx context.Context) ([]StoredSession, error)
	// SpendLink marks a link as used and gives whom it was for; Gone if it was used before
	// or has expired, NotFound if there is none.
	SpendLink(ctx context.Context, hash []byte, at time.Time) (person string, err error)
	InsertSession(ctx context.Context, s StoredSession) error
	Session(ctx context.Context, hash []byte) (StoredSession, error)
	TouchSession(ctx context.Context, hash []byte, at time.Time) error
	DeleteSession(ctx context.Context, hash []byte) error
	// InsertToken adds a token; Exists if one that is not revoked has its name.
	InsertToken(ctx context.Context, t StoredToken) error
	Token(ctx context.Context, id string) (StoredToken, error)
	Tokens(ctx context.Context) ([]StoredToken, error)
	TouchToken(ctx context.Context, id string, at time.Time) error
	RevokeToken(ctx context.Context, id string, at time.Time) error
	// People lists everybody in the order they came. PutPerson adds or changes one; Exists
	// if another has the name.
	People(ctx context.Context) ([]Person, error)
	PutPerson(ctx context.Context, p Person) error
	// Forget removes links and sessions that ended before a time.
	Forget(ctx context.Context, before time.Time) error
}

// StoredLink is a sign-in link under the hash of its secret.
type StoredLink struct {
	Hash             []byte
	Person           string // id; empty for whoever has the machine
	Created, Expires time.Time
	Spent            time.Time // zero: not yet
}

// StoredSession is a session under the hash of its cookie.
type StoredSession struct {
	Hash          []byte
	Person        string // id; empty for whoever has the machine
	Name          string
	Scopes        Scopes
	Created, Seen time.Time
	Expires       time.Time // whatever is done until then
}

// StoredToken is a token under the hash of its secret.
type StoredToken struct {
	Token
	Hash []byte
}

// LogStore keeps the change log, which only grows.
type LogStore interface {
	// Head gives the last entry; NotFound if there is none.
	Head(ctx context.Context) (LogEntry, error)
	Append(ctx context.Context, e LogEntry) error
	// Page gives the first entries of changes, the newest first.
	Page(ctx context.Context, of ChangesOf, limit int) ([]LogEntry, error)
	// Of gives the entries of a change, After those behind an entry, in order.
	Of(ctx context.Context, change int64) ([]LogEntry, error)
	After(ctx context.Context, seq int64) ([]LogEntry, error)
	// Actors lists everybody the log names.
	Actors(ctx context.Context) ([]string, error)
	// Each hands over all entries in order.
	Each(ctx context.Context, f func(LogEntry) error) error
}

// IdempotencyStore keeps the answers to requests that must not happen twice.
type IdempotencyStore interface {
	Get(ctx context.Context, actor, key string) (StoredAnswer, error)
	Insert(ctx context.Context, a StoredAnswer) error
	// Forget removes answers given before a time.
	Forget(ctx context.Context, before time.Time) error
}

// RunStore keeps what runs were asked for, so that every server of one database can
// answer for them.
type RunStore interface {
	// Insert keeps a question under the name of its run; one that is there stays.
	Insert(ctx context.Context, id string, question []byte, asked time.Time) error
	// Question gives it; NotFound if there is none.
	Question(ctx context.Context, id string) ([]byte, error)
	// Delete removes a question; NotFound if there is none.
	Delete(ctx context.Context, id string) error
	// Forget removes questions asked before a time.
	Forget(ctx context.Context, before time.Time) error
}

// StoredAnswer is the answer to a request under its key.
type StoredAnswer struct {
	Actor, Key  string
	Fingerprint []byte // of the request
	Status      int
	Body        []byte
	At          time.Time
}
