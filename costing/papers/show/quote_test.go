package show

import (
	"strings"
	"testing"

	"kerfbook/costing/papers/quote"
)

// The document does not call one batch what is priced at another.
func TestBasisNamesTheBatch(t *testing.T) {
	t.Parallel()
	line := func(quantity, batch string) quote.Line {
		return quote.Line{Quantity: quote.Figure{Value: quantity}, Batch: quote.Figure{Value: batch}}
	}
	for want, lines := range map[string][]quote.Line{
		"made as one batch": {line("10", "10")}, "each line made at its batch": {line("10", "10"), line("75", "250")},
	} {
		if got := quoteBasis(&quote.Document{Lines: lines})[0]; !strings.Contains(got, want) {
			t.Errorf("%s, want %s", got, want)
		}
	}
}

func TestAmounts(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ value, unit, want string }{
		{"1234567.5", "EUR", "1,234,567.50"}, {"999", "EUR/piece", "999.00"}, {"1000", "JPY", "1,000"}, {"-1234.5", "EUR", "-1,234.50"},
		{"0", "EUR", "0.00"}, {"100", "KWD", "100.000"}, {"12", "piece", "12"},
	} {
		if got := QuoteAmount("", quote.Figure{Key: "k", Value: c.value, Unit: c.unit}).Text; got != c.want {
			t.Errorf("%s %s is shown as %q, want %q", c.value, c.unit, got, c.want)
		}
	}
	if a := QuoteAmount("", quote.Figure{Key: "k", Value: "5", Unit: "EUR"}).TakenOff(); a.Text != "-5.00" || !a.Negative {
		t.Errorf("taken off: %+v", a)
	}
}
