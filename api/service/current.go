package service

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"

	"kerfbook/api/answer"
)

// shelf gives the stored book as a transaction sees it.
func (s *Service) shelf(ctx context.Context, tx Tx) (*shelf, error) {
	version, err := tx.Records().Version(ctx)
	if err != nil {
		return nil, err
	}
	if found, ok := s.memory.shelves.Peek(version); ok {
		return found, nil
	}
	records, err := tx.Records().Current(ctx)
	if err != nil {
		return nil, err
	}
	made := newShelf(version, records, s.memory.shelves.Newest())
	s.memory.shelves.Put(version, made)
	return made, nil
}

// current gives the stored book; NotFound if there is none.
func (s *Service) current(ctx context.Context) (*shelf, error) {
	if ctx.Value(ambient{}) == nil {
		version, err := s.store.BookVersion(ctx)
		if err != nil {
			return nil, answer.Unexpected(err)
		}
		if found, ok := s.memory.shelves.Peek(version); ok && !found.empty() {
			return found, nil
		}
	}
	var found *shelf
	err := s.view(ctx, func(tx Tx) (err error) {
		found, err = s.shelf(ctx, tx)
		return err
	})
	if err != nil {
		return nil, err
	}
	if found.empty() {
		return nil, answer.Errorf(answer.NotFound, "there is no book yet; import one")
	}
	return found, nil
}

// origin gives the stored book.
func (s *Service) origin(ctx context.Context) (origin, error) {
	held, err := s.current(ctx)
	if err != nil {
		return origin{}, err
	}
	return s.originWith(held), nil
}

func (s *Service) originWith(held *shelf) origin {
	return origin{s.originOf(held), func() (*shelf, error) { return held, nil }}
}

func (s *Service) originOf(held *shelf) answer.Origin {
	return answer.Origin{Version: held.version, Book: held.book, Memory: s.memory.built}
}

func hashOf(written []byte) []byte {
	sum := sha256.Sum256(written)
	return sum[:]
}

func hexOf(hash []byte) string { return hex.EncodeToString(hash) }

// recordVersion names a revision by number and content.
func recordVersion(r StoredRecord) answer.Version {
	return answer.Version(fmt.Sprintf("%d-%s", r.Revision, hexOf(r.Hash)[:12]))
}

func headOf(r StoredRecord) RecordHead {
	return RecordHead{Kind: r.Kind, ID: r.ID, Name: r.Name, Revision: r.Revision, Version: recordVersion(r),
		ChangedAt: r.ChangedAt, ChangedBy: r.ChangedBy, Deleted: r.Deleted}
}
