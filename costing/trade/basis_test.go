package trade

import (
	"strings"
	"testing"
)

func TestCostBasis(t *testing.T) {
	t.Parallel()
	for written, c := range map[string]struct {
		fault, words, share string
		drawn               bool
	}{
		"likely":                     {words: "likely cost", share: "0"},
		"average":                    {words: "average of what a batch may cost", share: "0", drawn: true},
		"not exceeded in 1 of 100":   {words: "cost that 1 of 100 batches do not exceed", share: "0.01", drawn: true},
		"not exceeded in 80 of 100":  {words: "cost that 80 of 100 batches do not exceed", share: "0.8", drawn: true},
		"not exceeded in 99 of 100":  {words: "cost that 99 of 100 batches do not exceed", share: "0.99", drawn: true},
		"not exceeded in 0 of 100":   {fault: "1 to 99 of 100"},
		"not exceeded in 100 of 100": {fault: "1 to 99 of 100"},
		"not exceeded in -5 of 100":  {fault: "1 to 99 of 100"},
		"not exceeded in 08 of 100":  {fault: "1 to 99 of 100"},
		"not exceeded in of 100":     {fault: "no cost a price rests on"},
		"not exceeded in 8.5 of 100": {fault: "no cost a price rests on"},
		"not exceeded in 80":         {fault: "no cost a price rests on"},
		"mean":                       {fault: "no cost a price rests on"},
		"":                           {fault: "no cost a price rests on"},
	} {
		b := CostBasis(written)
		if err := b.CheckText(written, false); (err == nil) != (c.fault == "") || err != nil && !strings.Contains(err.Error(), c.fault) {
			t.Errorf("%q: %v, want %q", written, err, c.fault)
		} else if err != nil {
			continue
		}
		if b.Words() != c.words || b.Share().String() != c.share || b.Drawn() != c.drawn || (b.Of100() != "") != (c.share != "0") {
			t.Errorf("%q is %q, share %s, drawn %v", written, b.Words(), b.Share(), b.Drawn())
		}
	}
	if b := CostBasis(""); b.Drawn() || b.Words() != "likely cost" || NotExceeded("80") != "not exceeded in 80 of 100" {
		t.Error("what says nothing is not likely, or the words differ")
	}
}
