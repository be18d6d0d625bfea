package estimate_test

import (
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/book/booktest"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/testdata/depth"
)

// TestOneNumberIsOneInput: no two inputs of a graph come from one field of the book,
// and a number that all trims read has the key of the record it stands in.
func TestOneNumberIsOneInput(t *testing.T) {
	t.Parallel()
	est, err := estimate.Build(demo(t), estimate.NewMix("LAMP", decimal.NewFromInt(250), "plain", "glow", "tune"), demoDay)
	if err != nil {
		t.Fatal(err)
	}
	wantOneInputEach(t, est)
	for key, path := range map[string]string{
		"product/LAMP/op/10/piece-time":                      "products[0].routing[0].piece_min",
		"product/LAMP/op/10/learning/rate":                   "products[0].routing[0].learning.rate",
		"product/LAMP/position/50/quantity":                  "products[0].positions[12].quantity",
		"product/LAMP/special/safety-tests-of-the-lamp/over": "products[0].special_direct[0].recover_over_pieces",
		"price/LAMP._.direct/margin-wanted":                  "prices[0].margin",
		"destination/GB/point-ending":                        "destinations[4].price_point.ending",
	} {
		if id, ok := est.Graph.Find(key); !ok || est.Graph.Node(id).Source.Path != path {
			t.Errorf("there is no input %s from %s", key, path)
		}
	}
	base, several := booktest.Read(t, []byte(severalBook)), 0
	for seed := range depth.Seeds(300) {
		b, mix := drawn(base, rand.New(rand.NewPCG(seed, 42)))
		est, err := estimate.Build(b, mix, demoDay)
		if err != nil {
			continue
		}
		wantOneInputEach(t, est)
		if len(est.Variants) > 1 {
			several++
		}
	}
	if several < depth.Of(300)/3 {
		t.Errorf("only %d books have several trims in the mix", several)
	}
}

func wantOneInputEach(t *testing.T, est *estimate.Estimate) {
	t.Helper()
	first := map[string]string{}
	for id := range graph.ID(est.Graph.Len()) {
		n := est.Graph.Node(id)
		if n.Kind != graph.Input || n.Source.Path == "" || n.Missing != "" {
			continue
		}
		if other, twice := first[n.Source.Path]; twice {
			t.Errorf("%s and %s both come from %s", other, n.Key, n.Source.Path)
		}
		first[n.Source.Path] = n.Key
	}
}

// TestRenamed: the keys that inputs had while each variant had its own lead to those
// they have now.
func TestRenamed(t *testing.T) {
	t.Parallel()
	b := demo(t)
	mix := estimate.NewMix("LAMP", decimal.NewFromInt(250), "plain", "glow")
	est, err := estimate.Build(b, mix, demoDay)
	if err != nil {
		t.Fatal(err)
	}
	for _, was := range []string{"variant/glow/op/20/yield", "variant/glow/position/60/fitting-scrap", "variant/glow/special/safety-tests-of-the-lamp/amount",
		"variant/glow/each/special-selling", "variant/glow/price/dealer/margin-wanted", "destination/CH/point-step-per-piece", "part/HS-010/trim", "part/HS-010/grip"} {
		now := estimate.Renamed(b, mix[1:], was)
		if id, ok := est.Graph.Find(now); !ok || est.Graph.Node(id).Kind != graph.Input || now == was {
			t.Errorf("%s is now %s, which is no input", was, now)
		}
		if other := estimate.Renamed(b, mix[:1], was); strings.HasPrefix(was, "variant/") && other != was {
			t.Errorf("%s is renamed for another variant, to %s", was, other)
		}
	}
	for was, now := range map[string]string{"GB/plain/at-place/total": "GB/plain/buyer-clears/total", "JP/glow/duty-paid/keeps-margin": "JP/glow/all-paid/keeps-margin",
		"GB/at-place/goods": "GB/at-place/goods"} { // a basket of that name
		if got := estimate.Renamed(b, mix, "destination/"+was); got != "destination/"+now {
			t.Errorf("%s is renamed to %s", was, got)
		}
	}
	for i := range b.Prices { // one of its own
		b.Prices[i].Trim = bom.ID("glow")
	}
	if now := estimate.Renamed(b, mix, "variant/glow/price/direct/list-price"); now != "price/LAMP.glow.direct/entered-list-price" {
		t.Errorf("the price of a trim is renamed to %s", now)
	}
}
