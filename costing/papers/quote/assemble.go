package quote

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/codec"
	"kerfbook/costing/graph/exact"
)

// assembly reads the document off the evaluated graph.
type assembly struct {
	*work
	g      *graph.Graph
	values *exact.Values
	shown  []graph.ID // every figure of the document
	err    error
}

// document puts the document together.
func (w *work) document(g *graph.Graph, values *exact.Values) (*Document, error) {
	a := &assembly{work: w, g: g, values: values}
	if lacks := g.Standing(nil).Missing(a.promised()...); len(lacks) > 0 {
		out := &InvalidError{}
		for _, m := range lacks {
			out.Fields = append(out.Fields, FieldError{m.Source.Path, "", m.Missing + " is missing, and the price rests on it"})
		}
		return nil, out
	}
	if goods, err := values.Get(w.net); err != nil || !goods.IsPositive() {
		return nil, &InvalidError{[]FieldError{{"lines", "/lines", "the goods come to nothing; look at their prices"}}}
	}
	d := &Document{
		Revision: 1, IssuedOn: w.day, ValidUntil: w.until, Language: "en",
		Seller: w.seller(), Customer: w.customer(), Destination: w.destination.Place(),
		Buyer: string(w.destination.BuyerKind()), Channel: string(w.channel.ID), Currency: string(w.currency),
		Lines: a.lines(), Totals: a.totals(), Taxes: a.taxes(), Arrival: a.arrival(), Exchange: a.exchange(),
		Terms: Agreement{w.term.code, w.request.Delivery.Place, w.request.PaymentTerms, w.request.LeadTime},
		Notes: w.request.Notes, Cautions: w.cautions(), Confirmed: w.request.ConfirmUnverified,
	}
	d.Unverified, d.RanOut, d.TaxCategory = a.unverified(), a.ranOut(), a.category(d.Taxes)
	if err := a.consistent(); err != nil {
		return nil, err
	}
	if err := w.needGlyphs(d); err != nil {
		return nil, err
	}
	return d, a.inputs(d)
}

func (w *work) seller() Party {
	p := w.request.Seller
	p.Name, p.Country = w.book.Name, cmp.Or(p.Country, string(w.book.Country))
	return p
}

func (w *work) customer() Party {
	p := w.request.Customer
	p.Country = cmp.Or(p.Country, string(w.destination.Country))
	return p
}

// read gives a figure; the zero Figure for None.
func (a *assembly) read(id graph.ID) Figure {
	if id == graph.None {
		return Figure{}
	}
	a.shown = append(a.shown, id)
	n := a.g.Node(id)
	v, err := a.values.Get(id)
	if err != nil {
		a.err = cmp.Or(a.err, err)
	}
	return Figure{Key: n.Key, Value: v.String(), Unit: n.Unit.String()}
}

func (a *assembly) lines() []Line {
	var out []Line
	for i, l := range a.work.lines {
		m := l.variant.Line
		name, choices := l.variant.Name, []string{}
		if p, _ := a.book.Product(m.Product); p != nil {
			name, choices = p.Name+", "+name, choiceTexts(p, m.Trim, m.Choices)
		}
		g, _ := a.goodsOf(m)
		out = append(out, Line{
			Number: i + 1, Product: string(m.Product), Trim: m.Name(), Part: string(m.Part), Name: name, Described: a.described(m.Part), Choices: choices,
			HSCode: g.HSCode, Origin: string(g.Origin),
			Quantity: a.read(l.quantity), Batch: a.read(l.variant.Quantity), Price: a.read(l.price), RestsOn: l.restsOn, Total: a.read(l.total),
			Discount: a.read(l.off), Net: a.read(l.net), Extras: a.read(l.extras), Tax: a.read(l.tax), ToPay: a.read(l.toPay),
		})
	}
	return out
}

// choiceTexts says in words what was chosen.
func choiceTexts(p *bom.Product, trim bom.ID, differ map[bom.ID]bom.ID) []string {
	out := []string{}
	at := slices.IndexFunc(p.Trims, func(t bom.Trim) bool { return t.ID == trim })
	for _, o := range p.Options {
		chosen := p.Trims[at].Choices[o.ID]
		if c, ok := differ[o.ID]; ok {
			chosen = c
		}
		for _, c := range o.Choices {
			if c.ID == chosen {
				out = append(out, o.Name+": "+c.Name)
			}
		}
	}
	return out
}

func (a *assembly) totals() Totals {
	z := a.sums
	return Totals{
		Goods: a.read(a.goods), DiscountShare: a.read(a.share), Discount: a.read(a.off), GoodsNet: a.read(a.net),
		Delivery: a.read(z.delivery), Duty: a.read(z.duty), Charges: a.read(z.charges), Clearance: a.read(z.clearance),
		Net: a.read(z.net), Tax: a.read(z.tax), Total: a.read(z.total),
	}
}

// taxes gives the rows that are charged.
func (a *assembly) taxes() []Tax {
	out := []Tax{}
	for _, t := range a.sums.taxes {
		if t.applies != graph.None {
			if yes, ok := a.values.Raw(t.applies); !ok || yes.IsZero() {
				a.read(t.amount) // the document rests on it all the same
				continue
			}
		}
		rate, once := a.rateOf(t)
		out = append(out, Tax{Place: t.place, Name: t.name, Base: a.read(t.base), Rate: a.read(rate), Amount: a.read(t.amount),
			AtImport: t.atImport, OwnRounding: !once || t.atImport})
	}
	return out
}

// category is the tax category of the lines.
func (a *assembly) category(taxes []Tax) string {
	charged := slices.ContainsFunc(taxes, func(t Tax) bool { return !t.AtImport })
	switch {
	case charged:
		return "S"
	case a.within():
		return "K"
	default:
		return "G"
	}
}

// rateOf finds the rate of a row of tax, that of the multiplication behind it,
// and whether the row is rounded once. A row of several taxes has none.
func (a *assembly) rateOf(t taxFigures) (rate graph.ID, once bool) {
	if t.several {
		return graph.None, false
	}
	n := a.g.Node(t.amount)
	once = true
	for range 6 { // the row, the regime, the sum of one, the rounding
		at := 0
		switch {
		case n.Op == graph.Multiply && strings.HasSuffix(n.Key, "-unrounded") && len(n.Args) == 2:
			return n.Args[1], once
		case n.Op == graph.At:
			at = a.chosen(n)
		case n.Op == graph.Constant:
			return graph.None, false
		case n.Op == graph.Add && len(n.Args) > 1:
			once = false // line by line, all at the same rate
		}
		n = a.g.Node(n.Args[at])
	}
	return graph.None, false
}

// chosen is the place among the arguments of an At of the one it gives.
func (a *assembly) chosen(n graph.Node) int {
	index, _ := a.values.Raw(n.Args[0])
	return max(0, min(int(index.IntPart()), len(n.Args)-1))
}

func (a *assembly) arrival() *Arrival {
	if a.within() {
		return nil
	}
	r := a.sums.arrival
	return &Arrival{
		Regime: a.regimeName(), AllPaid: a.term.allPaid, Reclaims: a.landed.Reclaims,
		CustomsValue: a.read(r.customsValue), Duty: a.read(r.duty), Charges: a.read(r.charges), Tax: a.read(r.tax),
		Clearance: a.read(r.clearance), Door: a.read(r.door), Landed: a.read(r.landed),
	}
}

func (a *assembly) regimeName() string {
	at, ok := a.values.Raw(a.landed.BuyerClears.Regime)
	if i := int(at.IntPart()); ok && i >= 1 && i <= len(a.landed.Regimes) {
		return a.landed.Regimes[i-1].Name
	}
	return ""
}

// exchange lists the selling rate of the document's currency.
func (a *assembly) exchange() []ExchangeRow {
	if a.rate == graph.None {
		return []ExchangeRow{}
	}
	n := a.g.Node(a.rate)
	return []ExchangeRow{{Label: n.Label, Rate: a.read(a.rate), Card: "rate card " + string(a.card.ID) + " from " + string(a.card.From), Source: n.Source.Cite}}
}

// consistent wants every figure to have a value and the checks of the quote to
// hold.
func (a *assembly) consistent() error {
	if a.err != nil {
		return a.err
	}
	id, _ := a.g.Find("quote/adds-up")
	if v, ok := a.values.Raw(id); !ok || v.IsZero() {
		return fmt.Errorf("quote: %s does not hold", a.g.Node(id).Label)
	}
	return nil
}

// inputs keeps what the document was computed from.
func (a *assembly) inputs(d *Document) error {
	text, err := a.book.Write()
	if err != nil {
		return err
	}
	form, err := codec.Encode(a.g, a.values)
	d.Graph = bytes.TrimSuffix(form, []byte("\n"))
	d.Inputs = Inputs{Day: a.day, Request: a.request, Mix: mixInputs(a.mix), Book: string(text)}
	return err
}

// promised are the figures that a quote gives to the buyer or rests on.
func (a *assembly) promised() []graph.ID {
	out := []graph.ID{a.net}
	for _, l := range a.work.lines {
		out = append(out, l.variant.Full)
	}
	for id := range graph.ID(a.g.Len()) {
		if strings.HasPrefix(a.g.Key(id), "quote/") {
			out = append(out, id)
		}
	}
	return out
}
