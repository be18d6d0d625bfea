package estimate

import (
	"testing"

	"kerfbook/costing/book"
)

// TestRenamed: keys of before lead to what they are now, and no other key changes.
func TestRenamed(t *testing.T) {
	t.Parallel()
	mix := []MixLine{{Product: "LAMP", Trim: "plain"}}
	for was, is := range map[string]string{
		"part/ROD/trim":                          "part/ROD/end-cut",
		"part/ROD/grip":                          "part/ROD/bar-end",
		"part/ROD/length":                        "part/ROD/length",
		"stock/ROD/trim":                         "stock/ROD/trim",
		"stock/ROD/grip":                         "stock/ROD/grip",
		"destination/GB/plain/at-place/total":    "destination/GB/plain/buyer-clears/total",
		"destination/GB/plain/duty-paid/total":   "destination/GB/plain/all-paid/total",
		"variant/plain/op/10/time":               "product/LAMP/op/10/time",
		"variant/plain/each/full":                "variant/plain/each/full",
		"variant/plain/price/direct/list-price":  "price/LAMP._.direct/entered-list-price",
		"variant/another/price/direct/fee-share": "variant/another/price/direct/fee-share",
	} {
		if got := Renamed(&book.Book{}, mix, was); got != is {
			t.Errorf("%s becomes %s, want %s", was, got, is)
		}
	}
}
