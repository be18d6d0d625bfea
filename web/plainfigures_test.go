package web

import (
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
)

// TestCountsAreNoPercentages: what has no unit is a number; only what is known to
// be a share is in per cent.
func TestCountsAreNoPercentages(t *testing.T) {
	t.Parallel()
	slots := mannerOf(answer.Figure{Key: "part/HS-010/op/30/feature/FINS/slots"})
	if text := slots.text(decimal.New(19, 0)); text != "19" || slots.behind("slots") != "slots" {
		t.Errorf("%q, %q", text, slots.behind("slots"))
	}
	margin := mannerOf(answer.Figure{Key: "variant/glow/price/direct/margin"})
	if text := margin.text(decimal.New(36, -2)); text != "36.0 %" {
		t.Error(text)
	}
}

// TestCurveOfABatchOutside tells that the batch is not on the curve, and counts
// what changes equally often together.
func TestCurveOfABatchOutside(t *testing.T) {
	t.Parallel()
	body := demoShop(t).signIn(t).page("/curve?trim=plain&pieces=600&from=20&to=90")
	checkPage(t, "/curve", body)
	if !strings.Contains(body, "lies outside the range drawn") {
		t.Error("it is not told that the batch lies outside")
	}
	_, grain, _ := strings.Cut(body, `<ul class="grain">`)
	grain, _, _ = strings.Cut(grain, "</ul>")
	groups, figures := strings.Count(grain, "<li>"), strings.Count(grain, "<a ")
	if groups == 0 || figures <= groups {
		t.Errorf("%d groups of %d figures", groups, figures)
	}
}
