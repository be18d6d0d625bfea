package answer

import (
	"errors"
	"fmt"
	"testing"

	"kerfbook/costing/book"
	"kerfbook/costing/graph"
	"kerfbook/testdata"
)

// TestFaultsOfFiguresHaveTheirPlace: what is wrong with a figure is told at the
// field it came from, by a check and by an estimate.
func TestFaultsOfFiguresHaveTheirPlace(t *testing.T) {
	t.Parallel()
	_, places, err := book.Parse(testdata.Demo)
	if err != nil {
		t.Fatal(err)
	}
	path := "products[0].positions[0].quantity"
	fault := &graph.FaultError{Kind: graph.TooLarge, Key: "variant/x/cost", Detail: "too much", Path: path}
	at := places[path]
	for _, p := range obstacles(errors.Join(fmt.Errorf("trim x: %w", fault)), places) {
		if at.Line < 2 || p.Line != at.Line || p.Column != at.Column || p.Path != path || p.Message != "too much" {
			t.Errorf("%+v, want line %d", p, at.Line)
		}
	}
	var told *Error
	if err := Unbuildable(fault); !errors.As(err, &told) || told.Code != TooLarge || len(told.Fields) != 1 || told.Fields[0].Path != path {
		t.Errorf("%+v", told)
	}
}
