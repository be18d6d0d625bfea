package runs

import (
	"context"
	"errors"
	"fmt"
	"testing"
	"time"

	"kerfbook/api/answer"
)

// stepping is work that reports each of n steps it is let take.
func stepping(n int, let <-chan struct{}) Work[int] {
	return func(ctx context.Context, report func(done, total int)) (int, error) {
		for i := range n {
			select {
			case <-let:
				report(i+1, n)
			case <-ctx.Done():
				return 0, ctx.Err()
			}
		}
		return n, nil
	}
}

func mustStart(t *testing.T, r *Room[int], id string, do Work[int]) *Run[int] {
	t.Helper()
	u, err := r.Start(id, do)
	if err != nil {
		t.Fatal(err)
	}
	return u
}

func TestRunTellsItsProgressAndAnswer(t *testing.T) {
	t.Parallel()
	r := New[int](2 * atOnce)
	let := make(chan struct{})
	u := mustStart(t, r, "a", stepping(2, let))
	let <- struct{}{}
	brief, cancel := context.WithTimeout(t.Context(), time.Millisecond)
	defer cancel()
	if _, ok, err := u.Wait(brief); ok || err != nil {
		t.Errorf("the run has an answer (%v, %v) before its last step", ok, err)
	}
	if p := u.Progress(); p.State != Working || p.Total != 2 {
		t.Errorf("progress %+v", p)
	}
	let <- struct{}{}
	if n, ok, err := u.Wait(t.Context()); n != 2 || !ok || err != nil {
		t.Errorf("answer %d, %v, %v", n, ok, err)
	}
	if p := u.Progress(); p.State != Done || p.Done != 2 {
		t.Errorf("progress at the end %+v", p)
	}
	if again := mustStart(t, r, "a", stepping(1, nil)); again != u {
		t.Error("the same question is worked on twice")
	}
}

func TestRunCancelledCanBeAskedAgain(t *testing.T) {
	t.Parallel()
	r := New[int](2 * atOnce)
	u := mustStart(t, r, "a", stepping(1, nil))
	u.cancel()
	if _, ok, err := u.Wait(t.Context()); ok || !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled run: %v, %v", ok, err)
	}
	if p := u.Progress(); p.State != Cancelled {
		t.Errorf("progress %+v", p)
	}
	let := make(chan struct{}, 1)
	let <- struct{}{}
	if _, ok, err := mustStart(t, r, "a", stepping(1, let)).Wait(t.Context()); !ok || err != nil {
		t.Errorf("asked again: %v, %v", ok, err)
	}
}

func TestRunsAreBounded(t *testing.T) {
	t.Parallel()
	r := New[int](2 * atOnce)
	for i := range atOnce {
		mustStart(t, r, fmt.Sprint("waits", i), stepping(1, nil))
	}
	if _, err := r.Start("more", stepping(1, nil)); answer.CodeOf(err) != answer.Busy {
		t.Errorf("one more than may work at once: %v", err)
	}
	r.StopAll()
	if n := r.working(); n != 0 {
		t.Errorf("%d still work after all were stopped", n)
	}
	if _, err := r.Start("late", stepping(1, nil)); answer.CodeOf(err) != answer.Busy {
		t.Errorf("one started after all were stopped: %v", err)
	}
}

func TestRunsAreForgotten(t *testing.T) {
	t.Parallel()
	r := New[int](2 * atOnce)
	done := make(chan struct{})
	close(done)
	for i := range 2 * kept {
		u := mustStart(t, r, fmt.Sprint("quick", i), stepping(1, done))
		if _, _, err := u.Wait(t.Context()); err != nil {
			t.Fatal(err)
		}
	}
	if len(r.order) > kept+1 || len(r.order) != len(r.byID) {
		t.Errorf("%d runs are kept, %d by name", len(r.order), len(r.byID))
	}
	if _, err := r.Find("quick0"); answer.CodeOf(err) != answer.NotFound {
		t.Errorf("the oldest: %v", err)
	}
	if _, err := r.Find(fmt.Sprint("quick", 2*kept-1)); err != nil {
		t.Error(err)
	}
}

func TestRunOutlivesAFaultOfOurs(t *testing.T) {
	t.Parallel()
	r := New[int](2 * atOnce)
	u := mustStart(t, r, "a", func(context.Context, func(done, total int)) (int, error) { panic("a slip") })
	if _, ok, err := u.Wait(t.Context()); ok || answer.CodeOf(err) != answer.Internal {
		t.Errorf("a run that panics: %v, %v", ok, err)
	}
	if p := u.Progress(); p.State != Failed {
		t.Errorf("progress %+v", p)
	}
}
