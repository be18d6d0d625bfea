package study

import (
	"fmt"
	"strings"
	"testing"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/costing/book/booktest"
)

// BenchmarkShop asks about a product of more and more parts, most of their minutes being
// ranges: the time of each question follows the number of parts.
func BenchmarkShop(b *testing.B) {
	for _, parts := range []int{100, 1000, 3000} {
		text := strings.ReplaceAll(booktest.Shop(parts, parts/100), "piece_min: 1.5", "piece_min: {low: 1, likely: 1.5, high: 2.5}")
		o := change.OriginOf(answer.Of(booktest.Read(b, []byte(text))))
		side := func(mix string) DifferenceSide { return DifferenceSide{Batch: batchOf(b, o.Book, mix)} }
		for name, ask := range map[string]func() error{
			"curve": func() error {
				_, err := Curves(b.Context(), o, CurveRequest{Day: "2026-11-25", Curves: []Selection{{Trim: "only"}}, From: 1, To: 1000, Quantity: 100})
				return err
			},
			"spread": func() error {
				q, err := NewSpreading(b.Context(), o, SpreadRequest{Batch: batchOf(b, o.Book, "only=50"), Draws: 20_480, Seed: 1})
				if err == nil {
					_, err = q.Answer(b.Context(), func(int, int) {})
				}
				return err
			},
			"compare": func() error {
				_, err := Between(b.Context(), o, DifferenceRequest{Before: side("only=50"), After: side("only=80")}, nil)
				return err
			},
		} {
			b.Run(fmt.Sprintf("%s/%d", name, parts), func(b *testing.B) {
				for b.Loop() {
					if err := ask(); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}
