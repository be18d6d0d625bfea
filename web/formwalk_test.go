package web_test

import (
	"strings"
	"testing"
)

// save presses the button of the form that saves it.
func (c *clerk) save(title string) {
	c.t.Helper()
	c.press("#form button[value=save]")
	if wrong := eval[string](c.tab, `document.querySelector("#problems")?.innerText || ""`); wrong != "" {
		c.t.Fatal(wrong)
	}
	c.expect("h1", title)
}

// TestShopByForms enters a shop from an empty database by forms alone: a work centre, a
// material, a stock with its offer, a turned part of three features, a second part, and a
// product of both, which then has a price.
func TestShopByForms(t *testing.T) {
	inBrowser(t)
	s := emptyShop(t)
	c := &clerk{tab: s.openSignedIn(t, chrome(t))}
	c.noScripts() // nothing of it needs one
	c.visit("/book")
	c.press(`main a[href="/book/shop/new"]`)
	c.fill("#f-name", "Oficina")
	c.fill("#f-country", "PT")
	c.fill("#f-currency", "EUR")
	c.press("button[name=add][value=rate_cards]")
	c.fill("#f-beside-0--id", "2026")
	c.save("Oficina")
	c.atMost("a shop and its rate card", 3, 4, 3)

	c.visit("/book/work_centres")
	c.press(`main a[href="/book/work_centres/new"]`)
	c.fill("#f-name", "bar lathe")
	c.fill("#f-machine_rate_per_h", "34")
	c.fill("#f-labour_rate_per_h", "24")
	c.save("bar lathe")
	c.atMost("a work centre", 2, 3, 2)

	c.visit("/book/materials")
	c.press(`main a[href="/book/materials/new"]`)
	c.fill("#f-name", "brass")
	c.fill("#f-density_g_cm3", "8.5")
	c.save("brass")
	c.atMost("a material", 2, 2, 2)

	c.visit("/book/stocks")
	c.press(`main a[href="/book/stocks/new"]`)
	c.fill("#f-name", "brass bar 22")
	c.choose("#f-material", "BRASS")
	c.choose("#f-form", "bar")
	c.fill("#f-length_mm", "1 m")
	c.fill("#f-diameter_mm", "22")
	c.press("button[name=add][value=offers]")
	c.press(`button[value="new suppliers beside[0].supplier"]`)
	c.fill("#f-beside-1--name", "Metais")
	c.choose("#f-beside-0--unit", "piece")
	c.fill("#f-beside-0--breaks-0--price", "31.90")
	c.save("brass bar 22")
	c.atMost("a stock, its offer and the supplier", 7, 5, 4)
	if _, offer := s.signIn(t).get("/book/offers/BRASS-BAR-22.METAIS"); !strings.Contains(offer, `data-value="31.9"`) {
		t.Errorf("the offer is not there: %.3000s", offer)
	}

	c.visit("/book/parts")
	c.press(`main a[href="/book/parts/new"]`)
	c.fill("#f-name", "brass knob")
	c.choose("#f-kind", "made")
	c.choose("#f-blank-stock", "BRASS-BAR-22")
	c.fill("#f-blank-length_mm", "24")
	c.choose("#f-new-routing", "machining")
	c.press(`button[value="add routing"]`)
	c.fill("#f-routing-0--name", "turn complete")
	c.choose("#f-routing-0--work_centre", "BAR-LATHE")
	c.fill("#f-routing-0--setup_min", "35")
	c.choose("#f-new-routing-0--features", "turn")
	c.press(`button[value="add routing[0].features"]`)
	c.fill("#f-routing-0--features-0--length_mm", "20")
	c.fill("#f-routing-0--features-0--diameter_mm", "22")
	c.fill("#f-routing-0--features-0--to_diameter_mm", "20")
	c.choose("#f-new-routing-0--features", "drill")
	c.press(`button[value="add routing[0].features"]`)
	c.fill("#f-routing-0--features-1--diameter_mm", "5")
	c.fill("#f-routing-0--features-1--depth_mm", "15")
	c.choose("#f-new-routing-0--features", "part_off")
	c.press(`button[value="add routing[0].features"]`)
	c.fill("#f-routing-0--features-2--diameter_mm", "22")
	c.save("brass knob")
	c.atMost("a turned part of three features", 13, 10, 6)

	c.visit("/book/parts/BRASS-KNOB")
	c.press(`main a[href="/book/parts/new?copy=BRASS-KNOB"]`)
	c.fill("#f-name", "long knob")
	c.fill("#f-blank-length_mm", "34")
	c.save("long knob")
	c.atMost("a second part, copied", 2, 2, 2)

	c.visit("/book/products")
	c.press(`main a[href="/book/products/new"]`)
	c.fill("#f-name", "pair of knobs")
	c.choose("#f-positions-0--part", "BRASS-KNOB")
	c.fill("#f-positions-0--quantity", "1")
	c.press(`button[value="add positions"]`)
	c.choose("#f-positions-1--part", "LONG-KNOB")
	c.fill("#f-positions-1--quantity", "1")
	c.fill("#f-trims-0--name", "plain")
	c.save("pair of knobs")
	c.atMost("a product of two parts", 5, 4, 3)
	if start := s.signIn(t).page("/"); !strings.Contains(start, `data-key="variant/plain/each/full"`) {
		t.Error("the product has no full cost")
	}
}
