package change

import (
	"bytes"
	"reflect"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/book/record"
	"kerfbook/costing/estimate"
)

func TestParseQuantity(t *testing.T) {
	t.Parallel()
	for text, fault := range map[string]string{
		"100": "", "1.0": "", "0": "not more than 0", "-5": "not more than 0", "1.5": "no whole number", "": "a number is missing", "x": "not a plain decimal",
		"50..500": "is a range", "50-500": "is a range", "50 – 500": "is a range", "50…500": "is a range", "50 to 500": "is a range", "{low: 1, likely: 2}": "is a range",
		"1/2": "number only", "2026-11-25": "number only",
	} {
		_, err := answer.ParseQuantity(text)
		if (err == nil) != (fault == "") || err != nil && !strings.Contains(err.Error(), fault) {
			t.Errorf("%q: %v, want %q", text, err, fault)
		}
	}
}

func TestARangeOfABatchIsRefused(t *testing.T) {
	t.Parallel()
	mix := estimate.NewMix("LAMP", decimal.NewFromInt(120), "plain")
	if err := answer.WellFormed(mix, "2026-11-25"); err != nil {
		t.Fatal(err)
	}
	mix[0].Quantity = bom.Number{Low: decimal.NewFromInt(80), Likely: decimal.NewFromInt(120), High: decimal.NewFromInt(200), IsRange: true}
	if err := answer.WellFormed(mix, "2026-11-25"); answer.CodeOf(err) != answer.Invalid || !strings.Contains(err.Error(), "the quantity of plain is a range") || !strings.Contains(err.Error(), "batch curve") {
		t.Errorf("the service says %v", err)
	}
	if _, err := estimate.Build(demoShelf(t).Book, mix, "2026-11-25"); err == nil || !strings.Contains(err.Error(), "the quantity of plain is a range") {
		t.Errorf("the engine says %v", err)
	}
}

// TestRecordsComeBackFromJSON reads each record of the demo, which has ranges of
// every shape, from its JSON.
func TestRecordsComeBackFromJSON(t *testing.T) {
	t.Parallel()
	held := demoShelf(t)
	seen := map[string]bool{}
	for _, k := range record.Kinds() {
		for _, r := range held.Records[k.Name] {
			value, _, err := k.Read(r.Text)
			if err != nil {
				t.Fatal(err)
			}
			form := record.JSON(reflect.ValueOf(value.Interface()))
			for _, shape := range bom.ShapeNames() {
				seen[shape] = seen[shape] || bytes.Contains(form, []byte(`"shape":"`+shape+`"`))
			}
			back, _, err := k.Read(form)
			if err != nil {
				t.Errorf("%s %s: %v", k.Name, r.ID, err)
				continue
			}
			text, err := k.Write(back)
			if err != nil || !bytes.Equal(text, r.Text) {
				t.Errorf("%s %s comes back as\n%s\n%v, was\n%s", k.Name, r.ID, text, err, r.Text)
			}
		}
	}
	if seen["triangular"] || !seen["pert"] || !seen["uniform"] || !seen["normal"] {
		t.Errorf("shapes written: %v", seen)
	}
}
