package service

import "context"

// drawsAtOnce is how many runs compute at the same time, each on all processors;
// the others wait for their turn.
const drawsAtOnce = 2

// spreads are the runs of spreads.
type spreads struct {
	runs[Spread]
	places chan struct{}
}

func newSpreads() *spreads { return &spreads{places: make(chan struct{}, drawsAtOnce)} }

// SpreadRun is a spread that is being drawn, or has been.
type SpreadRun struct {
	run  *run[Spread]
	runs *runs[Spread]
}

// ID names the run for as long as its answer is kept.
func (r *SpreadRun) ID() string { return r.run.id }

// Progress tells how far it has got.
func (r *SpreadRun) Progress() Progress { return r.run.progress() }

// Wait waits for the answer until ctx ends; ok is false where the run goes on.
// The error is that of the run.
func (r *SpreadRun) Wait(ctx context.Context) (answer Spread, ok bool, err error) {
	return r.run.wait(ctx)
}

// Cancel ends the run. When it returns, nothing is computed any more and the run
// is forgotten.
func (r *SpreadRun) Cancel() {
	r.runs.forget(r.run)
	r.run.cancel()
	<-r.run.ended
}

// Spread begins to draw a spread of the stored book. The same question about the
// same version of the book is the same run. What can be refused without a draw is
// refused here.
func (s *Service) Spread(ctx context.Context, req SpreadRequest) (*SpreadRun, error) {
	o, err := s.origin(ctx)
	if err != nil {
		return nil, err
	}
	id, err := questionID(o.version, req)
	if err != nil {
		return nil, err
	}
	if old, err := s.spreads.find(id); err == nil && !old.stopped() {
		return &SpreadRun{old, &s.spreads.runs}, nil
	}
	q, err := o.spreading(ctx, req)
	if err != nil {
		return nil, err
	}
	made, err := s.spreads.start(id, s.spreads.inTurn(q.answer))
	if err != nil {
		return nil, err
	}
	return &SpreadRun{made, &s.spreads.runs}, nil
}

// SpreadRun finds a run by its name.
func (s *Service) SpreadRun(id string) (*SpreadRun, error) {
	found, err := s.spreads.find(id)
	if err != nil {
		return nil, err
	}
	return &SpreadRun{found, &s.spreads.runs}, nil
}

// inTurn lets work wait for a place.
func (s *spreads) inTurn(do work[Spread]) work[Spread] {
	return func(ctx context.Context, report func(done, total int)) (Spread, error) {
		select {
		case s.places <- struct{}{}:
			defer func() { <-s.places }()
		case <-ctx.Done():
			return Spread{}, ctx.Err()
		}
		return do(ctx, report)
	}
}

// Close stops what goes on apart from requests, and lets nothing begin any more.
func (s *Service) Close() { s.spreads.stopAll() }
