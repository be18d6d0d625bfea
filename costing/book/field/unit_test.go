package field_test

import (
	"reflect"
	"regexp"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/field"
	"kerfbook/costing/book/record"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/testdata"
)

// What is entered has the unit in the estimate that the dictionary says.
func TestUnitsAreThoseOfTheEstimate(t *testing.T) {
	t.Parallel()
	looked := map[string]bool{}
	for _, written := range [][]byte{testdata.Demo, testdata.Features} {
		b, _, err := book.Parse(written)
		if err != nil {
			t.Fatal(err)
		}
		var mix []estimate.MixLine
		for _, p := range b.Products {
			for _, trim := range p.Trims {
				mix = append(mix, estimate.NewMix(p.Number, decimal.NewFromInt(100), trim.ID)...)
			}
		}
		e, err := estimate.Build(b, mix, "2026-11-25")
		if err != nil {
			t.Fatal(err)
		}
		for i := range e.Graph.Len() {
			n := e.Graph.Node(graph.ID(i))
			k, _, at, ok := record.Locate(n.Source.Path)
			if !ok {
				continue
			}
			f, ok := field.Under(k.Name, at)
			if ok && f.Leaf == reflect.TypeFor[bom.Number]() && !fits(f.Unit, n.Unit.String()) {
				t.Errorf("%s %s is in %q, and in the estimate in %q", k.Name, at, f.Unit, n.Unit)
			}
			looked[k.Name+" "+f.Name] = true
		}
	}
	if len(looked) < 80 {
		t.Errorf("only %d fields were looked at", len(looked))
	}
}

var (
	currency = regexp.MustCompile(`\b[A-Z]{3}\b`)
	each     = regexp.MustCompile(`/(piece|lot|load|mask|cut)$`) // of what is counted
)

// fits holds the unit of the dictionary against that of a graph. Units that depend on
// another field fit any.
func fits(said, computed string) bool {
	for _, depends := range []string{"as ", "in the ", "units ", "volume ", "share, or "} {
		if strings.HasPrefix(said, depends) {
			return true
		}
	}
	said = strings.NewReplacer("share per year", "1/year", " per ", "/", " and ", "/", "kWh", "kW/h", "Nm", "N·m", "weight unit", "kg",
		"share", "", "°", "", "× computed", "", "pieces", "piece", "years", "year").Replace(said)
	computed = currency.ReplaceAllString(computed, "money")
	switch {
	case said == "":
		return computed == "" || computed == "1/piece" || computed == "money/money" // counted by piece; of exchange
	case said == "money": // by the unit that another field names
		return strings.HasPrefix(computed, "money")
	case said == "piece":
		return computed == "piece" || computed == ""
	}
	return each.ReplaceAllString(said, "") == each.ReplaceAllString(computed, "")
}
