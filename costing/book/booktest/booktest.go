// Package booktest has the books that tests begin with.
package booktest

import (
	"testing"

	"kerfbook/costing/book"
	"kerfbook/testdata"
)

// Demo is a fresh copy of the demo book, which a test may change.
func Demo(t testing.TB) *book.Book {
	t.Helper()
	return Read(t, testdata.Demo)
}

// Read reads a text without faults.
func Read(t testing.TB, text []byte) *book.Book {
	t.Helper()
	b, _ := Placed(t, string(text))
	return b
}
