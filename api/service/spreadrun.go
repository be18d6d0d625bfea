package service

import (
	"context"
	"encoding/hex"
	"encoding/json"
	"errors"
	"sync/atomic"
	"time"

	"kerfbook/api/answer"
	"kerfbook/api/answer/study"
	"kerfbook/api/service/runs"
	"kerfbook/bom"
)

// drawsAtOnce is how many runs compute at the same time, each on all processors;
// the others wait for their turn.
const drawsAtOnce = 2

// SpreadRun is a spread that is being drawn, or has been.
type SpreadRun = runs.Run[study.Spread]

// question is what a run is asked: it names the run, and is what another server
// begins it from.
type question struct {
	Version answer.Version
	Request study.SpreadRequest
}

// questionID names what is asked of a state of the book, and its run; question is that in
// writing.
func questionID(version answer.Version, request any) (id string, question []byte, err error) {
	question, err = json.Marshal(struct {
		Version answer.Version
		Request any
	}{version, request})
	return hex.EncodeToString(hashOf(question)[:16]), question, answer.Unexpected(err)
}

// Spread begins to draw a spread of the stored book. The same question about the
// same version of the book is the same run. What can be refused without a draw is
// refused here.
func (s *Service) Spread(ctx context.Context, req study.SpreadRequest) (*SpreadRun, error) {
	o, err := s.Origin(ctx)
	if err != nil {
		return nil, err
	}
	id, question, err := questionID(o.Version, req)
	if err != nil {
		return nil, err
	}
	if old, err := s.spreads.Find(id); err == nil && !old.Stopped() {
		return old, nil
	}
	q, err := study.NewSpreading(ctx, o, req)
	if err != nil {
		return nil, err
	}
	noted, err := s.note(ctx, id, question)
	if err != nil {
		return nil, err
	}
	made, err := s.spreads.Start(id, s.unlessDropped(id, q.Answer))
	if err != nil {
		return nil, errors.Join(err, s.unnote(ctx, id))
	}
	made.Noted.Store(noted)
	return made, nil
}

// note stores what a run is asked. A store that cannot take it stops no run; then
// other servers do not know it.
func (s *Service) note(ctx context.Context, id string, question []byte) (noted bool, err error) {
	err = s.touch(ctx, func(tx Tx) error {
		now := s.clock()
		err := tx.Runs().Forget(ctx, now.Add(-questionLife))
		if err == nil {
			err = tx.Runs().Insert(ctx, id, question, now)
		}
		noted = err == nil
		return err
	})
	return noted, err
}

// unnote drops what a run was asked.
func (s *Service) unnote(ctx context.Context, id string) error {
	err := s.touch(ctx, func(tx Tx) error { return tx.Runs().Delete(ctx, id) })
	if answer.CodeOf(err) == answer.NotFound {
		return nil
	}
	return err
}

const (
	// questionLife is how long any server can answer for a run.
	questionLife = 24 * time.Hour
	// lookEvery is how soon a server ends a run that was cancelled at another.
	lookEvery = 200 * time.Millisecond
)

// SpreadRun finds a run by its name. One that another server has begun, or this one
// before it was started anew, is begun here from its question, if the book is still
// that of the question: its answer is the same to the last byte.
func (s *Service) SpreadRun(ctx context.Context, id string) (*SpreadRun, error) {
	here, err := s.spreads.Find(id)
	if err == nil && !here.Noted.Load() {
		return here, nil
	}
	asked, stored := s.questionOf(ctx, id)
	switch {
	case err == nil && answer.CodeOf(stored) == answer.NotFound: // cancelled at another server
		s.spreads.End(here)
		_, err = s.spreads.Find(id)
		return nil, err
	case err == nil:
		return here, nil
	case answer.CodeOf(stored) == answer.NotFound:
		return nil, err
	case stored != nil:
		return nil, stored
	}
	version, err := s.store.BookVersion(ctx)
	if err != nil {
		return nil, answer.Unexpected(err)
	}
	if version.Figures() != asked.Version {
		return nil, answer.Errorf(answer.Gone, "the book has changed since run %s was asked for, and its answer is not kept here; ask again", bom.Shorten(id))
	}
	return s.Spread(ctx, asked.Request)
}

// questionOf gives the question of a run.
func (s *Service) questionOf(ctx context.Context, id string) (asked question, err error) {
	err = s.view(ctx, func(tx Tx) error {
		text, err := tx.Runs().Question(ctx, id)
		if err != nil {
			return err
		}
		return json.Unmarshal(text, &asked)
	})
	return asked, err
}

// CancelSpread ends a run, whichever server works on it: another one ends it within
// a moment. When it returns, nothing is computed here any more.
func (s *Service) CancelSpread(ctx context.Context, id string) error {
	here, err := s.spreads.Find(id)
	if err == nil {
		s.spreads.End(here)
	}
	dropped := s.Update(ctx, func(tx Tx) error { return tx.Runs().Delete(ctx, id) })
	if answer.CodeOf(dropped) == answer.NotFound {
		return err
	}
	return dropped
}

// unlessDropped ends work whose question was dropped at another server.
func (s *Service) unlessDropped(id string, do runs.Work[study.Spread]) runs.Work[study.Spread] {
	return func(ctx context.Context, report func(done, total int)) (study.Spread, error) {
		ctx, stop := context.WithCancel(ctx)
		defer stop()
		var looked atomic.Int64
		looked.Store(s.now().UnixNano())
		result, err := do(ctx, func(done, total int) {
			report(done, total)
			last, now := looked.Load(), s.now().UnixNano()
			if now-last < int64(lookEvery) || !looked.CompareAndSwap(last, now) {
				return
			}
			if here, err := s.spreads.Find(id); err == nil && here.Noted.Load() {
				if _, err := s.questionOf(ctx, id); answer.CodeOf(err) == answer.NotFound {
					stop()
				}
			}
		})
		if err != nil && ctx.Err() == nil { // a refused question is not kept
			err = errors.Join(err, s.unnote(ctx, id))
		}
		return result, err
	}
}

// Close stops what goes on apart from requests, and lets nothing begin any more.
func (s *Service) Close() { s.spreads.StopAll() }
