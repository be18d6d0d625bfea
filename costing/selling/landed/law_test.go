package landed_test

import (
	"fmt"
	"math/big"
	"slices"
	"strings"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
)

// This file says a second time, in fractions, what is due on a consignment: the
// law of each place as customs and tax offices describe it, with numbers of its
// own. It shares nothing with the product but the names of the answers.

type fraction = *big.Rat

// down is the multiple of a step not above an amount; half the nearest, halves up.
func down(x fraction, step string) fraction {
	n := ft.Over(x, ft.Rat(step))
	return ft.Times(new(big.Rat).SetInt(new(big.Int).Quo(n.Num(), n.Denom())), ft.Rat(step))
}

func half(x fraction, step string) fraction {
	return down(ft.Plus(x, ft.Times(big.NewRat(1, 2), ft.Rat(step))), step)
}
func cent(x fraction) fraction { return half(x, "0.01") }

func atMost(a fraction, b string) bool { return a.Cmp(ft.Rat(b)) <= 0 }

// parcelOf is a consignment as the law sees it, in the currency of the place.
type parcelOf struct {
	place           string // DE, CA-ON
	day             bom.Date
	business        bool
	registered      bool
	price, pieces   []fraction
	code            []string
	freight, inland fraction // all of it, and the part behind the border
	clearance       fraction // a fee that is fixed
	euro            fraction // one euro in the currency of the place
}

// due is the answer.
type due struct{ duty, charges, tax, seller, door, total fraction }

func (p parcelOf) goods(i int) fraction { return ft.Times(p.price[i], p.pieces[i]) }

func (p parcelOf) all() fraction { return p.each(p.goods) }

// part is the share of one kind of goods in an amount.
func (p parcelOf) part(i int, amount fraction) fraction {
	return ft.Over(ft.Times(amount, p.goods(i)), p.all())
}

// cif is the value of one kind at the border.
func (p parcelOf) cif(i int) fraction {
	return ft.Plus(p.goods(i), p.part(i, ft.Minus(p.freight, p.inland)))
}

func (p parcelOf) each(of func(i int) fraction) fraction {
	total := new(big.Rat)
	for i := range p.price {
		total.Add(total, of(i))
	}
	return total
}

// dearest is the price of the dearest piece.
func (p parcelOf) dearest() fraction {
	most := new(big.Rat)
	for _, x := range p.price {
		if x.Cmp(most) > 0 {
			most = x
		}
	}
	return most
}

func (p parcelOf) classes() int {
	var six []string
	for _, c := range p.code {
		six = append(six, strings.ReplaceAll(c, ".", "")[:6])
	}
	slices.Sort(six)
	return len(slices.Compact(six))
}

// checkout is the tax a seller charges: on each kind, on delivery, on a duty it
// charges on.
func (p parcelOf) checkout(rate string, duty fraction) fraction {
	return ft.Plus(p.each(func(i int) fraction { return cent(ft.Times(ft.Rat(rate), p.goods(i))) }),
		cent(ft.Times(ft.Rat(rate), p.freight)), cent(ft.Times(ft.Rat(rate), duty)))
}

// finish adds up who pays what: the seller collects tax and maybe duty, the rest
// is due at the door.
func (p parcelOf) finish(duty, charges, tax, seller fraction) due {
	fee := new(big.Rat)
	if p.clearance != nil && ft.Plus(duty, charges, tax).Sign() > 0 && ft.Minus(tax, seller).Sign() > 0 {
		fee = cent(p.clearance)
	}
	door := ft.Plus(ft.Minus(ft.Plus(duty, charges, tax), seller), fee)
	return due{duty, charges, tax, seller, door, ft.Plus(p.all(), p.freight, seller, door)}
}

var nothing = new(big.Rat)

// law picks the rules of the place.
func (p parcelOf) law() due {
	switch p.place {
	case "DE", "FR", "RO":
		return p.europeanUnion()
	case "GB":
		return p.unitedKingdom()
	case "CH":
		return p.switzerland()
	case "NO":
		return p.norway()
	case "US":
		return p.unitedStates()
	case "AU":
		return p.australia()
	case "NZ":
		return p.newZealand()
	case "JP":
		return p.japan()
	}
	return p.canada()
}

// europeanUnion: Regulation (EU) 2026/382 and Directive 2006/112/EC Art. 85, 86.
func (p parcelOf) europeanUnion() due {
	rate := map[string]string{"DE": "0.19", "FR": "0.2", "RO": "0.21"}[p.place]
	if p.place == "RO" && p.day < "2025-08-01" {
		rate = "0.19"
	}
	duties := map[string]string{"9405.21": "0.027", "9405.29": "0.027", "7616.99": "0.06"}
	low := cent(p.all()).Cmp(ft.Times(ft.Rat("150"), p.euro)) <= 0
	if p.day >= "2026-07-01" {
		low = low && !p.business
	}
	if !low {
		return p.ordinary(rate, duties)
	}
	duty := nothing
	if p.day >= "2026-07-01" {
		duty = cent(ft.Times(ft.Rat("3"), p.euro, big.NewRat(int64(p.classes()), 1)))
	}
	charges := nothing
	if p.place == "FR" && p.day >= "2026-03-01" {
		charges = big.NewRat(2*int64(p.classes()), 1)
	}
	if p.place == "RO" && p.day >= "2026-01-01" {
		charges = ft.Rat("25")
	}
	if p.day >= "2026-11-01" {
		charges = ft.Plus(charges, cent(ft.Times(ft.Rat("2"), p.euro, big.NewRat(int64(len(p.price)), 1))))
	}
	if p.registered && !p.business {
		tax := p.checkout(rate, duty)
		return p.finish(duty, charges, tax, ft.Plus(tax, duty))
	}
	return p.finish(duty, charges, cent(ft.Times(ft.Rat(rate), ft.Plus(p.all(), p.freight, duty))), nothing)
}

// ordinary is duty on the value at the border, and tax on that, the duty and the
// way to the buyer.
func (p parcelOf) ordinary(rate string, duties map[string]string) due {
	duty := cent(p.each(func(i int) fraction { return ft.Times(p.cif(i), ft.Rat(duties[p.code[i]])) }))
	return p.finish(duty, nothing, cent(ft.Times(ft.Rat(rate), ft.Plus(p.all(), p.freight, duty))), nothing)
}

// unitedKingdom: consignments up to GBP 135 are taxed by the seller, or by a
// business itself.
func (p parcelOf) unitedKingdom() due {
	switch {
	case !atMost(cent(p.all()), "135"):
		return p.ordinary("0.2", map[string]string{"9405.21": "0.02", "9405.29": "0.02", "7616.99": "0.06"})
	case p.business:
		return p.finish(nothing, nothing, nothing, nothing)
	default:
		tax := p.checkout("0.2", nothing)
		return p.finish(nothing, nothing, tax, tax)
	}
}

// switzerland: no duty on industrial goods; tax on all costs to the door and the
// fee for clearance, from whole francs to five centimes, and none up to CHF 5.
func (p parcelOf) switzerland() due {
	base := half(ft.Plus(p.all(), p.freight, p.clearance), "1")
	tax := half(ft.Times(base, ft.Rat("0.081")), "0.05")
	if atMost(tax, "5") {
		tax = nothing
	}
	return p.finish(nothing, nothing, tax, nothing)
}

// norway: items below NOK 3,000 sold to consumers by a registered seller; whole
// kroner at the border.
func (p parcelOf) norway() due {
	if p.registered && !p.business && p.dearest().Cmp(ft.Rat("3000")) < 0 {
		tax := p.checkout("0.25", nothing)
		return p.finish(nothing, nothing, tax, tax)
	}
	duties := map[string]string{"9405.21": "0", "9405.29": "0", "6109.10": "0.107"}
	duty := half(p.each(func(i int) fraction { return ft.Times(p.cif(i), ft.Rat(duties[p.code[i]])) }), "1")
	return p.finish(duty, nothing, half(ft.Times(ft.Rat("0.25"), ft.Plus(p.all(), p.freight, duty)), "1"), nothing)
}

// unitedStates: no relief, duty on the goods without freight, a surcharge on all
// but the metal articles that bear their own, and a processing fee.
func (p parcelOf) unitedStates() due {
	surcharge := func(code string) fraction {
		rate := nothing
		metal := code == "7616.99" && p.day >= "2026-04-06"
		if p.day >= "2026-02-24" && p.day <= "2026-07-24" && !metal {
			rate = ft.Rat("0.1")
		}
		if metal {
			rate = ft.Rat("0.25")
		}
		return rate
	}
	base := map[string]string{"9405.21": "0.06", "9405.29": "0.06", "7616.99": "0.025"}
	duty := cent(p.each(func(i int) fraction {
		return ft.Times(p.goods(i), ft.Plus(ft.Rat(base[p.code[i]]), surcharge(p.code[i])))
	}))
	fee := ft.Rat("2.69")
	if !atMost(cent(p.all()), "2500") {
		fee = cent(ft.Times(ft.Rat("0.003464"), p.all()))
		if fee.Cmp(ft.Rat("33.58")) < 0 {
			fee = ft.Rat("33.58")
		}
		if fee.Cmp(ft.Rat("651.50")) > 0 {
			fee = ft.Rat("651.50")
		}
	}
	return p.finish(duty, fee, nothing, nothing)
}

// canada: nothing up to CAD 20; duty and tax on the goods without freight; the
// tax of the province falls on consumers.
func (p parcelOf) canada() due {
	if atMost(cent(p.all()), "20") {
		return p.finish(nothing, nothing, nothing, nothing)
	}
	duties := map[string]string{"9405.21": "0.07", "9405.29": "0.07", "7616.99.90": "0.065"}
	duty := cent(p.each(func(i int) fraction { return ft.Times(p.goods(i), ft.Rat(duties[p.code[i]])) }))
	rates := map[string][]string{"CA-ON": {"0.13"}, "CA-QC": {"0.05", "0.09975"}, "CA-BC": {"0.05", "0.07"}}[p.place]
	if p.business {
		rates = []string{"0.05"}
	}
	tax := new(big.Rat)
	for _, r := range rates {
		tax.Add(tax, cent(ft.Times(ft.Rat(r), ft.Plus(p.all(), duty))))
	}
	return p.finish(duty, nothing, tax, nothing)
}

// australia: up to A$1,000 the registered seller taxes consumers and nobody else
// pays; above it all is due at the border, whatever one item costs.
func (p parcelOf) australia() due {
	if atMost(cent(p.all()), "1000") {
		if p.registered && !p.business {
			tax := p.checkout("0.1", nothing)
			return p.finish(nothing, nothing, tax, tax)
		}
		return p.finish(nothing, nothing, nothing, nothing)
	}
	duties := map[string]string{"9405.21": "0.05", "9405.29": "0.05", "8504.40": "0"}
	duty := cent(p.each(func(i int) fraction { return ft.Times(p.goods(i), ft.Rat(duties[p.code[i]])) }))
	charges := ft.Rat("95")
	if cent(p.all()).Cmp(ft.Rat("10000")) >= 0 {
		charges = ft.Rat("197")
	}
	return p.finish(duty, charges, cent(ft.Times(ft.Rat("0.1"), ft.Plus(p.all(), p.freight, duty))), nothing)
}

// newZealand: the seller taxes items up to NZ$1,000; a consignment above that
// bears duty, the tax on the duty and entry charges all the same.
func (p parcelOf) newZealand() due {
	levy, entry := nothing, ft.Plus(ft.Rat("53.44"), ft.Rat("46.40"), cent(ft.Times(ft.Rat("46.40"), ft.Rat("0.15"))))
	if p.day < "2025-07-01" {
		entry = ft.Minus(entry, ft.Minus(ft.Rat("53.44"), ft.Rat("40.08")))
	}
	if p.day >= "2026-04-01" {
		levy = ft.Plus(ft.Rat("2.21"), cent(ft.Times(ft.Rat("2.21"), ft.Rat("0.15"))))
	}
	scheme := p.registered && !p.business
	low := atMost(cent(p.all()), "1000")
	duties := map[string]string{"9405.21": "0.05", "9405.29": "0.05", "8504.40": "0"}
	duty := cent(p.each(func(i int) fraction { return ft.Times(p.goods(i), ft.Rat(duties[p.code[i]])) }))
	switch {
	case low && scheme:
		tax := p.checkout("0.15", nothing)
		return p.finish(nothing, levy, tax, tax)
	case low:
		return p.finish(nothing, levy, nothing, nothing)
	case scheme && atMost(p.dearest(), "1000"):
		tax := p.checkout("0.15", nothing)
		return p.finish(duty, ft.Plus(entry, cent(ft.Times(ft.Rat("0.15"), duty))), tax, tax)
	default:
		return p.finish(duty, entry, cent(ft.Times(ft.Rat("0.15"), ft.Plus(p.all(), p.freight, duty))), nothing)
	}
}

// japan: Japan Customs, questions 1006 and 1111. The duties are those of the test.
func (p parcelOf) japan() due {
	if atMost(half(p.each(p.cif), "1"), "10000") {
		return p.finish(nothing, nothing, nothing, nothing)
	}
	duties := map[string]string{"9405.21": "0.047", "9405.29": "0.047", "8504.40": "0.013"}
	duty, national, local := new(big.Rat), new(big.Rat), new(big.Rat)
	for i := range p.price {
		of := ft.Times(down(p.cif(i), "1000"), ft.Rat(duties[p.code[i]]))
		base := down(ft.Plus(p.cif(i), p.part(i, p.inland), down(of, "100")), "1000")
		first := ft.Times(base, ft.Rat("0.078"))
		duty.Add(duty, of)
		national.Add(national, first)
		local.Add(local, down(ft.Times(down(first, "100"), big.NewRat(22, 78)), "1"))
	}
	return p.finish(down(duty, "100"), nothing, ft.Plus(down(national, "100"), down(local, "100")), nothing)
}

func (d due) list() map[string]fraction {
	return map[string]fraction{"duty": d.duty, "charges": d.charges, "tax": d.tax, "seller": d.seller, "door": d.door, "total": d.total}
}

func (p parcelOf) String() string {
	who := "consumer"
	if p.business {
		who = "business"
	}
	var goods []string
	for i := range p.price {
		goods = append(goods, fmt.Sprintf("%s × %s of %s", p.pieces[i].RatString(), p.price[i].FloatString(2), p.code[i]))
	}
	return fmt.Sprintf("%s on %s, %s, registered %t, %s, freight %s", p.place, p.day, who, p.registered, strings.Join(goods, ", "), p.freight.FloatString(2))
}
