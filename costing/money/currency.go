package money

import "github.com/shopspring/decimal"

// Currency is one entry of the ISO 4217 list.
type Currency struct {
	Code string
	Name string
	// Places is the number of decimal places of the minor unit.
	Places int32
}

// MinorUnit is the smallest amount: 0.01, 1 or 0.001.
func (c Currency) MinorUnit() decimal.Decimal { return decimal.New(1, -c.Places) }

// Lookup finds a currency by its code. ok is false for what is not on the list.
func Lookup(code string) (c Currency, ok bool) {
	c, ok = byCode[code]
	return c, ok
}

var byCode = index(list)

func index(all []Currency) map[string]Currency {
	out := make(map[string]Currency, len(all))
	for _, c := range all {
		out[c.Code] = c
	}
	return out
}
