package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"time"
)

// progress tells people how far long work has got: nothing in the first second,
// then a line every half second.
type progress struct {
	w       io.Writer
	what    string // is counted
	now     func() time.Time
	started time.Time
	last    time.Time
}

// The rhythm of progress.
const (
	progressAfter = time.Second
	progressEvery = 500 * time.Millisecond
)

func newProgress(w io.Writer, now func() time.Time) *progress {
	return &progress{w: w, what: "draws", now: now, started: now()}
}

// report writes a line if it is time for one. A progress that cannot be written
// stops nothing.
func (p *progress) report(done, total int) {
	now := p.now()
	if total == 0 || now.Sub(p.started) < progressAfter || now.Sub(p.last) < progressEvery {
		return
	}
	p.last = now
	fmt.Fprintf(p.w, "%d of %d %s (%d %%)\n", done, total, p.what, 100*done/total)
}

// interrupted words what a command ends with that was told to stop.
func interrupted(err error) error {
	if errors.Is(err, context.Canceled) {
		return errors.New("stopped before it was done; nothing was written")
	}
	return err
}
