package service

import (
	"context"
	"io"
	"slices"
	"strings"
	"time"

	"kerfbook/api/answer"
	"kerfbook/api/answer/study"
	"kerfbook/api/service/runs"
	"kerfbook/bom"
)

// Service holds the use cases on the stored book. It may be used by any number
// of goroutines at once.
type Service struct {
	store   Store
	now     func() time.Time
	random  io.Reader
	memory  *memory
	spreads *runs.Room[study.Spread]
}

// New gives the use cases on a store. now is the clock and random the source of
// secrets.
func New(store Store, now func() time.Time, random io.Reader) *Service {
	return &Service{store: store, now: now, random: random, memory: newMemory(), spreads: runs.New[study.Spread](drawsAtOnce)}
}

// Update runs f in a transaction of its own: all that it writes is kept, or nothing.
// f may be run again if the database asks for it. Use cases that take a Tx take part
// in it; a use case without one, called in f, would wait for f to end.
func (s *Service) Update(ctx context.Context, f func(Tx) error) error {
	return answer.Unexpected(s.store.Update(ctx, f))
}

func (s *Service) view(ctx context.Context, f func(Tx) error) error {
	return answer.Unexpected(s.store.View(ctx, f))
}

// Actor is who does something, as the change log names them.
type Actor struct {
	Name   string // "maker", a token's name, "command line"
	Scopes Scopes
	Book   answer.Version // its version as the actor was looked up; empty where nobody asked for it
	Person string         // id of a person; empty for tokens and whoever has the machine
	Reason string         // of what they do, in one line; empty where they give none
	change int64          // whose entries follow; 0 for a new one
}

// Scopes are what an actor may do.
type Scopes uint8

// The scopes. Each stands for itself: writing does not include reading, reading only prices.
const (
	Read   Scopes = 1 << iota // look at everything but access
	Write                     // change the book
	Quote                     // issue, revise and withdraw quotes
	Admin                     // make and revoke tokens, let people in
	Prices                    // look at prices asked and quotes, and at no cost; who reads may too
	// AllScopes is what the maker has.
	AllScopes = Read | Write | Quote | Admin
)

var scopeNames = []string{"read", "write", "quote", "admin", "prices"}

// ScopeNames lists the words for scopes.
func ScopeNames() []string { return slices.Clone(scopeNames) }

// Has reports whether all of the scopes asked for are there.
func (s Scopes) Has(want Scopes) bool {
	if s&Read != 0 {
		s |= Prices
	}
	return s&want == want
}

// Names lists the scopes as words.
func (s Scopes) Names() []string {
	out := []string{}
	for i, name := range scopeNames {
		if s&(1<<i) != 0 {
			out = append(out, name)
		}
	}
	return out
}

func (s Scopes) String() string { return strings.Join(s.Names(), ", ") }

// ParseScopes reads words such as "read".
func ParseScopes(names []string) (Scopes, error) {
	var out Scopes
	for _, name := range names {
		i := slices.Index(scopeNames, name)
		if i < 0 {
			return 0, answer.Invalidf("%q is no scope; there are %s", bom.Shorten(name), strings.Join(scopeNames, ", "))
		}
		out |= 1 << i
	}
	return out, nil
}

// need refuses an actor without a scope.
func (a Actor) need(want Scopes) error {
	if a.Scopes.Has(want) {
		return nil
	}
	return &answer.Error{Code: answer.Forbidden, Message: "this needs the scope " + want.String()}
}
