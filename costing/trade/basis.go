package trade

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"
)

// CostBasis says which of the costs that a batch may come to a price rests on: likely,
// average, or not exceeded in 80 of 100. None said is likely.
type CostBasis string

// The bases without a number.
const (
	Likely  CostBasis = "likely"
	Average CostBasis = "average"
)

// NotExceeded is the basis that a number of 100 draws do not exceed.
func NotExceeded(of100 string) CostBasis {
	return CostBasis(notExceeded + of100 + ofHundred)
}

const notExceeded, ofHundred = "not exceeded in ", " of 100"

// CheckText refuses what is no basis.
func (CostBasis) CheckText(written string, _ bool) error {
	b := CostBasis(written)
	if b == Likely || b == Average {
		return nil
	}
	number, is := b.of100()
	if n, err := strconv.Atoi(number); !is || err != nil {
		return fmt.Errorf("%q is no cost a price rests on; write likely, average or: not exceeded in 80 of 100", written)
	} else if n < 1 || n > 99 || strconv.Itoa(n) != number {
		return fmt.Errorf("a cost is not exceeded in 1 to 99 of 100 batches, and not in %s", number)
	}
	return nil
}

// of100 is the number of draws in a basis that has one.
func (b CostBasis) of100() (number string, is bool) {
	rest, begins := strings.CutPrefix(string(b), notExceeded)
	number, ends := strings.CutSuffix(rest, ofHundred)
	return number, begins && ends
}

// Of100 is how many of 100 draws do not exceed the cost; empty for a basis that does not
// say it.
func (b CostBasis) Of100() string {
	if number, is := b.of100(); is {
		return number
	}
	return ""
}

// Drawn reports that only draws tell the cost.
func (b CostBasis) Drawn() bool { return b != "" && b != Likely }

// Share is the part of the draws that do not exceed the cost; 0 where none is named.
func (b CostBasis) Share() decimal.Decimal {
	n, _ := strconv.Atoi(b.Of100())
	return decimal.New(int64(n), -2)
}

// Words name the cost: a price rests on the likely cost.
func (b CostBasis) Words() string {
	switch {
	case !b.Drawn():
		return "likely cost"
	case b == Average:
		return "average of what a batch may cost"
	}
	return "cost that " + b.Of100() + " of 100 batches do not exceed"
}
