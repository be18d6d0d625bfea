package store

import (
	"context"
	"crypto/rand"
	"sync/atomic"
	"time"

	"kerfbook/api/answer"
	"kerfbook/api/service"
)

// health is what failed writes told about the disk below the database.
type health struct {
	// short says that a write found no room, or was not taken: readiness then
	// tries one.
	short atomic.Bool
	// stopped says that nothing is written any more until a new start.
	stopped atomic.Bool
}

// What is told of the disk. Each says what was not saved and what to do.
const (
	noRoom  = "there is no room left on the disk of the database; nothing was saved. Free some room there, then do it again"
	refused = "the disk of the database does not do what it is asked to, because a quota or a limit is used up or because it fails; " +
		"nothing was saved. The server's log has its words"
	whole = "damage was found in the database; nothing was saved. Stop the server, keep the database as it is, and restore the latest backup to another place"
	still = "nothing is written any more, because the disk did not keep what was written before; nothing was saved. " +
		"Look after the disk, then start the server again"
	unknownOutcome = "it is not known whether this was saved; look before you try again, or ask again with the same key"
)

// note keeps what an error says about the disk.
func (h *health) note(t trouble) {
	switch t {
	case full, failing:
		h.short.Store(true)
	case unkept, damage:
		// After a failed sync the system may have dropped what was written and
		// say yes to the next one, so that no later write can be believed.
		h.stopped.Store(true)
	}
}

// mayWrite refuses writes that could not be believed.
func (h *health) mayWrite() error {
	if h.stopped.Load() {
		return &answer.Error{Code: answer.StoreFailed, Message: still}
	}
	return nil
}

// roomBytes is how much must find room before the disk counts as having some
// again: more than any act but an import writes.
const roomBytes = 1 << 20

// writable tries to write where writing failed before. What it writes is an old
// answer, which is forgotten at once, or with the others of its age.
func (s *Store) writable(ctx context.Context) error {
	if err := s.health.mayWrite(); err != nil || !s.health.short.Load() {
		return err
	}
	body := make([]byte, roomBytes)
	_, _ = rand.Read(body) // never fails; a database cannot pack it
	old := time.Unix(0, 0)
	err := s.Update(ctx, func(tx service.Tx) error {
		if err := tx.Idempotency().Forget(ctx, old.Add(time.Second)); err != nil {
			return err
		}
		return tx.Idempotency().Insert(ctx, service.StoredAnswer{Key: "room", Fingerprint: body[:32], Status: 200, Body: body, At: old})
	})
	if err != nil {
		return err
	}
	s.health.short.Store(false)
	return s.Update(ctx, func(tx service.Tx) error { return tx.Idempotency().Forget(ctx, old.Add(time.Second)) })
}
