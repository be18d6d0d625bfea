package storetest

import (
	"context"
	"crypto/rand"
	"reflect"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/answer/study"
	"kerfbook/api/service"
	"kerfbook/api/service/runs"
	"kerfbook/costing/estimate"
)

// server is another server on the store, with a memory of its own.
func (b *bench) server(t *testing.T) *service.Service {
	t.Helper()
	s := service.New(b.store, time.Now, rand.Reader)
	t.Cleanup(s.Close)
	return s
}

func (b *bench) ask(t *testing.T, s *service.Service, draws int, seed uint64) *service.SpreadRun {
	t.Helper()
	run, err := s.Spread(t.Context(), study.SpreadRequest{Draws: draws, Seed: seed, Batch: change.Batch{
		Mix: estimate.NewMix("LAMP", decimal.NewFromInt(250), "glow"), Day: "2026-11-25"}})
	if err != nil {
		t.Fatal(err)
	}
	return run
}

// runsAreShared asks one server for a run that another has begun, cancels one at
// the other, and changes the book.
func runsAreShared(t *testing.T, b *bench) {
	b.demo(t)
	ctx, first, second := t.Context(), b.server(t), b.server(t)
	asked := b.ask(t, first, 10_240, 1)
	want, ok, err := asked.Wait(ctx)
	if err != nil || !ok {
		t.Fatal(err)
	}
	found, err := second.SpreadRun(ctx, asked.ID())
	if err != nil {
		t.Fatalf("the other server does not know the run: %v", err)
	}
	if got, ok, err := found.Wait(ctx); err != nil || !ok || found.ID() != asked.ID() || !reflect.DeepEqual(got, want) {
		t.Errorf("the other server answers otherwise: run %s for %s, %v", found.ID(), asked.ID(), err)
	}
	if err := second.CancelSpread(ctx, asked.ID()); err != nil {
		t.Fatal(err)
	}
	for _, s := range []*service.Service{first, second, b.server(t)} {
		_, err := s.SpreadRun(ctx, asked.ID())
		wantCode(t, err, answer.NotFound)
	}
	wantCode(t, second.CancelSpread(ctx, asked.ID()), answer.NotFound)

	long := b.ask(t, first, 3_000_000, 2)
	if err := second.CancelSpread(ctx, long.ID()); err != nil {
		t.Fatalf("a run of another server cannot be cancelled: %v", err)
	}
	soon, stop := context.WithTimeout(ctx, 20*time.Second)
	defer stop()
	if _, ok, err := long.Wait(soon); ok || err == nil || long.Progress().State != runs.Cancelled {
		t.Errorf("it goes on: %+v, %v", long.Progress(), err)
	}

	last := b.ask(t, first, 10_240, 3)
	if _, err := first.PutRecord(ctx, maker, "suppliers", "NEW", supplier("NEW", "Nova"), ""); err != nil {
		t.Fatal(err)
	}
	_, err = second.SpreadRun(ctx, last.ID())
	wantCode(t, err, answer.Gone)
	if _, err := first.SpreadRun(ctx, last.ID()); err != nil {
		t.Errorf("the server that works on it: %v", err)
	}
}
