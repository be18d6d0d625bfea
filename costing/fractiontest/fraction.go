// Package fractiontest has the arithmetic in fractions that tests recount figures
// with, so that no oracle shares code with what it checks, the rules recounted in it
// (what an operation takes, an order and a lot cost), and what compares both. It is
// for tests only; text that is no number stops the test.
package fractiontest

import (
	"math/big"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
)

// Dec reads a decimal.
func Dec(text string) decimal.Decimal { return decimal.RequireFromString(text) }

// Num is a figure a person typed; "" is no entry.
func Num(text string) *bom.Number {
	if text == "" {
		return nil
	}
	n := bom.Exactly(Dec(text))
	return &n
}

// Rat reads a decimal, or a fraction such as 1036/9.
func Rat(text string) *big.Rat {
	r, ok := new(big.Rat).SetString(text)
	if !ok {
		panic("no fraction: " + text)
	}
	return r
}

// Typed is the fraction a person typed, zero for no entry.
func Typed(n *bom.Number) *big.Rat {
	if n == nil {
		return new(big.Rat)
	}
	return n.Likely.Rat()
}

// Plus is the sum of its terms.
func Plus(terms ...*big.Rat) *big.Rat {
	out := new(big.Rat)
	for _, t := range terms {
		out.Add(out, t)
	}
	return out
}

// Minus is a − b.
func Minus(a, b *big.Rat) *big.Rat { return new(big.Rat).Sub(a, b) }

// Over is a ÷ b.
func Over(a, b *big.Rat) *big.Rat { return new(big.Rat).Quo(a, b) }

// Times is the product of its factors.
func Times(factors ...*big.Rat) *big.Rat {
	out := big.NewRat(1, 1)
	for _, f := range factors {
		out.Mul(out, f)
	}
	return out
}
