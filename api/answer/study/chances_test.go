package study

import (
	"testing"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
)

// TestChancesAreThoseOfASpread: by the same draws they are the same.
func TestChancesAreThoseOfASpread(t *testing.T) {
	t.Parallel()
	b := demoWith(t)
	o, of := change.OriginOf(answer.Of(b)), batchOf(t, b, "glow=100")
	got, err := Chances(t.Context(), o, of)
	if err != nil {
		t.Fatal(err)
	}
	q, err := NewSpreading(t.Context(), o, SpreadRequest{Batch: of, Draws: chanceDraws, Seed: DefaultSeed})
	if err != nil {
		t.Fatal(err)
	}
	want, err := q.Answer(t.Context(), func(done, total int) {})
	if err != nil {
		t.Fatal(err)
	}
	if len(got) != 2 || len(want.Channels) != 2 {
		t.Fatalf("%d and %d channels", len(got), len(want.Channels))
	}
	for i, c := range got {
		if w := want.Channels[i]; c.Channel != w.Channel || *c.Chance != *w.Chance || c.Asked.Value != w.Asked.Value {
			t.Errorf("%+v, the spread says %+v", c, w)
		}
	}
}
