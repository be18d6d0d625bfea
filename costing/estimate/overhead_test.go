package estimate_test

import (
	"strings"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/estimate"
	"kerfbook/costing/rates"
)

// TestUnknownOverheadBase charges overhead on a base that there is not: it must
// not fall on the first figure of the graph, which is a quantity.
func TestUnknownOverheadBase(t *testing.T) {
	t.Parallel()
	b := atHome(t)
	rate := bom.Whole(1)
	for i := range b.RateCards {
		b.RateCards[i].Making = &rates.Overhead{Base: "floor_area", Rate: &rate}
	}
	_, err := estimate.Build(b, mixOf("plain=100"), demoDay)
	if err == nil || !strings.Contains(err.Error(), `manufacturing overhead is charged on "floor_area", which is no base; there are labour_cost, labour_hours, machine_hours`) {
		t.Errorf("%v", err)
	}
}
