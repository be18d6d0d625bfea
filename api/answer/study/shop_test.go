package study

import (
	"math"
	"strings"
	"syscall"
	"testing"
	"time"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/costing/book/booktest"
	"kerfbook/testdata/depth"
)

// TestQuestionsGrowWithTheShop asks about products of some parts and of many more, most of their minutes being ranges: what an answer takes of the processor grows with the
// parts and not with their square. It is not parallel, so that nothing else is counted.
func TestQuestionsGrowWithTheShop(t *testing.T) {
	// A part of many takes up to twice the time of one of few, which fit into the caches
	// of the processor, and a neighbour is loud; a square would be 2.
	const most = 1.4
	few, many := 30, 300
	if depth.Of(10) == 10 {
		few, many = 100, 3000
	}
	for name, ask := range map[string]func(o change.Origin) error{
		"curve": func(o change.Origin) error {
			_, err := Curves(t.Context(), o, CurveRequest{Day: "2026-11-25", Curves: []Selection{{Trim: "only"}}, From: 1, To: 1000, Quantity: 100})
			return err
		},
		"spread": func(o change.Origin) error {
			q, err := NewSpreading(t.Context(), o, SpreadRequest{Batch: batchOf(t, o.Book, "only=50"), Draws: 20_480, Seed: 1})
			if err == nil {
				_, err = q.Answer(t.Context(), func(int, int) {})
			}
			return err
		},
		"compare": func(o change.Origin) error {
			before, after := DifferenceSide{Batch: batchOf(t, o.Book, "only=50")}, DifferenceSide{Batch: batchOf(t, o.Book, "only=80")}
			_, err := Between(t.Context(), o, DifferenceRequest{Before: before, After: after}, nil)
			return err
		},
	} {
		taken := func(parts int) float64 {
			text := strings.ReplaceAll(booktest.Shop(parts, parts/10), "piece_min: 1.5", "piece_min: {low: 1, likely: 1.5, high: 2.5}")
			b := booktest.Read(t, []byte(text))
			least := math.Inf(1)
			for range 3 {
				before := processor(t)
				if err := ask(change.OriginOf(answer.Of(b))); err != nil {
					t.Fatal(err)
				}
				least = min(least, (processor(t) - before).Seconds())
			}
			return least
		}
		small, large := taken(few), taken(many)
		grows := math.Log(large/small) / math.Log(float64(many)/float64(few))
		t.Logf("%s: %.3f s for %d parts, %.3f s for %d: it grows with the power of %.2f of them", name, small, few, large, many, grows)
		if grows > most {
			t.Errorf("the power is more than %.1f", most)
		}
	}
}

// processor is the time of the processor that the program has taken.
func processor(t *testing.T) time.Duration {
	t.Helper()
	var r syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &r); err != nil {
		t.Fatal(err)
	}
	return time.Duration(r.Utime.Nano() + r.Stime.Nano())
}
