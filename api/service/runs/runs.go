package runs

import (
	"context"
	"errors"
	"fmt"
	"runtime/debug"
	"slices"
	"sync"
	"sync/atomic"

	"kerfbook/api/answer"
	"kerfbook/bom"
)

// Room for runs: how many may be waiting or working at once, and how many that
// have ended are kept to be read again.
const (
	atOnce = 8
	kept   = 32
)

// State is where work stands that may outlast a request.
type State string

// The states of a run.
const (
	Working   State = "working"
	Done      State = "done"
	Cancelled State = "cancelled"
	Failed    State = "failed"
)

// Progress is how far a run has got.
type Progress struct {
	Run   string `json:"run"` // names it
	State State  `json:"state"`
	Done  int    `json:"steps_done"`
	Total int    `json:"steps_total"` // 0 until it is known
}

// Run is one piece of work under way, or its answer.
type Run[T any] struct {
	id          string
	done, total atomic.Int64
	Noted       atomic.Bool // its question is stored, which whoever starts it says
	cancel      context.CancelFunc
	ended       chan struct{} // closed once answer and err are set
	answer      T
	err         error
}

// Room does work apart from the request that asked for it. The same question
// about the same state of the book has the same name and is one run, however often
// it is asked.
type Room[T any] struct {
	places chan struct{} // for those that work; the others wait for their turn

	mu     sync.Mutex
	byID   map[string]*Run[T]
	order  []*Run[T] // the oldest first
	closed bool      // none may start any more
}

// New gives room for runs, of which so many work at the same time.
func New[T any](places int) *Room[T] {
	return &Room[T]{places: make(chan struct{}, places), byID: map[string]*Run[T]{}}
}

// Work does the work of a run; it reports how much is done of how much.
type Work[T any] func(ctx context.Context, report func(done, total int)) (T, error)

// Start begins a run unless it is there already, and has not failed or been
// cancelled.
func (r *Room[T]) Start(id string, do Work[T]) (*Run[T], error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if old, ok := r.byID[id]; ok && !old.Stopped() {
		return old, nil
	}
	if r.closed {
		return nil, answer.Errorf(answer.Busy, "the server is being stopped")
	}
	if r.working() >= atOnce {
		return nil, answer.Errorf(answer.Busy, "%d runs are under way; wait for one to end, or cancel one", atOnce)
	}
	ctx, cancel := context.WithCancel(context.Background())
	made := &Run[T]{id: id, cancel: cancel, ended: make(chan struct{})}
	r.keep(made)
	go made.run(ctx, r.inTurn(do))
	return made, nil
}

// run does the work. A fault of ours in it ends this run, and not the server.
func (u *Run[T]) run(ctx context.Context, do Work[T]) {
	defer close(u.ended)
	defer u.cancel()
	defer func() {
		if problem := recover(); problem != nil {
			u.err = answer.Unexpected(fmt.Errorf("run %s: panic of %T\n%s", u.id, problem, debug.Stack()))
		}
	}()
	u.answer, u.err = do(ctx, func(done, total int) {
		u.done.Store(int64(done))
		u.total.Store(int64(total))
	})
}

// inTurn lets work wait for a place.
func (r *Room[T]) inTurn(do Work[T]) Work[T] {
	return func(ctx context.Context, report func(done, total int)) (result T, err error) {
		select {
		case r.places <- struct{}{}:
			defer func() { <-r.places }()
		case <-ctx.Done():
			return result, ctx.Err()
		}
		return do(ctx, report)
	}
}

// keep takes a run in, in the place of an older one of its name, and forgets the
// oldest that have ended.
func (r *Room[T]) keep(made *Run[T]) {
	r.drop(r.byID[made.id])
	r.byID[made.id] = made
	r.order = append(r.order, made)
	for i := 0; len(r.order) > kept && i < len(r.order); {
		if old := r.order[i]; old.hasEnded() {
			r.drop(old)
		} else {
			i++
		}
	}
}

func (r *Room[T]) drop(old *Run[T]) {
	if old == nil {
		return
	}
	delete(r.byID, old.id)
	r.order = slices.DeleteFunc(r.order, func(u *Run[T]) bool { return u == old })
}

func (r *Room[T]) working() int {
	n := 0
	for _, u := range r.order {
		if !u.hasEnded() {
			n++
		}
	}
	return n
}

// Find gives a run by its name.
func (r *Room[T]) Find(id string) (*Run[T], error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if u, ok := r.byID[id]; ok {
		return u, nil
	}
	return nil, answer.Errorf(answer.NotFound, "there is no run %s; its answer is no longer kept, ask again", bom.Shorten(id))
}

// End ends a run and forgets it. When it returns, nothing of it is computed any more.
func (r *Room[T]) End(u *Run[T]) {
	r.mu.Lock()
	if r.byID[u.id] == u {
		r.drop(u)
	}
	r.mu.Unlock()
	u.cancel()
	<-u.ended
}

// StopAll cancels every run and waits until all have ended. None starts after it.
func (r *Room[T]) StopAll() {
	r.mu.Lock()
	r.closed = true
	all := slices.Clone(r.order)
	r.mu.Unlock()
	for _, u := range all {
		u.cancel()
	}
	for _, u := range all {
		<-u.ended
	}
}

// ID names the run for as long as its answer is kept.
func (u *Run[T]) ID() string { return u.id }

func (u *Run[T]) hasEnded() bool {
	select {
	case <-u.ended:
		return true
	default:
		return false
	}
}

// Stopped reports whether a run ended without an answer.
func (u *Run[T]) Stopped() bool { return u.hasEnded() && u.err != nil }

// Wait waits for the answer until ctx ends. ok is false where the run goes on;
// the error is that of the run. An answer that is there is given whatever ctx says.
func (u *Run[T]) Wait(ctx context.Context) (result T, ok bool, err error) {
	select {
	case <-u.ended:
	case <-ctx.Done():
		if !u.hasEnded() {
			return result, false, nil
		}
	}
	return u.answer, u.err == nil, u.err
}

// Progress tells how far the run has got.
func (u *Run[T]) Progress() Progress {
	p := Progress{Run: u.id, State: Working, Done: int(u.done.Load()), Total: int(u.total.Load())}
	switch {
	case !u.hasEnded():
	case u.err == nil:
		p.State = Done
	case errors.Is(u.err, context.Canceled):
		p.State = Cancelled
	default:
		p.State = Failed
	}
	return p
}
