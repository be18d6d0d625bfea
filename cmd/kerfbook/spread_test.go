package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"kerfbook/testdata"
)

// TestProgressHasItsRhythm: nothing in the first second, then a line every half
// second, whatever is reported in between.
func TestProgressHasItsRhythm(t *testing.T) {
	t.Parallel()
	var out bytes.Buffer
	now := time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)
	p := newProgress(&out, func() time.Time { return now })
	for done := range 31 { // a report every tenth of a second
		p.report(1000*done, 30_000)
		now = now.Add(100 * time.Millisecond)
	}
	want := "10000 of 30000 draws (33 %)\n15000 of 30000 draws (50 %)\n20000 of 30000 draws (66 %)\n25000 of 30000 draws (83 %)\n30000 of 30000 draws (100 %)\n"
	if out.String() != want {
		t.Errorf("got\n%swant\n%s", out.String(), want)
	}
}

// stopAfter is a progress that stops what it is told of.
type stopAfter struct{ stop context.CancelFunc }

func (s stopAfter) Write(p []byte) (int, error) {
	s.stop()
	return len(p), nil
}

// TestStoppedSpreadWritesNothing stops a long run at its first sign of life.
func TestStoppedSpreadWritesNothing(t *testing.T) {
	t.Parallel()
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	var out bytes.Buffer
	args := strings.Fields("spread demo --day 2026-11-25 --draws 6000000 --figures variant/plain/each/full")
	err := run(ctx, args, strings.NewReader(""), &out, stopAfter{stop})
	var usage *usageError
	if err == nil || !strings.Contains(err.Error(), "stopped before it was done") || errors.As(err, &usage) || out.Len() > 0 {
		t.Errorf("%v, and %d bytes written", err, out.Len())
	}
}

// TestStoppedBeforeItBegan: every command that computes long is told at once.
func TestStoppedBeforeItBegan(t *testing.T) {
	t.Parallel()
	ctx, stop := context.WithCancel(t.Context())
	stop()
	for _, args := range []string{"spread demo", "curve demo", "compare demo --from glow@50 --to plain@70 --set work-centre/MILL/labour-rate=27"} {
		var out bytes.Buffer
		if err := run(ctx, strings.Fields(args), strings.NewReader(""), &out, &out); err == nil || !strings.Contains(err.Error(), "stopped") || out.Len() > 0 {
			t.Errorf("%s: %v", args, err)
		}
	}
}

// TestBadSpreadIsRefused names what is wrong; none of it is a call that cannot be
// understood.
func TestBadSpreadIsRefused(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ args, want string }{
		{"spread demo --draws 0", "--draws: 0 draws show nothing; ask for 1 or more"},
		{"spread demo --draws 1000000000", "--draws: 1000000000 draws; ask for at most 10000000"},
		{"spread demo --figures variant/plain/full", "--figures: no figure has the key"},
		{"spread demo --movers x", "--movers: no figure"},
		{"spread demo --price fair=10", "--price: the mix has no price of any variant in fair"},
		{"spread demo --precision 80,0", "--precision: 0 cannot be reached"},
		{"spread demo --set mix/plain=2.5", "--set mix/plain: 2.5 is no whole number of pieces"},
		{"curve demo --set mix/plain=2.5", "--set mix/plain: 2.5 is no whole number of pieces"},
		{"compare demo --from plain@10 --to glow@10 --set mix/glow=2.5", "--set mix/glow: 2.5 is no whole number of pieces"},
		{"curve demo --figure no/such", "--figure: no figure has the key"},
		{"spread demo --set x=1", "--set x: no figure has this key"},
		{"spread demo --correlate mix/plain,cutting/copper.end_mill.carbide/speed,0.5", "--correlate: batch quantity of Plain is not a range"},
		{"spread demo --correlate cutting/copper.end_mill.carbide/speed,cutting/copper.slitting_saw.carbide/speed,1", "--correlate: 1 is no rank correlation"},
		{"spread demo --correlate cutting/copper.end_mill.carbide/speed,cutting/copper.slitting_saw.carbide/speed,0.9 --correlate cutting/copper.slitting_saw.carbide/speed,part/HS-010/op/40/piece-time,0.9 " +
			"--correlate cutting/copper.end_mill.carbide/speed,part/HS-010/op/40/piece-time,-0.9", "contradict one another"},
		{"curve demo --from 50 --to 10", "--to: the range ends at 10"},
		{"curve demo --from 0", "--from: a batch of 0 pieces is none"},
		{"curve demo --to 1000000000", "--to: 999999991 quantities are more than the 20000 of one curve"},
		{"compare demo --from plain@10 --to glow@10 --figure mix/plain", "--figure"},
	} {
		t.Run(c.args, func(t *testing.T) {
			t.Parallel()
			out, _, err := kerfbook(t, "", append(strings.Fields(c.args), "--day", "2026-11-25")...)
			var usage *usageError
			if err == nil || !strings.Contains(err.Error(), c.want) || errors.As(err, &usage) || out != "" {
				t.Errorf("got %v, want %q", err, c.want)
			}
		})
	}
}

// TestBadRangesHaveLines: what is wrong with a range of the book is told at its
// place, before anything is drawn.
func TestBadRangesHaveLines(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ old, new, want string }{
		{"{low: 5.2, likely: 6.0, high: 7.5}", "{low: 7.2, likely: 6.0, high: 7.5}", "low 7.2 is above likely 6"},
		{"pieces_per_load: 2, attended_share: 0.35", "pieces_per_load: {low: 1, likely: 2, high: 3}, attended_share: 0.35", "a count is one whole number"},
	} {
		text := strings.Replace(string(testdata.Demo), c.old, c.new, 1)
		before, _, found := strings.Cut(text, c.new)
		place := fmt.Sprintf("-:%d:", strings.Count(before, "\n")+1)
		_, errs, err := kerfbook(t, text, "spread", "-", "--day", "2026-11-25")
		if !found || err == nil || err.Error() != "-: 1 fault" || !strings.Contains(errs, c.want) || !strings.HasPrefix(errs, place) {
			t.Errorf("%v and %s, want a fault at %s", err, errs, place)
		}
	}
}
