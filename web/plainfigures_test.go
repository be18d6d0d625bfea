package web_test

import (
	"strings"
	"testing"
)

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
