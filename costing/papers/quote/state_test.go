package quote_test

import (
	"errors"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/papers/quote"
)

func TestStateOnADay(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		stored           quote.State
		revision, latest int
		day              bom.Date
		want             quote.State
	}{
		{quote.Issued, 1, 1, "2026-12-25", quote.Issued},
		{quote.Issued, 1, 1, "2026-12-26", quote.Expired},
		{quote.Issued, 1, 2, "2026-12-01", quote.Revised},
		{quote.Issued, 2, 2, "2026-12-01", quote.Issued},
		{quote.Withdrawn, 1, 2, "2027-12-01", quote.Withdrawn},
	} {
		if got := quote.On(c.stored, c.revision, c.latest, "2026-12-25", c.day); got != c.want {
			t.Errorf("%+v: %s", c, got)
		}
	}
}

func TestSteps(t *testing.T) {
	t.Parallel()
	if s, err := quote.Issued.Revise(); s != quote.Issued || err != nil {
		t.Errorf("revise: %s, %v", s, err)
	}
	if s, err := quote.Issued.Withdraw(); s != quote.Withdrawn || err != nil {
		t.Errorf("withdraw: %s, %v", s, err)
	}
	var state *quote.StateError
	if _, err := quote.Withdrawn.Revise(); !errors.As(err, &state) || state.Step != "revised" {
		t.Errorf("revise a withdrawn quote: %v", err)
	}
	if _, err := quote.Withdrawn.Withdraw(); !errors.As(err, &state) {
		t.Errorf("withdraw twice: %v", err)
	}
}
