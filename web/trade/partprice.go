package trade

import (
	"cmp"
	"errors"
	"fmt"
	"net/url"
	"slices"
	"strings"

	"github.com/go-chi/chi/v5"
	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/answer/study"
	"kerfbook/api/edge"
	"kerfbook/bom"
	"kerfbook/costing/book/record"
	"kerfbook/costing/estimate"
	"kerfbook/costing/money"
	"kerfbook/costing/papers/show"
	"kerfbook/costing/rates"
	"kerfbook/costing/text"
	"kerfbook/costing/trade"
	"kerfbook/web/chart"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// priceBody says what a part by itself must sell for, at home and in other countries.
type priceBody struct {
	Number, Name, In, Pieces string
	Fields                   []frame.Field
	Version                  string
	Full                     frame.Fig
	Guessed                  bool
	Fault                    string
	Asked                    []askedPrice
	Places                   []pricePlace
	Collected                []frame.Link  // where the book names no carrier, each with where it is said
	Taken                    string        // the channel of a country that names none, where there are several
	Missing                  []frame.Field // what is asked for in place
	Unconfirmed              []atStake
	Here                     string // this page
	QuoteHref, CurveHref     string
	SureHref, BookHref       string
	BandHref                 string // with what is asked here
	Looked                   frame.Looked
	Shop                     string // what the book holds now
}

// askedPrice is a price with how sure it earns what is wanted.
type askedPrice struct {
	Channel       string
	Price, Margin frame.Fig
	Cost          frame.Fig // that it rests on, where that is not the likely one
	Wanted        frame.Fig
	Chance, Sure  chart.Mark // of ten batches; the price that earns it in eight of ten
}

// pricePlace is what a piece comes to in a country.
type pricePlace struct {
	Name, Currency, Place       string
	AllPaid, Kept, Margin       frame.Fig
	Goods, Door, Clears         frame.Fig // where the buyer clears the goods
	Within, Unconfirmed, Absent bool
	Collected                   bool // at the seller's door: the book names no carrier
	Gaps                        []string
}

// atStake is a row that ships without a source, with what it moves.
type atStake struct {
	Where, Cite, CheckedOn, Place string
	Amounts                       []frame.FigureRow
}

// partPrice asks what a part must sell for.
func partPrice(c *frame.Call) error { return showPrice(c, c.Faults) }

func showPrice(c *frame.Call, found frame.Problems) error {
	number := chi.URLParam(c.R, "number")
	def, _ := c.Book.Part(bom.ID(number))
	if def == nil || !def.ByPiece() {
		return &edge.Refusal{Kind: edge.NotFound, Detail: "the book has no such part that is counted in pieces"}
	}
	stored, err := c.Site.Service.Record(c.R.Context(), "parts", number, 0)
	if err != nil {
		return err
	}
	b := priceBody{Number: number, Name: def.Name, In: string(c.Book.Currency), Guessed: def.FirstGuess != nil, Shop: form.ShopWords(c.Book), Version: string(stored.Version)}
	line := AskPlaces(c, def.Number, &b.Fields, &found)
	asked := url.Values{}
	for _, f := range b.Fields {
		asked.Set(f.Name, f.Value)
	}
	b.BandHref = "/parts/" + number + "/first?" + asked.Encode()
	c.View.Lines, c.View.Together = []estimate.MixLine{line}, false
	b.Pieces = line.Quantity.Likely.String()
	p := c.Page("parts", "Price of "+def.Name, &b)
	if found.Empty() || c.R.Method != "GET" {
		if err := b.fill(c, line, &found); err != nil {
			return err
		}
		p.Batch = c.BatchLine(c.View.Lines)
	}
	p.Problems = found
	return c.Show("partprice", p)
}

// mostPlaces is in how many countries a part is priced at once.
const mostPlaces = 12

// AskPlaces reads how many are asked for, at which margin, and in which countries; those
// that the book sells to where none is said.
func AskPlaces(c *frame.Call, number bom.ID, fields *[]frame.Field, found *frame.Problems) estimate.MixLine {
	line := form.AskLine(c, number, fields, found)
	standard := strings.Join(line.Destinations, ", ")
	if !c.View.Alone() {
		var places []string
		for _, d := range c.Book.Destinations {
			places = append(places, d.Place())
		}
		standard = strings.Join(places, ", ")
	}
	f := form.SoldTo(c.Typed("to", standard))
	var err error
	if line.Destinations, err = form.Places(f.Value); err != nil {
		found.Wrong(&f, err.Error())
	} else if len(line.Destinations) > mostPlaces {
		found.Wrong(&f, "that are more countries than stand below one another; at most 12")
	} else if err := line.Check(); err != nil && f.Value != "" {
		found.Wrong(&f, err.Error())
	}
	*fields = append(*fields, f)
	return line
}

// fill prices the part.
func (b *priceBody) fill(c *frame.Call, line estimate.MixLine, found *frame.Problems) error {
	mix := []estimate.MixLine{line}
	e, _, err := c.Site.Service.Estimate(c.R.Context(), mix, c.View.Day)
	if answer.CodeOf(err) == answer.Invalid {
		b.Fault = "The part cannot be priced: " + frame.OnceEach(err) + "."
		return nil
	} else if err != nil {
		return err
	}
	sheet, _, err := c.Site.Service.Sheet(c.R.Context(), mix, c.View.Day)
	if err != nil {
		return err
	}
	chances, err := PriceChances(c, line)
	if err != nil {
		return err
	}
	if b.Looked = frame.LookAt(c, e); b.Guessed {
		b.Looked.Href = b.BandHref
	}
	link, v := frame.Prover(c.View), e.Variants[0]
	b.Full = link.Money(v.Full)
	if len(v.Channels) > 1 {
		first := slices.MinFunc(v.Channels, func(p, q answer.ChannelPrices) int { return cmp.Compare(p.Channel, q.Channel) })
		b.Taken = frame.ChannelName(c.Book, string(first.Channel))
	}
	for _, p := range v.Channels {
		b.Asked = append(b.Asked, askedOf(p, chances, frame.ChannelName(c.Book, string(p.Channel)), b.In, link))
	}
	for _, l := range v.Landed {
		b.place(c, l, sheet, link, found)
	}
	one := []estimate.MixLine{line}
	query := "?" + url.Values{"mix": {frame.MixText(one)}, "day": {string(c.View.Day)}}.Encode()
	b.Here, b.QuoteHref, b.BookHref = "/parts/"+b.Number+"/price"+query, "/quotes/new"+query, "/parts/"+b.Number+"/cost.xlsx"+query
	line.Destinations = nil
	b.CurveHref = form.LineHref("/curve", c.View, "", line)
	b.SureHref = form.LineHref("/spread", c.View, "", line)
	return nil
}

// PriceChances are the chances that the page of a price tells; none of a part that lacks
// something.
func PriceChances(c *frame.Call, line estimate.MixLine) ([]study.ChannelChance, error) {
	all, err := c.Site.Service.Chances(c.R.Context(), change.Batch{Mix: estimate.Alone(line.Part, line.Quantity.Likely, line.Margin), Day: c.View.Day})
	if frame.Refused(err) {
		return nil, nil
	}
	return all, err
}

func askedOf(p answer.ChannelPrices, chances []study.ChannelChance, name, in string, link frame.Linker) askedPrice {
	out := askedPrice{Channel: name, Price: link.Money(p.Shelf), Margin: link.Percent(p.Margin)}
	if p.RestsOnCost.Key != "" {
		out.Cost = link.Money(p.RestsOnCost)
	}
	i := slices.IndexFunc(chances, func(of study.ChannelChance) bool { return of.Channel == p.Channel })
	if i < 0 || chances[i].Chance == nil {
		return out
	}
	out.Wanted = link.Percent(chances[i].Wanted)
	at := fmt.Sprintf("/%d/", i)
	out.Chance = chart.Mark{Label: "chance", Text: tenths(chances[i].Chance.Value), Value: chances[i].Chance.Value, Stat: at + "chance/value"}
	if sure := chances[i].Prices; len(sure) > 0 && p.RestsOnCost.Key == "" {
		if d, err := decimal.NewFromString(sure[0].Point); err == nil && sure[0].Point != p.Shelf.Value {
			out.Sure = chart.Mark{Label: "price", Text: show.Money(d, in), Value: sure[0].Point, Stat: at + "price_at_chance/0/price_point"}
		}
	}
	return out
}

// tenths writes a share as so many of ten.
func tenths(share string) string {
	d, err := decimal.NewFromString(share)
	if err != nil {
		return ""
	}
	return show.Tenths(d)
}

// place adds what a piece comes to in a country, and what is asked for where it has no
// price there.
func (b *priceBody) place(c *frame.Call, l answer.LandedPrice, sheet *answer.Sheet, link frame.Linker, found *frame.Problems) {
	p := pricePlace{Place: l.Destination, Name: frame.PlaceName(c.Book, l.Destination), Currency: l.Currency, Absent: l.Goods.Key == "",
		AllPaid: link.Money(l.AllPaid.Total), Kept: link.Money(l.AllPaid.Kept), Margin: link.Percent(l.AllPaid.Margin),
		Goods: link.Money(l.BuyerClears.Price), Door: link.Money(l.BuyerClears.AtDoor), Clears: link.Money(l.BuyerClears.Total)}
	p.Within = !p.Door.Mark()
	for _, f := range []*frame.Fig{&p.AllPaid, &p.Kept, &p.Margin, &p.Goods, &p.Door, &p.Clears} {
		if len(l.Missing) > 0 && (f.Text == "undefined" || f.Text == "withheld") { // why stands below
			*f = frame.Fig{}
		}
	}
	if to, _ := c.Book.Destination(l.Destination); to == nil || to.Carrier == "" && to.DeliveryCharge == nil {
		say := frame.Link{Label: p.Name, Href: "/book/destinations/new?country=" + url.QueryEscape(l.Destination)}
		if to != nil {
			say.Href = frame.RecordHref("destinations", l.Destination) + "/edit"
		}
		p.Collected, b.Collected = true, append(b.Collected, say)
	}
	for _, gap := range l.Missing {
		asked := missingFields(c, gap.Path, l.Currency)
		for _, f := range asked {
			if !slices.ContainsFunc(b.Missing, func(has frame.Field) bool { return has.Name == f.Name }) {
				f.Value, f.Error = c.Typed(f.Name, f.Value), found.Of(f.Name)
				b.Missing = append(b.Missing, f)
			}
		}
		words := strings.TrimPrefix(gap.Message, "destination "+l.Destination+": ")
		if len(asked) > 0 {
			words = asked[0].Label
		}
		if !slices.Contains(p.Gaps, words) {
			p.Gaps = append(p.Gaps, words)
		}
	}
	for _, total := range []answer.Figure{l.AllPaid.Total, l.BuyerClears.Total} {
		for _, src := range sheet.Unverified(total.Key) {
			if !strings.HasPrefix(src.Where, "reference row ") { // what the cost rests on is told with it
				continue
			}
			p.Unconfirmed = true
			b.stake(l, src.Where, src.Cite, src.CheckedOn, p.Name, sheet, link)
		}
	}
	b.Places = append(b.Places, p)
}

// stake adds a row that nobody has confirmed, with the amounts that rest on it.
func (b *priceBody) stake(l answer.LandedPrice, where, cite, checked, place string, sheet *answer.Sheet, link frame.Linker) {
	if slices.ContainsFunc(b.Unconfirmed, func(a atStake) bool { return a.Where == where }) {
		return
	}
	out := atStake{Where: where, Cite: cite, CheckedOn: checked, Place: place}
	for _, f := range []struct {
		label string
		of    answer.Figure
	}{{"duty", l.AllPaid.Duty}, {"charges", l.AllPaid.Charges}, {"tax", l.AllPaid.Tax}, {"clearance", l.AllPaid.Clearance}} {
		for _, src := range sheet.Unverified(f.of.Key) {
			if src.Where == where {
				out.Amounts = append(out.Amounts, frame.FigureRow{Label: f.label, Cells: []frame.Fig{link.Money(f.of)}})
			}
		}
	}
	b.Unconfirmed = append(b.Unconfirmed, out)
}

// missingFields asks for what a price in a country lacks, where it is a matter of the part
// or of the rate of exchange.
func missingFields(c *frame.Call, path, currency string) []frame.Field {
	number := func(name, label, unit string) frame.Field {
		return frame.Field{Name: name, Label: label, Suffix: unit, Mode: "decimal"}
	}
	switch {
	case strings.HasPrefix(path, "parts[") && strings.HasSuffix(path, ".hs_code"):
		return []frame.Field{{Name: "hs_code", Label: "Customs number of the part", Hint: "six digits or more; ask customs", Mode: "numeric"},
			frame.CountryField("origin", "Made in", "", string(c.Book.Country))}
	case strings.HasPrefix(path, "parts[") && strings.HasSuffix(path, ".parcel"):
		return []frame.Field{number("mass_g", "Weight of one, packed", "g"), number("length_mm", "Packed length", "mm"), number("width_mm", "Packed width", "mm"), number("height_mm", "Packed height", "mm")}
	case strings.HasSuffix(path, ".exchange") && currency != "" && currency != string(c.Book.Currency):
		return []frame.Field{number("rate."+currency, "What 1 "+string(c.Book.Currency)+" is worth in "+currency, "")}
	}
	return nil
}

// sayOfPrice enters what a price in a country lacked, or that a row was looked at.
func sayOfPrice(c *frame.Call) error {
	number := chi.URLParam(c.R, "number")
	def, _ := c.Book.Part(bom.ID(number))
	if def == nil {
		return showPrice(c, nil)
	}
	var found frame.Problems
	var drafts []change.Draft
	draft := func(kind, id string, value any, version answer.Version, field string) {
		written, err := text.Encode(value)
		if err == nil {
			var d change.Draft
			if d, err = change.ReadRecord(kind, id, written, version); err == nil {
				drafts = append(drafts, d)
				return
			}
		}
		found = append(found, frame.FaultsOf(err, field, "")...)
	}
	now := func(kind, id string) answer.Version { // the book was read a moment ago
		stored, err := c.Site.Service.Record(c.R.Context(), kind, id, 0)
		if err != nil {
			return ""
		}
		return stored.Version
	}
	if part := saidOfPart(c, *def, &found); part != nil {
		draft("parts", number, *part, answer.Version(c.Form("version")), "hs_code")
	}
	if card := saidOfExchange(c, &found); card != nil {
		draft("rate_cards", string(card.ID), *card, now("rate_cards", string(card.ID)), "to")
	}
	if row := c.Form("confirm"); row != "" {
		rules := c.Book.Rules
		rules.Confirmed = append(slices.Clone(rules.Confirmed), trade.Confirmed{Row: row, By: c.Actor.Name, On: c.Site.Service.Today()})
		draft(record.RulesKind, record.RulesKind, rules, now(record.RulesKind, record.RulesKind), "to")
	}
	if len(drafts) == 0 && found.Empty() {
		found.Add("to", "Nothing is said yet: enter a number")
	}
	if !found.Empty() {
		return showPrice(c, found)
	}
	_, err := c.Site.Service.Save(c.R.Context(), c.Actor, drafts)
	var known *answer.Error
	if errors.As(err, &known) && frame.Refused(err) || answer.CodeOf(err) == answer.Conflict {
		return showPrice(c, frame.FaultsOf(err, "to", ""))
	}
	if err != nil {
		return err
	}
	return c.LeadTo("/parts/"+number+"/price?"+c.R.URL.RawQuery, "")
}

// saidOfPart is the part with what was said of its customs number and parcel; nil where
// nothing was.
func saidOfPart(c *frame.Call, part bom.Part, found *frame.Problems) *bom.Part {
	said := false
	if code := strings.TrimSpace(c.Form("hs_code")); code != "" {
		made, err := form.Country(c.Form("origin"))
		if part.HSCode, part.Origin, said = code, made, true; err != nil {
			found.Add("origin", "Made in: "+err.Error())
		}
	}
	parcel, sides := bom.Parcel{}, []string{"mass_g", "length_mm", "width_mm", "height_mm"}
	if slices.ContainsFunc(sides, func(name string) bool { return c.Form(name) != "" }) {
		part.Parcel, said = &parcel, true
		for i, into := range []*bom.Number{&parcel.MassG, &parcel.LengthMM, &parcel.WidthMM, &parcel.HeightMM} {
			_, unit, _ := strings.Cut(sides[i], "_")
			d, err := form.Decimal(c.Style, c.Form(sides[i]), unit)
			if err != nil || !d.IsPositive() {
				found.Add(sides[i], "enter a number above 0, such as 120: weight and three sides go together")
			}
			*into = bom.Exactly(d)
		}
	}
	if !said {
		return nil
	}
	return &part
}

// saidOfExchange is the rate card with the rates of exchange that were said, for prices and
// for customs alike where it has none; nil where none was.
func saidOfExchange(c *frame.Call, found *frame.Problems) *rates.RateCard {
	card, ok := rates.CardOn(c.Book.RateCards, c.View.Day)
	said := false
	for name := range c.R.PostForm {
		code, is := strings.CutPrefix(name, "rate.")
		if !is || c.Form(name) == "" || !ok {
			continue
		}
		d, err := form.Decimal(c.Style, c.Form(name), code)
		if _, known := money.Lookup(code); err != nil || !known || !d.IsPositive() {
			found.Add(name, "enter what 1 "+string(c.Book.Currency)+" is worth, such as 0.94")
			continue
		}
		card.Exchange, said = slices.Clone(card.Exchange), true
		for _, kind := range []rates.ExchangeKind{rates.ForSelling, rates.ForCustoms} {
			if _, _, have := rates.FindExchange(card, c.Book.Currency, money.Code(code), kind); !have {
				card.Exchange = append(card.Exchange, rates.Exchange{From: c.Book.Currency, To: money.Code(code), Kind: kind, Rate: bom.Exactly(d),
					Source: cmp.Or(c.Actor.Name, "entered") + " on " + string(c.Site.Service.Today())})
			}
		}
	}
	if !said {
		return nil
	}
	return &card
}
