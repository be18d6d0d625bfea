package fractiontest

import (
	"math/rand/v2"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
)

// Draw makes the figures of a case by chance.
type Draw struct{ *rand.Rand }

// Drawn is a source of chance that is the same for the same seeds.
func Drawn(seed, stream uint64) Draw { return Draw{rand.New(rand.NewPCG(seed, stream))} }

// Figure is a decimal of some places up to a limit, in units of the last place.
func (d Draw) Figure(limit int64, places int32) *bom.Number {
	n := bom.Exactly(decimal.New(1+d.Int64N(limit), -places))
	return &n
}

// Maybe is a figure, or no entry in one case of two.
func (d Draw) Maybe(limit int64, places int32) *bom.Number {
	if d.IntN(2) == 0 {
		return nil
	}
	return d.Figure(limit, places)
}
