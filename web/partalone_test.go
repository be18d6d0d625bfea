package web_test

import (
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/bom"
)

// TestPartPageHasAPrice: the page of a part says what it costs by itself, and asks at a
// margin, in the quantities asked for: what the price list of the part says.
func TestPartPageHasAPrice(t *testing.T) {
	t.Parallel()
	s := demoShop(t)
	b := s.signIn(t)
	path := "/parts/HS-010?day=2026-11-25&pieces=45&margin=40&quantities=3,20"
	body := b.page(path)
	checkPage(t, path, body)
	margin := bom.Exactly(decimal.RequireFromString("0.4"))
	var quantities []decimal.Decimal
	for _, n := range []int64{3, 20, 45} {
		quantities = append(quantities, decimal.New(n, 0))
	}
	list, _, err := s.svc.PriceList(t.Context(), answer.PriceRequest{Day: "2026-11-25", Parts: []bom.ID{"HS-010"}, Margin: &margin, Quantities: quantities})
	if err != nil {
		t.Fatal(err)
	}
	rows := rowsOf(parsed(t, body), "by-quantity")
	if len(rows) != 4 || len(rows[0]) != 5 {
		t.Fatalf("the table by quantity is %v", rows)
	}
	for i, e := range list.Estimates {
		v := e.Variants[0]
		for k, f := range map[int]answer.Figure{1: v.Full, 3: v.Channels[0].Shelf, 4: v.Channels[1].Shelf} {
			if want := decimal.RequireFromString(f.Value).StringFixed(2); rows[i+1][k] != want {
				t.Errorf("%v: %s, wanted %s", rows[i+1], rows[i+1][k], want)
			}
			if !strings.Contains(body, `data-value="`+f.Value+`"`) {
				t.Errorf("the page lacks %s of %s pieces", f.Key, v.Quantity.Value)
			}
		}
	}
	text := textOf(parsed(t, body))
	says(t, "the page", text, "45 × heat sink, alone", "45 at once cost 35.22 EUR each", "Make 41, not 42: the 42nd costs 196.94", "It needs a second bar", "85 is the next good number, 29.19 each")
	usual := rowsOf(parsed(t, b.page("/parts/HS-010")), "by-quantity")
	if len(usual) != 6 || len(usual[0]) != 3 || usual[1][0] != "1" || usual[5][0] != "250" {
		t.Errorf("where nothing is asked the quantities are %v", usual)
	}
	says(t, "a part in a batch of trims", b.page("/parts/HS-010?mix=plain%3D100"), `href="/parts/HS-010"`, "Needed by this batch")
	// How sure and how many are asked of the part alone.
	for _, further := range []string{"/curve?mix=part%3AHS-010%400.4%3D45&trim=part%3AHS-010&pieces=45&from=20&to=100", "/spread?mix=part%3AHS-010%3D45&trim=part%3AHS-010&pieces=45", "/?mix=part%3AHS-010%3D45", "/landed?mix=part%3AHS-010%3D45", "/quotes/new?mix=part%3AHS-010%3D45"} {
		body := b.anyPage(further)
		checkPage(t, further, body)
		if strings.HasPrefix(further, "/curve") || strings.HasPrefix(further, "/spread") {
			says(t, further, body, "heat sink, alone")
		}
	}
}

func TestPartPageProblems(t *testing.T) {
	t.Parallel()
	demoShop(t).signIn(t).refuses("/parts/HS-010?", map[string][]string{
		"pieces=x":       {`href="#f-pieces"`, `value="x"`},
		"margin=140":     {`href="#f-margin"`, `value="140"`, "from 0 to below 100"},
		"margin=some":    {`href="#f-margin"`},
		"quantities=1,y": {`href="#f-quantities"`, `value="1,y"`},
		"quantities=1,2,3,4,5,6,7,8,9,10,11,12,13": {`href="#f-quantities"`, "at most 12"},
		"day=soon": {`value="soon"`},
	})
}
