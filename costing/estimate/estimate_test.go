package estimate_test

import (
	"errors"
	"fmt"
	"maps"
	"math/big"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/bom/variant"
	"kerfbook/costing/book"
	"kerfbook/costing/book/booktest"
	"kerfbook/costing/book/check"
	"kerfbook/costing/estimate"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/rates"
)

// demoDay is a day on which everything in the demo book is valid.
const demoDay = "2026-11-25"

// demo reads the demo book afresh, so that a test may change it.
func demo(t testing.TB) *book.Book { return booktest.Demo(t) }

// atHome is the demo book without what lies behind the shop's door, for tests of
// costs only.
func atHome(t testing.TB) *book.Book {
	b := demo(t)
	b.Destinations, b.Baskets = nil, nil
	return b
}

// mixOf reads words such as plain=100 or glow+mount:wall=50.
func mixOf(words ...string) []estimate.MixLine {
	var mix []estimate.MixLine
	for _, w := range words {
		name, quantity, _ := strings.Cut(w, "=")
		parts := strings.Split(name, "+")
		l := estimate.MixLine{Product: "LAMP", Trim: bom.ID(parts[0]), Quantity: bom.Exactly(decimal.RequireFromString(quantity))}
		for _, p := range parts[1:] {
			option, choice, _ := strings.Cut(p, ":")
			if l.Choices == nil {
				l.Choices = map[bom.ID]bom.ID{}
			}
			l.Choices[bom.ID(option)] = bom.ID(choice)
		}
		mix = append(mix, l)
	}
	return mix
}

func build(t testing.TB, b *book.Book, mix []estimate.MixLine) *estimate.Estimate {
	t.Helper()
	est, err := estimate.Build(b, mix, demoDay)
	if err != nil {
		t.Fatal(err)
	}
	return est
}

// sheet is an evaluated estimate.
type sheet struct {
	ft.Figures
	est *estimate.Estimate
	v   *exact.Values
}

// evaluate evaluates an estimate with figures pinned by key.
func evaluate(t *testing.T, est *estimate.Estimate, pins map[string]decimal.Decimal) sheet {
	t.Helper()
	s := sheet{Figures: ft.Figures{T: t, Graph: est.Graph}, est: est}
	held := exact.Pins{}
	for key, d := range pins {
		held[s.ID(key)] = d
	}
	s.v = s.At(held)
	return s
}

func evaluatedBatch(t *testing.T, b *book.Book, words ...string) sheet {
	t.Helper()
	return evaluate(t, build(t, b, mixOf(words...)), nil)
}

// rat gives a figure as a fraction; none is nothing.
func (s sheet) rat(id graph.ID) *big.Rat {
	s.T.Helper()
	if id == graph.None {
		return new(big.Rat)
	}
	return s.Get(s.v, id).Rat()
}

func (s sheet) key(key string) *big.Rat {
	s.T.Helper()
	return s.rat(s.ID(key))
}

// messages gives every single error of a joined one.
func messages(err error) (out []string) {
	for _, e := range graph.Joined(err) {
		if e != nil {
			out = append(out, e.Error())
		}
	}
	return out
}

// refused builds a mix that must fail and gives the messages, which must differ
// from one another.
func refused(t *testing.T, b *book.Book, day bom.Date, words ...string) []string {
	t.Helper()
	_, err := estimate.Build(b, mixOf(words...), day)
	if err == nil {
		t.Fatal("the mix is estimated")
	}
	list := messages(err)
	for i, m := range list {
		if slices.Contains(list[:i], m) {
			t.Errorf("said twice: %s", m)
		}
	}
	return list
}

// lacking names what is missing behind the full costs and the prices of a mix, with
// its places.
func lacking(t *testing.T, b *book.Book, mix []estimate.MixLine) (named []string) {
	t.Helper()
	est := build(t, b, mix)
	var ids []graph.ID
	for _, v := range est.Variants {
		ids = append(ids, v.Full)
		for _, p := range v.Prices {
			ids = append(ids, p.Shelf)
		}
	}
	for _, n := range est.Graph.Standing(nil).Missing(ids...) {
		named = append(named, n.Source.Path+": "+n.Missing)
	}
	return named
}

// says wants one message that contains all words.
func says(t *testing.T, list []string, words ...string) {
	t.Helper()
	for _, m := range list {
		if !slices.ContainsFunc(words, func(w string) bool { return !strings.Contains(m, w) }) {
			return
		}
	}
	t.Errorf("no message names %s:\n%s", strings.Join(words, ", "), strings.Join(list, "\n"))
}

func position(b *book.Book, number int) *bom.Position {
	list := b.Products[0].Positions
	return &list[slices.IndexFunc(list, func(p bom.Position) bool { return p.Number == number })]
}

// TestPlaces: a place without a part, or with two, stops the trims it concerns
// and no other; the message names trim, place and parts, for all trims at once.
func TestPlaces(t *testing.T) {
	t.Parallel()
	b := atHome(t)
	position(b, 20).When = []bom.When{{"shade": {"nothing"}}} // plain has no shade
	position(b, 22).When = []bom.When{{"shade": {"alu", "ring"}}}
	list := refused(t, b, demoDay, "plain=100", "glow=100", "tune=100")
	if len(list) != 2 {
		t.Errorf("%d messages, want one for plain and one for glow: %q", len(list), list)
	}
	says(t, list, "trim plain", "place shade", "no part")
	says(t, list, "trim glow", "place shade", "SH-ACR", "21", "SH-ALU", "22")

	_, err := estimate.Build(b, mixOf("glow=100"), demoDay)
	var contested *variant.ContestedPlaceError
	if !errors.As(err, &contested) || contested.Place.ID != "shade" || len(contested.Positions) != 2 {
		t.Errorf("not told as a contested place: %v", err)
	}
	if _, err := estimate.Build(b, mixOf("tune=100"), demoDay); err != nil {
		t.Errorf("tune is not concerned: %v", err)
	}
}

// TestSelections: choices in place of the trim's own lead to other parts, and
// those that break a rule or do not exist are refused with their reason.
func TestSelections(t *testing.T) {
	t.Parallel()
	s := evaluatedBatch(t, atHome(t), "glow+mount:wall=60")
	if name := s.est.Variants[0].Line.Name(); name != "glow.mount-wall" {
		t.Errorf("the variant is called %s", name)
	}
	for part, used := range map[string]bool{"PLATE-W": true, "BASE-D": false, "ARM-D": false, "SH-ACR": true} {
		if s.Has("part/"+part+"/need") != used {
			t.Errorf("part %s used: %v", part, !used)
		}
	}
	b := atHome(t)
	says(t, refused(t, b, demoDay, "plain+face:mirror=1"), "trim plain.face-mirror", "rule 2", "the POM shade hides the face")
	says(t, refused(t, b, demoDay, "plain+shade:glass=1"), "option shade", "glass", "pom, ring, alu")
	says(t, refused(t, b, demoDay, "plain+colour:red=1"), "option colour")
	says(t, refused(t, b, demoDay, "shiny=1"), "products[0].trims", "shiny")
	if _, err := estimate.Build(b, nil, demoDay); err == nil {
		t.Error("a mix of nothing is estimated")
	}
}

// TestSameChoiceInTwoOptions: variants that differ only in which option has a
// choice are told apart, or the book that allows them is refused.
func TestSameChoiceInTwoOptions(t *testing.T) {
	t.Parallel()
	b := atHome(t)
	p := &b.Products[0]
	for _, option := range []bom.ID{"engraving", "bag"} {
		p.Options = append(p.Options, bom.Option{ID: option, Choices: []bom.Choice{{ID: "without"}, {ID: "with"}}})
		for i := range p.Trims {
			p.Trims[i].Choices[option] = "without"
		}
	}
	_, err := estimate.Build(b, mixOf("plain+engraving:with=10", "plain+bag:with=10"), demoDay)
	if err != nil && !check.HasFault(check.Book(b, nil, demoDay)) {
		t.Errorf("the book has no fault, but: %v", err)
	}
}

// TestExpired: on a day after all offers the mix is priced as on their last day, and
// each that is used is told once, with its place in the book.
func TestExpired(t *testing.T) {
	t.Parallel()
	list := toldOld(t, atHome(t), "2033-06-01", "plain=100", "tune=100")
	told := len(list)
	for _, id := range []string{"CU-60X20", "POM-90", "AL-TUBE-90", "AL-12", "AL-PLATE-12", "LB-27", "LB-TW", "MG-8", "SC-M3", "BOX-L"} {
		says(t, list, "price for "+id+" ran out on 31 December 2032, 152 days ago", "offers[")
	}
	says(t, list, "outside_processes[0].valid_until", "31 December 2032")
	slices.Sort(list)
	if len(slices.Compact(list)) != told {
		t.Errorf("told twice: %q", list)
	}
}

// toldOld prices a mix and lists what is told of prices that ran out.
func toldOld(t *testing.T, b *book.Book, day bom.Date, words ...string) []string {
	t.Helper()
	est, err := estimate.Build(b, mixOf(words...), day)
	if err != nil {
		t.Fatal(err)
	}
	var list []string
	for _, f := range est.Graph.Findings() {
		if strings.Contains(f.Message, "ran out") {
			list = append(list, f.Path+": "+f.Message)
		}
	}
	return list
}

// TestLastDay: an offer holds to the end of its last day.
func TestLastDay(t *testing.T) {
	t.Parallel()
	b := atHome(t)
	for i := range b.Offers {
		b.Offers[i].ValidUntil = demoDay
	}
	if list := toldOld(t, b, demoDay, "plain=100"); len(list) > 0 {
		t.Errorf("told: %q", list)
	}
	says(t, toldOld(t, b, "2026-11-26", "plain=100"), "1 day ago")
}

// TestMissingRate: an offer in a currency without a rate is told as that, and
// not as a part without an offer.
func TestMissingRate(t *testing.T) {
	t.Parallel()
	b := atHome(t)
	card := &b.RateCards[0]
	card.Exchange = slices.DeleteFunc(card.Exchange, func(x rates.Exchange) bool { return x.From == "USD" || x.From == "CNY" })
	list := lacking(t, b, mixOf("plain=100"))
	says(t, list, "rate_cards[0].exchange: exchange rate from CNY to EUR on rate card 2026")
	says(t, list, "rate_cards[0].exchange: exchange rate from USD to EUR on rate card 2026")
	if len(list) != 2 {
		t.Errorf("missing are %q", list)
	}
}

// TestMissingRecords: what a book names and does not have is told with its place,
// several at once.
func TestMissingRecords(t *testing.T) {
	t.Parallel()
	b := atHome(t)
	b.Stocks = slices.DeleteFunc(b.Stocks, func(s bom.Stock) bool { return s.ID == "CU-60X20" || s.ID == "AL-12" })
	b.Processes = b.Processes[1:]
	list := lacking(t, b, mixOf("plain=100"))
	says(t, list, "stocks: stock CU-60X20")
	says(t, list, "stocks: stock AL-12")
	says(t, list, "outside_processes: outside process NI-HP")

	b = atHome(t)
	b.Parts = slices.DeleteFunc(b.Parts, func(p bom.Part) bool { return p.Number == "HS-010" || p.Number == "BOX-L" })
	list = lacking(t, b, mixOf("plain=100"))
	says(t, list, "parts: part HS-010")
	says(t, list, "parts: part BOX-L")

	b = atHome(t)
	b.WorkCentres = b.WorkCentres[1:]
	list = lacking(t, b, mixOf("plain=100", "glow=1"))
	says(t, list, "work_centres: work centre SAW")

	says(t, refused(t, atHome(t), "2025-01-01", "plain=100"), "rate_cards", "2025-01-01")
}

// TestIncompleteRecords: a record without what it is reckoned with is named; it must
// not come out as cheap.
func TestIncompleteRecords(t *testing.T) {
	t.Parallel()
	b := atHome(t)
	for i := range b.Parts {
		switch b.Parts[i].Number {
		case "ARM-D", "BASE-D":
			b.Parts[i].Blank.LengthMM = nil
		case "SH-ACR":
			b.Parts[i].Blank.DiameterMM = nil
		}
	}
	b.Prices[0].Margin = nil
	list := lacking(t, b, mixOf("glow=100"))
	for _, part := range []string{"ARM-D", "BASE-D", "SH-ACR"} {
		at := slices.IndexFunc(b.Parts, func(p bom.Part) bool { return string(p.Number) == part })
		says(t, list, fmt.Sprintf("parts[%d].blank", at), b.Parts[at].Name)
	}
	says(t, list, "prices[0]", "margin")

	b = atHome(t)
	for i := range b.Stocks {
		b.Stocks[i].WidthMM = nil
	}
	list = lacking(t, b, mixOf("plain=100"))
	says(t, list, ".blank", "a dimension of the blank of desk base")
}

// TestCycle: a part that contains itself is told once, with its path.
func TestCycle(t *testing.T) {
	t.Parallel()
	b := atHome(t)
	for i := range b.Parts {
		if b.Parts[i].Number == "HS-010" {
			b.Parts[i].Children = []bom.Child{{Part: "HS-020", Quantity: bom.Whole(1)}}
		}
	}
	list := refused(t, b, demoDay, "plain=100")
	says(t, list, "HS-010 > HS-020 > HS-010")
}

// TestSameTrimTwice: a mix that names one variant twice is told in words a person
// understands.
func TestSameTrimTwice(t *testing.T) {
	t.Parallel()
	list := refused(t, atHome(t), demoDay, "plain=10", "plain=20")
	says(t, list, "plain", "twice")
	if len(list) != 1 {
		t.Errorf("%d messages: %q", len(list), list)
	}
}

// TestSameTrimInTwoProducts is told as that.
func TestSameTrimInTwoProducts(t *testing.T) {
	t.Parallel()
	b := atHome(t)
	second := b.Products[0]
	second.Number = "LAMP-2"
	b.Products = append(b.Products, second)
	mix := mixOf("plain=10", "plain=10")
	mix[1].Product = "LAMP-2"
	_, err := estimate.Build(b, mix, demoDay)
	says(t, messages(err), "LAMP and LAMP-2", "plain")
}

// TestTwoOffersOfOneSupplier: two offers of one supplier that are valid on one day
// are refused with both places; one after the other they may follow.
func TestTwoOffersOfOneSupplier(t *testing.T) {
	t.Parallel()
	b := atHome(t)
	at := slices.IndexFunc(b.Offers, func(o rates.Offer) bool { return o.For == "SC-M3" })
	b.Offers = append(b.Offers, b.Offers[at])
	list := refused(t, b, demoDay, "plain=10")
	says(t, list, fmt.Sprintf("offers[%d]", len(b.Offers)-1), "PARAFUSO", "SC-M3", fmt.Sprintf("offers[%d]", at))
	if len(list) != 1 {
		t.Errorf("%d messages: %q", len(list), list)
	}
	b.Offers[at].ValidUntil = "2026-11-24"
	build(t, b, mixOf("plain=10"))
}

// TestKeysAreStable: keys name things. The quantity, the order of the mix, of the
// book's lists, and revisions leave them as they are.
func TestKeysAreStable(t *testing.T) {
	t.Parallel()
	first := keys(build(t, demo(t), mixOf("plain=100", "glow=50", "tune=20")))
	for what, est := range map[string]*estimate.Estimate{
		"quantities":        build(t, demo(t), mixOf("plain=1", "glow=2345", "tune=7")),
		"order of the mix":  build(t, demo(t), mixOf("tune=20", "plain=100", "glow=50")),
		"order of the book": build(t, copied(demo(t), rand.New(rand.NewPCG(1, 2))), mixOf("plain=100", "glow=50", "tune=20")),
		"revisions":         build(t, revised(demo(t)), mixOf("plain=100", "glow=50", "tune=20")),
	} {
		second := keys(est)
		gone, added := maps.Clone(first), maps.Clone(second)
		maps.DeleteFunc(gone, func(key string, _ bool) bool { return second[key] })
		maps.DeleteFunc(added, func(key string, _ bool) bool { return first[key] })
		if len(gone)+len(added) > 0 {
			t.Errorf("%s: gone are %v, new are %v", what, gone, added)
		}
	}
}

func keys(est *estimate.Estimate) map[string]bool {
	out := map[string]bool{}
	for i := range est.Graph.Len() {
		out[est.Graph.Node(graph.ID(i)).Key] = true
	}
	return out
}

func revised(b *book.Book) *book.Book {
	for i := range b.Parts {
		b.Parts[i].Revision = "Z"
	}
	b.Products[0].Revision = "Z"
	return b
}

// TestStructureNeverDependsOnQuantity: only the quantity itself differs between
// the estimates of two quantities.
func TestStructureNeverDependsOnQuantity(t *testing.T) {
	t.Parallel()
	a, b := build(t, demo(t), mixOf("plain=1", "glow=1")).Graph, build(t, demo(t), mixOf("plain=4000", "glow=37")).Graph
	if a.Len() != b.Len() {
		t.Fatalf("%d and %d figures", a.Len(), b.Len())
	}
	for i := range a.Len() {
		x, y := a.Node(graph.ID(i)), b.Node(graph.ID(i))
		if x.Key != y.Key || x.Op != y.Op || !slices.Equal(x.Args, y.Args) {
			t.Errorf("%s and %s differ", x.Key, y.Key)
		}
		if !x.Value.Equal(y.Value) && !strings.HasPrefix(x.Key, "mix/") {
			t.Errorf("%s is %s and %s", x.Key, x.Value, y.Value)
		}
	}
}

// TestSharedPartIsOne: a part in five variants is one part with one need, to
// which every variant adds.
func TestSharedPartIsOne(t *testing.T) {
	t.Parallel()
	s := evaluatedBatch(t, atHome(t), "plain=10", "glow=20", "tune=30", "plain+mount:wall=40", "tune+face:milled=50")
	seen := map[bom.ID]int{}
	for _, p := range s.est.Parts {
		seen[p.Def.Number]++
	}
	for part, n := range seen {
		if n > 1 {
			t.Errorf("%s is there %d times", part, n)
		}
	}
	need := s.est.Graph.Node(s.est.Graph.Node(s.ID("part/CB-180/need")).Args[0])
	if need.Op != graph.Add || len(need.Args) != 5 {
		t.Errorf("the cable is needed by %d variants", len(need.Args))
	}
	// 150 lamps through burn-in at a yield of 0.995: the cable goes in before.
	ft.Same(t, "cables", s.rat(s.est.Graph.Node(s.ID("part/CB-180/need")).Args[0]), ft.Over(ft.Rat("150"), ft.Rat("0.995")))
	ft.Same(t, "whole cables", s.key("part/CB-180/need"), ft.Rat("151"))
}

// TestParentsBeforeChildren: parts are listed so that each comes after all that
// contain it.
func TestParentsBeforeChildren(t *testing.T) {
	t.Parallel()
	est := build(t, copied(atHome(t), rand.New(rand.NewPCG(3, 4))), mixOf("tune=10", "plain=10", "glow=10", "tune+face:milled=5"))
	at := map[bom.ID]int{}
	for i, p := range est.Parts {
		at[p.Def.Number] = i
	}
	for i, p := range est.Parts {
		for _, c := range p.Def.Children {
			if at[c.Part] <= i {
				t.Errorf("%s comes before %s", c.Part, p.Def.Number)
			}
		}
	}
	if got := slices.Sorted(maps.Keys(at)); len(got) != 24 {
		t.Errorf("%d parts: %s", len(got), fmt.Sprint(got))
	}
}

// TestMakingOverheadBases: labour cost, labour hours or machine hours, at a rate
// or at budget ÷ base budget. Hours count wherever they are worked, whether or
// not the bench has a rate of its own.
func TestMakingOverheadBases(t *testing.T) {
	t.Parallel()
	ten, budget, base := bom.Whole(10), bom.Whole(25000), bom.Whole(2500)
	for _, c := range []struct {
		name     string
		overhead rates.Overhead
		base     func(s sheet) *big.Rat
	}{
		{"labour cost", rates.Overhead{Base: rates.LabourCost, Rate: &ten}, sheet.labourCost},
		{"labour hours", rates.Overhead{Base: rates.LabourHours, Rate: &ten}, sheet.labourHours},
		{"machine hours", rates.Overhead{Base: rates.MachineHours, Rate: &ten}, sheet.machineHours},
		{"labour hours from a budget", rates.Overhead{Base: rates.LabourHours, Budget: &budget, BaseBudget: &base}, sheet.labourHours},
	} {
		b := atHome(t)
		b.RateCards[0].Making = &c.overhead
		for i := range b.WorkCentres {
			if b.WorkCentres[i].ID == "BENCH" {
				b.WorkCentres[i].LabourRatePerH, b.WorkCentres[i].MachineRatePerH = nil, nil
			}
		}
		s := evaluatedBatch(t, b, "plain=100")
		charged := ft.Times(s.rat(s.est.Variants[0].Kinds[estimate.MakingOverhead]), ft.Rat("100"))
		ft.Same(t, "overhead on "+c.name, charged, ft.Times(c.base(s), ft.Rat("10")))
	}
}

// sum adds the figures with a last element under operations.
func (s sheet) sum(last string) *big.Rat {
	sum := new(big.Rat)
	for i := range s.est.Graph.Len() {
		if key := s.est.Graph.Node(graph.ID(i)).Key; strings.Contains(key, "/op/") && strings.HasSuffix(key, "/"+last) {
			sum = ft.Plus(sum, s.rat(graph.ID(i)))
		}
	}
	return sum
}

func (s sheet) labourCost() *big.Rat { return s.sum("labour-cost") }

// labourHours are the attended minutes of every operation, with the allowance that
// all work centres of the demo have.
func (s sheet) labourHours() *big.Rat { return ft.Over(s.sum("attended"), ft.Rat("60")) }

// machineHours are the minutes every work centre is occupied.
func (s sheet) machineHours() *big.Rat {
	sum := new(big.Rat)
	for _, w := range s.est.Book.WorkCentres {
		sum = ft.Plus(sum, s.key("work-centre/"+string(w.ID)+"/occupied"))
	}
	return ft.Over(sum, ft.Rat("60"))
}
