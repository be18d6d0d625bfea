package change

import (
	"context"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/costing/book"
	"kerfbook/costing/text"
	"kerfbook/testdata"
)

// TestDifferenceOf: each record is tried alone, so that what it does is told apart from
// what the others do; what has no figures alone says why.
func TestDifferenceOf(t *testing.T) {
	t.Parallel()
	demo := string(testdata.Demo)
	read := func(pairs ...string) answer.Origin {
		t.Helper()
		b, _, err := book.Parse([]byte(strings.NewReplacer(pairs...).Replace(demo)))
		if err != nil {
			t.Fatal(err)
		}
		return answer.Of(b)
	}
	between := func(after answer.Origin) (BookDifference, map[string]RecordDifference) {
		t.Helper()
		told := 0
		out, err := DifferenceOf(context.Background(), read(), after, decimal.NewFromInt(100), "2026-11-25", func(done, total int) { told = total })
		if err != nil {
			t.Fatal(err)
		}
		byID := map[string]RecordDifference{}
		for _, r := range out.Records {
			byID[r.Kind+"/"+r.ID] = r
		}
		if told != len(out.Records) {
			t.Errorf("%d records are told of, %d found", told, len(out.Records))
		}
		return out, byID
	}
	out, byID := between(read("    mass_g: 395", "    mass_g: 400", "labour_rate_per_h: 19.50", "labour_rate_per_h: 20.00", "# The book", "# A book"))
	if len(out.Records) != 2 || len(out.Costs) != 3 {
		t.Fatalf("%+v", out)
	}
	wage, mass := byID["work_centres/BENCH"], byID["parts/HS-010"]
	if wage.Did != "changed" || len(wage.Costs) != 3 || len(mass.Costs) != 3 || mass.Fields[0] != (text.FieldDifference{Path: "mass_g", Before: "395", After: "400"}) {
		t.Errorf("%+v\n%+v", wage, mass)
	}
	for i, all := range out.Costs {
		if wage.Costs[i].Trim != all.Trim || wage.Costs[i].Before.Value != all.Before.Value || wage.Costs[i].After.Value == all.After.Value || mass.Costs[i].After.Value == all.After.Value {
			t.Errorf("alone and together: %+v, %+v, %+v", wage.Costs[i], mass.Costs[i], all)
		}
	}
	// a work centre of another name: alone its removal takes figures away, together nothing moves
	_, byID = between(read("{id: GAUGE, ", "{id: GAUGING, ", "work_centre: GAUGE", "work_centre: GAUGING"))
	gone, come := byID["work_centres/GAUGE"], byID["work_centres/GAUGING"]
	if gone.Did != "removed" || come.Did != "added" || len(come.Costs) != 0 || len(come.Fields) == 0 {
		t.Errorf("%+v\n%+v", gone, come)
	}
	if gone.Why == "" && len(gone.Costs) == 0 {
		t.Errorf("what refers to a record that is gone has its figures still: %+v", gone)
	}
	if none, _ := between(read("# The book", "# Another book")); len(none.Records) != 0 {
		t.Errorf("another comment is a difference: %+v", none.Records)
	}
}
