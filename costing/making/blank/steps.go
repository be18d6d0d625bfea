package blank

import (
	"math/big"

	"github.com/shopspring/decimal"
)

// ruler measures lengths in whole steps of 10^-places mm, so that solvers and
// pictures count in integers: sums, differences and fits are exact.
type ruler struct{ places int32 }

// maxSteps bounds a length, so that the product of two is an int64.
const maxSteps = 1<<31 - 1

// newRuler gives a ruler on which each length is a whole number of steps, with at
// least as many places as asked for. It is false where a length has more steps
// than a ruler has.
func newRuler(places int32, lengths ...decimal.Decimal) (ruler, bool) {
	for _, d := range lengths {
		places = max(places, -trimmed(d).Exponent())
	}
	r := ruler{places}
	for _, d := range lengths {
		if _, ok := r.steps(d); !ok {
			return ruler{}, false
		}
	}
	return r, true
}

// trimmed writes a number without zeros at the end.
func trimmed(d decimal.Decimal) decimal.Decimal {
	coefficient, exponent := d.Coefficient(), d.Exponent()
	if coefficient.Sign() == 0 {
		return decimal.Decimal{}
	}
	ten, rest := big.NewInt(10), new(big.Int)
	for exponent < 0 {
		tenth, _ := new(big.Int).QuoRem(coefficient, ten, rest)
		if rest.Sign() != 0 {
			break
		}
		coefficient, exponent = tenth, exponent+1
	}
	return decimal.NewFromBigInt(coefficient, exponent)
}

// steps gives a length that the ruler was made for.
func (r ruler) steps(d decimal.Decimal) (int64, bool) {
	up := d.Exponent() + r.places
	n := d.Coefficient()
	switch {
	case up > 18 && n.Sign() != 0:
		return 0, false
	case up < 0:
		n = trimmed(d).Coefficient()
		up = max(0, trimmed(d).Exponent()+r.places)
	}
	if n.Sign() == 0 {
		return 0, true
	}
	n = new(big.Int).Mul(n, new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(up)), nil))
	if !n.IsInt64() || n.Int64() > maxSteps || n.Int64() < -maxSteps {
		return 0, false
	}
	return n.Int64(), true
}

// mm gives a number of steps as a length.
func (r ruler) mm(steps int64) decimal.Decimal { return decimal.New(steps, -r.places) }
