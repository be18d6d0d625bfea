package service

import (
	"context"
	"crypto/sha256"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/costing/book/record"
)

// shelf gives the stored book as a transaction sees it.
func (s *Service) shelf(ctx context.Context, tx Tx) (*change.Shelf, error) {
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
	kept := make([]record.Kept, len(records))
	for i, r := range records {
		kept[i] = r.Kept
	}
	made := change.NewShelf(version, kept, s.memory.shelves.Newest())
	s.memory.shelves.Put(version, made)
	return made, nil
}

// current gives the stored book; NotFound if there is none.
func (s *Service) current(ctx context.Context) (*change.Shelf, error) {
	version, err := s.store.BookVersion(ctx)
	if err != nil {
		return nil, answer.Unexpected(err)
	}
	if found, ok := s.memory.shelves.Peek(version); ok && !found.Empty() {
		return found, nil
	}
	var found *change.Shelf
	err = s.view(ctx, func(tx Tx) (err error) {
		found, err = s.begun(ctx, tx)
		return err
	})
	return found, err
}

// begun is the same as a transaction sees it.
func (s *Service) begun(ctx context.Context, tx Tx) (*change.Shelf, error) {
	found, err := s.shelf(ctx, tx)
	if err == nil && found.Empty() {
		return nil, answer.Errorf(answer.NotFound, "there is no book yet; import one")
	}
	return found, err
}

// Origin gives the stored book, to be asked about.
func (s *Service) Origin(ctx context.Context) (change.Origin, error) {
	held, err := s.current(ctx)
	if err != nil {
		return change.Origin{}, err
	}
	return s.originOf(held), nil
}

func (s *Service) originOf(held *change.Shelf) change.Origin {
	return change.Origin{Origin: answer.Origin{Version: held.Version.Figures(), Book: held.Book, Memory: s.memory.built},
		Shelf: func() (*change.Shelf, error) { return held, nil }}
}

func hashOf(written []byte) []byte {
	sum := sha256.Sum256(written)
	return sum[:]
}

func headOf(r StoredRecord) RecordHead {
	return RecordHead{Kind: r.Kind, ID: r.ID, Name: r.Name, Revision: r.Revision, Version: r.version(),
		ChangedAt: r.ChangedAt.UTC(), ChangedBy: r.ChangedBy, Deleted: r.Deleted}
}
