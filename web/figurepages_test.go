package web_test

import (
	"math/big"
	"strings"
	"testing"

	"kerfbook/costing/fractiontest"
	"kerfbook/web/frame"

	"golang.org/x/net/html"
)

// TestLandedRowsAddUp sums what the buyer pays on each line of the overview. The
// unrounded figures are summed.
func TestLandedRowsAddUp(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	const first, total = 0, 6 // goods, delivery, duty, charges, tax, clearance, and what they come to
	rows := 0
	for _, path := range []string{"/landed", "/landed?trim=tune", "/landed?trim=pair"} {
		nodes(parsed(t, b.page(path)), func(n *html.Node) {
			if n.Data != "tr" || !inside(n, "tbody") || !strings.Contains(textOf(n.Parent.Parent.FirstChild), "Amounts in the currency") {
				return
			}
			rows++
			var cells []*big.Rat
			nodes(n, func(td *html.Node) {
				if hasClass(td, "num") {
					cells = append(cells, cellValue(t, td))
				}
			})
			sum := new(big.Rat)
			for _, c := range cells[first:total] {
				sum.Add(sum, c)
			}
			if !fractiontest.Near(sum, cells[total]) {
				t.Errorf("%s: %s: comes to %s", path, textOf(n), sum.FloatString(4))
			}
		})
	}
	if rows < 10 {
		t.Errorf("only %d lines were summed", rows)
	}
}

// cellValue reads the exact value of a cell, 0 where it has none.
func cellValue(t *testing.T, cell *html.Node) *big.Rat {
	out := new(big.Rat)
	nodes(cell, func(n *html.Node) {
		if v := attr(n, "data-value"); v != "" {
			if _, ok := out.SetString(v); !ok {
				t.Errorf("value %q", v)
			}
		}
	})
	return out
}

// badges lists the destinations of the overview with whether they are marked as
// unverified.
func badges(t *testing.T, text string) map[string]bool {
	out := map[string]bool{}
	nodes(parsed(t, text), func(n *html.Node) {
		if n.Data == "article" && hasClass(n, "place") {
			out[strings.TrimPrefix(attr(n, "id"), "to-")] = strings.Contains(textOf(n.FirstChild), "unverified")
		}
	})
	return out
}

func TestOnlyRowsThatBearAreMarked(t *testing.T) {
	t.Parallel()
	marked := badges(t, demoShop(t).signIn(t).page("/landed"))
	for place, want := range map[string]bool{frame.FieldID("US"): true, frame.FieldID("AU"): false, frame.FieldID("NZ"): false} {
		if got, shown := marked[place]; !shown || got != want {
			t.Errorf("%s: marked %t, shown %t; want it marked %t", place, got, shown, want)
		}
	}
}

func TestPagesSayWhatBatchTheyAreOf(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	pooled := "In one batch of 100 × Plain, 100 × Glow, 100 × Tune, rates of 2026-11-25."
	for path, want := range map[string]string{
		"/parts/HS-010": "100 × heat sink, alone, rates of 2026-11-25.",
		"/parts/HS-010?mix=plain%3D100,glow%3D100,tune%3D100": pooled,
		"/parts":                      pooled,
		"/parts/HS-010?mix=plain%3D7": "In one batch of 7 × Plain, rates of 2026-11-25.",
		"/":                           "Ostrel Workshop. Each trim in a batch of its own: 100 × Plain, 100 × Glow, 100 × Tune, rates of 2026-11-25.",
		"/?as=one":                    pooled,
		"/landed?as=one":              pooled,
		"/landed?trim=tune":           "In one batch of 100 × Tune, rates of 2026-11-25.",
	} {
		if text := textOf(parsed(t, b.page(path))); !strings.Contains(text, want) {
			t.Errorf("%s does not say %q", path, want)
		}
	}
}

func TestShopNameKeepsTheView(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	for _, path := range []string{"/?n.plain=40&as=one", "/quotes?mix=plain%3D40"} {
		text := b.page(path)
		if strings.Contains(text, "%3d") || !strings.Contains(text, `class="shop"><a href="/?`) || !strings.Contains(text, `mix=plain%3D40`) {
			t.Errorf("%s: the header loses the view", path)
		}
	}
}

func TestADayWithoutRates(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	for _, path := range []string{"/?day=1900-01-01", "/landed?day=1900-01-01"} {
		text := b.page(path)
		checkPage(t, path, text)
		if n := strings.Count(text, "no rate card is in force"); n != 1 || !strings.Contains(text, "in force on 1900-01-01.</p>") || strings.Contains(text, `class="empty"`) {
			t.Errorf("%s: says %d times why it shows nothing, or says more", path, n)
		}
	}
	if text := b.page("/parts?day=1900-01-01"); strings.Contains(text, "In one batch") {
		t.Error("the list of parts names a batch that cannot be priced")
	}
	if text := emptyShop(t).signIn(t).page("/"); strings.Contains(text, "chooser") {
		t.Error("an empty book shows a form without fields")
	}
}
