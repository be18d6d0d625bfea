package estimate_test

import (
	"fmt"
	"math/big"
	"math/rand/v2"
	"strings"
	"testing"

	"kerfbook/costing/book/check"
	"kerfbook/costing/estimate"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph/exact"
)

// wageBook is a book whose work centre M, of this text, is that of one hour of a wage W.
func wageBook(centre, wage string) string {
	return "wages: [{id: W, name: hand, " + wage + "}]\n" + `work_centres:
  - {id: M, name: machine, ` + centre + `}
offers: [{for: RAW, supplier: S, unit: piece, currency: EUR, breaks: [{from: 1, price: 1}]}]
parts: [{number: RAW, name: bare part, kind: bought}]
products:
  - number: X
    name: product X
    positions: [{number: 10, part: RAW, quantity: 1}]
    trims: [{id: only, name: Only}]
    routing: [{number: 10, name: work, kind: machining, work_centre: M, piece_min: 60, attended_share: 0.5}]
`
}

// answers are what is said of a wage.
type answers struct{ pay, onTop, other, week, off, share, year int64 } // shares in parts of 1000

func (a answers) text() string {
	out := fmt.Sprintf("pay_per_year: %d, on_top: %s", a.pay, big.NewRat(a.onTop, 1000).FloatString(3))
	if a.other > 0 {
		out += fmt.Sprintf(", other_per_year: [{name: rent, amount: %d}]", a.other)
	}
	if a.year > 0 {
		return out + fmt.Sprintf(", hours_per_year: %d", a.year)
	}
	return out + fmt.Sprintf(", hours_per_week: %d, days_off_per_year: %d, share_in_parts: %s", a.week, a.off, big.NewRat(a.share, 1000).FloatString(3))
}

// hour counts M23 a second time: day by day through the weeks of a year, until the days
// off are used up, and what is paid over what that leaves.
func (a answers) hour() *big.Rat {
	paid := new(big.Rat).SetInt64(a.pay + a.other)
	paid.Add(paid, big.NewRat(a.pay*a.onTop, 1000))
	hours := new(big.Rat).SetInt64(a.year)
	off := a.off
	for day := 0; a.year == 0 && day < 52*5; day++ {
		if off > 0 {
			off--
			continue
		}
		hours.Add(hours, big.NewRat(a.week*a.share, 5*1000))
	}
	return paid.Quo(paid, hours)
}

// TestWage: an hour of a person, recounted, and growing with everything that is paid and
// with every hour that is not worked. Half the hours are never cheaper.
func TestWage(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(23, 5))
	hour := func(a answers) *big.Rat {
		s := smallSheet(t, smallBook(t, wageBook("machine_rate_per_h: 0, wage: W", a.text())), 4)
		got := s.key("wage/W/hour")
		ft.Same(t, a.text(), got, a.hour())
		ft.Same(t, a.text()+": two attended hours", s.key("variant/only/op/10/labour-cost"), ft.Times(ft.Rat("2"), a.hour()))
		return got
	}
	for range 12 {
		a := answers{pay: 1 + r.Int64N(60000), onTop: r.Int64N(600), other: r.Int64N(20000), week: 1 + r.Int64N(60), off: r.Int64N(200), share: 1 + r.Int64N(999)}
		own := a
		own.year = 1 + r.Int64N(2000)
		for _, of := range []answers{a, own} {
			before := hour(of)
			for name, grow := range map[string]func(x *answers){
				"pay": func(x *answers) { x.pay += 100 }, "on top": func(x *answers) { x.onTop += 10 }, "other": func(x *answers) { x.other += 100 },
				"fewer hours a week": func(x *answers) { x.week = max(1, x.week/2) }, "days off": func(x *answers) { x.off++ },
				"share": func(x *answers) { x.share = max(1, x.share/2) }, "half the hours": func(x *answers) { x.year = (x.year + 1) / 2 },
			} {
				more := of
				grow(&more)
				if after := hour(more); after.Cmp(before) < 0 {
					t.Errorf("%s of %s: %s became %s", name, of.text(), before.FloatString(4), after.FloatString(4))
				}
			}
		}
	}
	// By hand: 24,500 and 23.75 % on top are 30,318.75; 222 days of 8 hours, of which 80 %
	// go into parts, are 1,420.8 hours.
	if got := hour(answers{pay: 24500, onTop: 237, week: 40, off: 38, share: 800}); got.FloatString(2) != "21.33" {
		t.Errorf("an hour costs %s", got.FloatString(2))
	}
}

// TestOwnHour: it is charged for all the time in which the machine is occupied, once, and
// for programs; alone it stands beside what it becomes at half the hours.
func TestOwnHour(t *testing.T) {
	t.Parallel()
	own := answers{pay: 30000, onTop: 300, other: 12000, year: 1000}
	s := smallSheet(t, smallBook(t, wageBook("own_hour: W", own.text())), 4)
	ft.Same(t, "four hours of the machine", s.key("variant/only/op/10/machine-cost"), ft.Rat("204"))
	ft.Same(t, "no wage beside it", s.key("variant/only/op/10/labour-cost"), ft.Rat("0"))

	b := smallBook(t, wageBook("own_hour: W", own.text()))
	g, hours, err := estimate.WageHours(b.Wages, "EUR")
	if err != nil {
		t.Fatal(err)
	}
	values, err := exact.Evaluate(g, nil)
	if err != nil {
		t.Fatal(err)
	}
	if one, err := values.Get(hours[0].Hour); err != nil || one.String() != "51" {
		t.Errorf("an hour: %s, %v", one, err)
	}
	if half, err := values.Get(hours[0].AtHalf); err != nil || half.String() != "102" {
		t.Errorf("at half the hours: %s, %v", half, err)
	}
}

// TestWageTakenOut: whatever an hour rests on can be taken out again, and is then named as
// missing where the cost stands; what contradicts itself is refused.
func TestWageTakenOut(t *testing.T) {
	t.Parallel()
	week, year := answers{pay: 24000, onTop: 250, week: 40, off: 30, share: 800}, answers{pay: 24000, onTop: 250, year: 1000, other: 500}
	for _, c := range []struct{ text, takeOut, missing string }{
		{week.text(), "pay_per_year: 24000, ", "pay of a year of hand"},
		{week.text(), ", on_top: 0.250", "share paid on top of the pay of hand"},
		{week.text(), ", hours_per_week: 40", "hours of a week of hand"},
		{week.text(), ", days_off_per_year: 30", "days off a year of hand"},
		{week.text(), ", share_in_parts: 0.800", "share of the hours that goes into parts of hand"},
		{year.text(), ", hours_per_year: 1000", "hours of hand"},
		{year.text(), ", amount: 500", "rent a year of hand"},
		{year.text(), "wages: [{id: W", "wage W"},
	} {
		for _, centre := range []string{"machine_rate_per_h: 0, wage: W", "own_hour: W"} {
			instead := ""
			if c.missing == "wage W" {
				instead = "wages: [{id: V" // which nothing names
			}
			b := smallBook(t, strings.Replace(wageBook(centre, c.text), c.takeOut, instead, 1))
			if named := lacking(t, b, smallMix()); !strings.Contains(strings.Join(named, "; "), c.missing) {
				t.Errorf("without %s, the cost lacks %q", c.takeOut, named)
			}
			if len(check.Book(b, nil, demoDay)) == 0 {
				t.Errorf("without %s: the check says nothing", c.takeOut)
			}
		}
	}
	wantRefused(t, "hours twice", wageBook("own_hour: W", week.text()+", hours_per_year: 900"), "hours_per_year", "not both")
	wantRefused(t, "two ways of a wage", wageBook("machine_rate_per_h: 1, labour_rate_per_h: 3, wage: W", week.text()), "labour_rate_per_h", "not both")
	for _, beside := range []string{"machine_rate_per_h: 1", "labour_rate_per_h: 0", "wage: W", "hour_rate: {replacement: 1, life_years: 1, hours_per_year: 1, interest_per_year: 0}"} {
		text := wageBook("own_hour: W, "+beside, week.text())
		wantRefused(t, "own hour beside "+beside, text, "own_hour", "give it alone")
		if _, err := estimate.Build(smallBook(t, text), smallMix(), demoDay); err == nil || !strings.Contains(err.Error(), "give it alone") {
			t.Errorf("own hour beside %s builds: %v", beside, err)
		}
	}
}
