package service

import (
	"context"

	"kerfbook/api/answer"
)

// ambient is the key of the transaction that a context carries.
type ambient struct{}

// within gives a context whose use cases work in a transaction.
func within(ctx context.Context, tx Tx) context.Context { return context.WithValue(ctx, ambient{}, tx) }

// update runs f in the transaction of the context, or in one of its own.
func (s *Service) update(ctx context.Context, f func(Tx) error) error {
	if tx, ok := ctx.Value(ambient{}).(Tx); ok {
		return f(tx)
	}
	return answer.Unexpected(s.store.Update(ctx, f))
}

// view runs f in the transaction of the context, or in a reading one of its own.
func (s *Service) view(ctx context.Context, f func(Tx) error) error {
	if tx, ok := ctx.Value(ambient{}).(Tx); ok {
		return f(tx)
	}
	return answer.Unexpected(s.store.View(ctx, f))
}
