package show_test

import (
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/proof"
	"kerfbook/costing/papers/show"
)

func TestNumbers(t *testing.T) {
	t.Parallel()
	d := decimal.RequireFromString
	for _, c := range []struct{ got, want string }{
		{show.Places(d("2.675"), 2), "2.68"},
		{show.Places(d("-2.675"), 2), "-2.68"},
		{show.Money(d("1234.5"), "EUR"), "1234.50"},
		{show.Money(d("1234.5"), "JPY"), "1235"},
		{show.Money(d("1.2345"), "KWD"), "1.235"},
		{show.Money(d("1.005"), "unknown"), "1.01"},
		{show.Percent(d("0.35194")), "35.2 %"},
		{show.Percent(d("-0.0005")), "-0.1 %"},
		{show.Full(d("0.1")), "0.1"},
		{show.Full(d("123456789012")), "123456789012"},
		{show.Full(d("3.141592653589793238462643383279503")), "3.14159265358…"},
		{show.Full(d("0.000000000123456789012345")), "0.000000000123456789012…"},
		{show.WithUnit("3", "mm"), "3 mm"},
		{show.WithUnit("3", ""), "3"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

func TestTableAlignsByCharacter(t *testing.T) {
	t.Parallel()
	var b strings.Builder
	if err := show.Table(&b, []string{"to", "price"}, [][]string{{"Zürich", "9.90"}, {"X", "–"}}); err != nil {
		t.Fatal(err)
	}
	want := "  to      price\n  Zürich   9.90\n  X           –\n"
	if b.String() != want {
		t.Errorf("got\n%s\nwant\n%s", b.String(), want)
	}
}

func TestTreeShowsSourceAndDoubt(t *testing.T) {
	t.Parallel()
	var b strings.Builder
	err := show.Tree(&b, proof.Step{Key: "tax/rate", Label: "tax", Value: "0.2", Low: "0.19", High: "0.21", How: "likely 0.2, between 0.19 and 0.21 (triangular)",
		Source: graph.Source{Where: "reference row", Cite: "from memory", Unverified: true, CheckedOn: "2026-11-25"}})
	if err != nil {
		t.Fatal(err)
	}
	want := "tax = 0.2   [tax/rate]\n    likely 0.2, between 0.19 and 0.21 (triangular); reference row; source: from memory; UNVERIFIED, checked on 2026-11-25\n"
	if b.String() != want {
		t.Errorf("got\n%s\nwant\n%s", b.String(), want)
	}
}
