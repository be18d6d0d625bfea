package service

import (
	"bytes"
	"context"
	"time"

	"kerfbook/api/answer"
)

// answerLife is how long an answer is given again.
const answerLife = 48 * time.Hour

// Idempotent runs do at most once for a key of an actor. Asked again with the
// same fingerprint it gives the answer again; with another fingerprint it refuses.
// The effect of do and its answer are kept together or not at all: do writes in the
// transaction it is given. It may be run again if the database asks for it. An answer
// is kept if do gives no error.
func (s *Service) Idempotent(ctx context.Context, a Actor, key string, fingerprint [32]byte,
	do func(tx Tx) (status int, body []byte, err error)) (status int, body []byte, replayed bool, err error) {
	if err := plainKey(key); err != nil {
		return 0, nil, false, err
	}
	err = s.Update(ctx, func(tx Tx) error {
		status, body, replayed = 0, nil, false
		now := s.clock()
		if err := tx.Idempotency().Forget(ctx, now.Add(-answerLife)); err != nil {
			return err
		}
		given, err := tx.Idempotency().Get(ctx, a.Name, key)
		switch {
		case err == nil && !bytes.Equal(given.Fingerprint, fingerprint[:]):
			return answer.Invalidf("this key was used for another request; take a new one")
		case err == nil:
			status, body, replayed = given.Status, given.Body, true
			return nil
		case answer.CodeOf(err) != answer.NotFound:
			return err
		}
		if status, body, err = do(tx); err != nil {
			return err
		}
		return tx.Idempotency().Insert(ctx, StoredAnswer{Actor: a.Name, Key: key, Fingerprint: fingerprint[:], Status: status, Body: body, At: now})
	})
	return status, body, replayed, err
}

// plainKey refuses keys that are empty, long or not printable ASCII.
func plainKey(key string) error {
	const most = 255
	ok := key != "" && len(key) <= most
	for i := range len(key) {
		ok = ok && key[i] > ' ' && key[i] < 0x7f
	}
	if !ok {
		return answer.Invalidf("the key must have 1 to %d printable ASCII characters without spaces; a UUID is fine", most)
	}
	return nil
}
