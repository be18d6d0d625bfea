package shop

import (
	"cmp"
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/text/language"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/bom"
	"kerfbook/costing/book/record"
	"kerfbook/costing/money"
	"kerfbook/costing/rates"
	"kerfbook/costing/text"
	"kerfbook/costing/trade"
	"kerfbook/web/form"
	"kerfbook/web/frame"
	"kerfbook/web/notation"
)

// firstPartBody asks what a price for a part can be guessed from.
type firstPartBody struct {
	Fields      []frame.Field
	Length      frame.Field
	Round, Flat []frame.Field // sizes of a turned part, and of any other
	Hour        []frame.Field // with the currency and country of a shop that is none yet
	Own         []frame.Field // questions that make the owner's own hour, of a shop that has none
	OwnOpen     bool
	Pieces      frame.Field
}

// wayOfMaking is a way of making with what the form calls it, and the work centre that
// comes with it where the shop chooses none of its own.
type wayOfMaking struct {
	way     bom.Way
	words   string
	centre  bom.ID
	machine string
}

var waysOfMaking = []wayOfMaking{
	{bom.Turned, "turned from bar", "LATHE", "lathe"},
	{bom.Milled, "milled from a block", "MILL", "milling machine"},
	{bom.Cut, "cut from plate or sheet", "PLATE", "milling machine for plates"},
}

func firstPartForm(c *frame.Call) error { return showFirstPart(c, nil) }

func showFirstPart(c *frame.Call, found frame.Problems) error {
	field := func(name, label, hint, suffix, mode string) frame.Field {
		return frame.Field{Name: name, Label: label, Hint: hint, Suffix: suffix, Mode: mode, Value: c.Typed(name, ""), Error: found.Of(name)}
	}
	here, currency, err := guessedPlace(c)
	if err != nil {
		return err
	}
	way, material := field("way", "How it is made", "", "", ""), field("material", "Of what", "", "", "")
	var ways, materials []frame.Option
	for _, w := range waysOfMaking {
		ways = append(ways, frame.Option{Value: string(w.way), Label: w.words})
	}
	for i := range c.Book.Materials {
		materials = append(materials, frame.Option{Value: string(c.Book.Materials[i].ID), Label: c.Book.Materials[i].Name})
	}
	starters, err := rates.ReferenceGuess()
	if err != nil {
		return err
	}
	for _, m := range starters.Materials {
		if at, _ := c.Book.Material(m.Material); at == nil {
			materials = append(materials, frame.Option{Value: string(m.Material), Label: m.Name})
		}
	}
	slices.SortStableFunc(materials, func(a, b frame.Option) int {
		return strings.Compare(strings.ToLower(a.Label), strings.ToLower(b.Label))
	})
	way.Offer(ways, c.Typed("way", string(bom.Turned)))
	material.Offer(materials, c.Typed("material", "aluminium-6082"))
	body := firstPartBody{
		Fields: []frame.Field{field("name", "Name of the part", "", "", ""), way, material},
		Length: field("length", "Length", "", "mm", "decimal"),
		Round:  []frame.Field{field("diameter", "Diameter", "", "mm", "decimal")},
		Flat:   []frame.Field{field("width", "Width", "", "mm", "decimal"), field("thickness", "Thickness", "", "mm", "decimal")},
		Pieces: field("pieces", "How many at once", "", "pieces", "numeric"),
	}
	var centres []frame.Option
	for i := range c.Book.WorkCentres {
		w := &c.Book.WorkCentres[i]
		centres = append(centres, frame.Option{Value: string(w.ID), Label: w.Name})
	}
	if len(centres) > 0 {
		made := field("centre", "Made at", "", "", "")
		made.Offer(slices.Insert(centres, 0, frame.Option{Value: "", Label: "the machine you have for that, or a new one at the hour below"}), c.Typed("centre", ""))
		body.Fields = append(body.Fields, made)
	}
	const about = "Rent, machine, power and your own pay together; a guess will do."
	body.Hour = []frame.Field{field("hour", "One hour of you and the machine", about, currency, "decimal")}
	if c.Version == "" {
		guessed, named := "", "its name, or two letters such as PT"
		if here != "" {
			guessed, named = "guessed from your browser", notation.CountryName(bom.Country(here))+", guessed from your browser"
		}
		body.Hour = []frame.Field{field("hour", "One hour of you and the machine", about, "", "decimal"),
			{Name: "currency", Label: "Currency", Hint: cmp.Or(guessed, "such as EUR"), Value: c.Typed("currency", currency), Error: found.Of("currency")},
			frame.CountryField("country", "Your country", named, c.Typed("country", here))}
		body.Hour[2].Error = found.Of("country")
	}
	if own, _ := c.Book.Wage(ownHour); own != nil {
		body.Hour[0].Hint = "Left empty, it is your own hour as the book works it out."
	} else {
		for _, q := range ownQuestions {
			asked := field(q.place, q.label, q.hint, q.unit, "decimal")
			body.Own, body.OwnOpen = append(body.Own, asked), body.OwnOpen || asked.Value != "" || asked.Error != ""
		}
	}
	p := c.Page("parts", "A first price", &body)
	p.Problems = found
	return c.Show("firstpart", p)
}

// guessedPlace is where the shop is, or where its browser says that it is, with the
// currency there; empty where nobody knows.
func guessedPlace(c *frame.Call) (country, currency string, err error) {
	if c.Book.Currency != "" {
		return string(c.Book.Country), string(c.Book.Currency), nil
	}
	tags, _, err := language.ParseAcceptLanguage(c.R.Header.Get("Accept-Language"))
	if err != nil || len(tags) == 0 {
		return "", "", nil
	}
	region, _ := tags[0].Region() // of a language without one, where most speak it
	country = region.String()
	shipped, err := trade.Reference()
	if err != nil {
		return "", "", err
	}
	row, _ := trade.Tables{Reference: shipped}.CurrencyOf(bom.Country(country), bom.Date(c.Site.Service.Today()))
	return country, string(row.Value.Currency), nil
}

// firstPart enters a part with its first guess, and what it needs to be priced: the shop
// and a rate card where there is none, a work centre, and a product of this part alone.
func firstPart(c *frame.Call) error {
	entered, found := firstPartTyped(c)
	if !found.Empty() {
		return showFirstPart(c, found)
	}
	var drafts []change.Draft
	for _, r := range entered.records(c) {
		written, err := text.Encode(r.value)
		if err != nil {
			return answer.Unexpected(err)
		}
		d, err := change.ReadRecord(r.kind, "", written, "")
		if err != nil {
			return showFirstPart(c, frame.FaultsOf(err, r.field, r.label))
		}
		drafts = append(drafts, d)
	}
	if _, err := c.Site.Service.Save(c.R.Context(), c.Actor, drafts); answer.CodeOf(err) == answer.Invalid || answer.CodeOf(err) == answer.Conflict {
		return showFirstPart(c, frame.FaultsOf(err, "name", "Name of the part: "))
	} else if err != nil {
		return err
	}
	return c.LeadTo("/parts/"+string(entered.part.Number)+"/first?pieces="+url.QueryEscape(entered.pieces), "")
}

// firstPartEntered is what the form says.
type firstPartEntered struct {
	shop   record.Shop // of a book that has none yet
	part   bom.Part
	hour   *bom.Number // of a work centre that comes with it; the owner's own hour if absent
	own    *rates.Wage // which comes with it too
	pieces string
}

func firstPartTyped(c *frame.Call) (out firstPartEntered, found frame.Problems) {
	number := func(name, label, unit string) *bom.Number {
		d, err := form.Decimal(c.Style, c.Form(name), unit)
		if err != nil || !d.IsPositive() {
			found.Add(name, label+": enter a number above 0, such as 20")
			return nil
		}
		n := bom.Exactly(d)
		return &n
	}
	name := strings.TrimSpace(c.Form("name"))
	if name == "" {
		found.Add("name", "Name of the part: enter what you call it")
	}
	guess := bom.FirstGuess{Way: bom.Way(c.Form("way")), Material: bom.ID(c.Form("material"))}
	if guess.Material == "" {
		found.Add("material", "Of what: choose a material")
	}
	size := bom.Envelope{LengthMM: number("length", "Length", "mm")}
	if guess.Way == bom.Turned {
		size.DiameterMM = number("diameter", "Diameter", "mm")
	} else {
		size.WidthMM, size.ThicknessMM = number("width", "Width", "mm"), number("thickness", "Thickness", "mm")
	}
	guess.WorkCentre = bom.ID(c.Form("centre"))
	hour := strings.TrimSpace(c.Form("hour"))
	own, answered := ownTyped(c, &found)
	if answered && (hour != "" || guess.WorkCentre != "") {
		found.Add(ownQuestions[0].place, "The questions make an hour of a new machine: leave the hour and the machine above open, or the answers")
	}
	if at := slices.IndexFunc(waysOfMaking, func(w wayOfMaking) bool { return w.way == guess.Way }); at >= 0 && guess.WorkCentre == "" && hour == "" && !answered {
		if have, _ := c.Book.WorkCentre(waysOfMaking[at].centre); have != nil {
			guess.WorkCentre = have.ID
		}
	}
	if guess.WorkCentre == "" {
		out.own = own
		if had, _ := c.Book.Wage(ownHour); !answered && (had == nil || hour != "") {
			out.hour = number("hour", "One hour of you and the machine", strings.ToUpper(cmp.Or(string(c.Book.Currency), c.Form("currency"))))
		}
	}
	n, err := form.WholeNumber(c.Style, c.Form("pieces"))
	if out.pieces = strconv.Itoa(n); err != nil || n < 1 {
		found.Add("pieces", "How many at once: enter a whole number such as 100")
	}
	if c.Version == "" {
		country, err := form.Country(c.Form("country"))
		out.shop = record.Shop{Name: form.ShopUnnamed, Country: country, Currency: money.Code(strings.ToUpper(strings.TrimSpace(c.Form("currency"))))}
		if err != nil {
			found.Add("country", "Your country: "+err.Error())
		}
		if _, ok := money.Lookup(string(out.shop.Currency)); !ok {
			found.Add("currency", "Currency: enter its three letters, such as EUR")
		}
	}
	if size.LengthMM != nil {
		if _, ok := size.SizeClass(); !ok {
			found.Add("length", "Length: a first guess goes up to 300 mm; for a larger part enter its blank and routing")
		}
	}
	id := bom.ID(strings.ToUpper(bom.Slug(name)))
	if at := slices.IndexFunc(c.Book.Parts, func(p bom.Part) bool { return p.Number == id }); at >= 0 {
		found.Add("name", fmt.Sprintf("Name of the part: there is a part %s already; give this one another name", id))
	}
	out.part = bom.Part{Number: id, Name: name, Kind: bom.Made, Finished: &size, FirstGuess: &guess}
	if as := change.PriceAsFor(c.Book, &out.part); as != nil {
		guess.PricePerKg = as.FirstGuess.PricePerKg
	}
	return out, found
}

// enteredRecord is a record to be saved, with the field that faults of it belong to.
type enteredRecord struct {
	kind         string
	value        any
	field, label string
}

func (e *firstPartEntered) records(c *frame.Call) (out []enteredRecord) {
	if c.Version == "" {
		out = append(out, enteredRecord{record.ShopKind, e.shop, "currency", "Country or currency: "})
	}
	if len(c.Book.RateCards) == 0 {
		card := rates.RateCard{ID: "first", From: c.Site.Service.Today()[:4] + "-01-01", Source: "begins with the first part"}
		if rows, err := rates.ReferenceGuess(); err == nil {
			card.Exchange = rows.ExchangeTo(cmp.Or(e.shop.Currency, c.Book.Currency))
		}
		out = append(out, enteredRecord{"rate_cards", card, "hour", ""})
	}
	if e.own != nil {
		out = append(out, enteredRecord{"wages", *e.own, ownQuestions[0].place, "Your own hour: "})
	}
	if at := slices.IndexFunc(waysOfMaking, func(w wayOfMaking) bool { return w.way == e.part.FirstGuess.Way }); at >= 0 && e.part.FirstGuess.WorkCentre == "" {
		w, none := waysOfMaking[at], bom.Whole(0)
		for n := 2; ; n++ {
			if have, _ := c.Book.WorkCentre(w.centre); have == nil {
				break
			}
			w.centre = bom.ID(fmt.Sprintf("%s-%d", waysOfMaking[at].centre, n))
		}
		e.part.FirstGuess.WorkCentre = w.centre
		made := rates.WorkCentre{ID: w.centre, Name: w.machine, OwnHour: ownHour}
		if e.hour != nil {
			made = rates.WorkCentre{ID: w.centre, Name: w.machine, MachineRatePerH: e.hour, LabourRatePerH: &none}
		}
		out = append(out, enteredRecord{"work_centres", made, "hour", "One hour: "})
	}
	return append(out, enteredRecord{"parts", e.part, "name", "The part: "}, enteredRecord{"products", bom.Product{
		Number: e.part.Number, Name: e.part.Name, Positions: []bom.Position{{Number: 10, Part: e.part.Number, Quantity: bom.Whole(1)}},
		Trims: []bom.Trim{{ID: e.part.Number, Name: e.part.Name}}}, "name", "The product: "})
}
