package service_test

import (
	"context"
	"fmt"
	"sync"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/answer/study"
	"kerfbook/costing/estimate"
	"kerfbook/testdata/depth"
)

// Many quotes at once take the numbers from 1 on without a gap; those that fail take none.
func TestQuoteNumbersHaveNoGaps(t *testing.T) {
	t.Parallel()
	o := newOffice(t)
	quotes := depth.Of(150)
	var wg sync.WaitGroup
	for i := range quotes + 10 {
		wg.Go(func() {
			req := offer("PT")
			if i >= quotes {
				req = offer("US") // needs a confirmation
			}
			_, err := o.issued(t.Context(), maker, "", req)
			for answer.CodeOf(err) == answer.Busy { // the queue was too long on this machine
				_, err = o.issued(t.Context(), maker, "", req)
			}
			if (err == nil) != (i < quotes) {
				t.Errorf("quote %d: %v", i, err)
			}
		})
	}
	wg.Wait()
	seen, after := map[string]bool{}, ""
	for {
		page, next, err := o.Quotes(t.Context(), after, 7)
		if err != nil {
			t.Fatal(err)
		}
		for _, q := range page {
			if seen[q.Number] || q.Number < "2026-0001" || q.Number > fmt.Sprintf("2026-%04d", quotes) || len(q.Number) != 9 {
				t.Errorf("number %s", q.Number)
			}
			seen[q.Number] = true
		}
		if after = next; next == "" {
			break
		}
	}
	if len(seen) != quotes {
		t.Errorf("%d quotes, want %d", len(seen), quotes)
	}
	wantHonestLog(t, o)
}

// TestReadersAndWriters reads figures from many sides while the book changes:
// every answer is that of one version.
func TestReadersAndWriters(t *testing.T) {
	t.Parallel()
	s, _ := stored(t)
	ctx, stop := context.WithCancel(t.Context())
	var mu sync.Mutex
	answers := map[answer.Version]string{}
	var wg sync.WaitGroup
	for range 2 {
		wg.Go(func() {
			for ctx.Err() == nil {
				e, v, err := s.Estimate(t.Context(), estimate.NewMix("LAMP", decimal.NewFromInt(60), "plain"), day)
				if err != nil {
					t.Error(err)
					return
				}
				text := e.Variants[0].Full.Value
				mu.Lock()
				if known, ok := answers[v]; ok && known != text {
					t.Errorf("version %s costs %s and %s", v, known, text)
				}
				answers[v] = text
				mu.Unlock()
			}
		})
	}
	for n := range 4 {
		altered := []change.Change{{Key: setup, Value: decimal.NewFromInt(int64(n + 50)).String()}}
		if _, err := s.ApplyChange(t.Context(), maker, altered, answer.AnyVersion); err != nil {
			t.Error(err)
		}
	}
	stop()
	wg.Wait()
	if len(answers) < 2 {
		t.Errorf("only %d versions were seen", len(answers))
	}
}

// TestSameCurveIsDrawnOnce lets fifty ask for the same curve at once: one works it
// out, and all get that answer.
func TestSameCurveIsDrawnOnce(t *testing.T) {
	t.Parallel()
	s, _ := stored(t)
	req := study.CurveRequest{Day: "2026-11-25", Curves: []study.Selection{{Trim: "plain"}}, From: 40, To: 80}
	var asking sync.WaitGroup
	answers := make(chan *study.BatchCurve, 50)
	for range cap(answers) {
		asking.Go(func() {
			out, _, err := s.Curve(t.Context(), req)
			if err != nil {
				t.Error(err)
				return
			}
			answers <- &out.Curves[0]
		})
	}
	asking.Wait()
	close(answers)
	drawn := map[*study.BatchCurve]bool{}
	for a := range answers {
		drawn[a] = true
	}
	if len(drawn) != 1 {
		t.Errorf("the curve was drawn %d times", len(drawn))
	}
}
