package costing_test

import (
	"testing"

	"kerfbook/costing"
	"kerfbook/costing/book"
	"kerfbook/testdata"
)

// demoDay is a day on which everything in the demo book is valid.
const demoDay = "2026-11-25"

// demo reads the demo book afresh, so that a test may change it.
func demo(t testing.TB) *book.Book {
	t.Helper()
	b, _, err := book.Parse(testdata.Demo)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func build(t testing.TB, b *book.Book, mix []costing.MixLine) *costing.Estimate {
	t.Helper()
	est, err := costing.Build(b, mix, demoDay)
	if err != nil {
		t.Fatal(err)
	}
	return est
}
