package study

import (
	"cmp"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/go-chi/chi/v5"
	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/answer/study"
	"kerfbook/api/edge"
	"kerfbook/bom"
	"kerfbook/costing/book/field"
	"kerfbook/costing/estimate"
	"kerfbook/costing/money"
	"kerfbook/costing/papers/show"
	"kerfbook/costing/rates"
	"kerfbook/web/chart"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// bandBody says between what amounts a piece of a part may cost, and what would narrow it.
type bandBody struct {
	Number, Name, Unit string
	Pieces             frame.Field
	Sell               []frame.Field // margin and countries, for the page of its price
	Version            string
	Was                []string // former bands, as the address carries them
	Said               string   // what was said last
	Cost               chart.Span
	Likely             frame.Fig
	RestsOn            frame.Fig // what the price of the part rests on; none where that is the likely cost
	Chance             chart.Mark
	Chart              *chart.Band
	Questions          []bandQuestion
	Cuts               []cutAsked     // what may be said to be cut into it
	CutInto            []cutEntered   // what is entered of that
	All                bool           // nothing else is cut, or the rest is entered
	Second             bool           // its second side may be faced
	Fine               []frame.Field  // how rough what is finished may be
	Ra                 []frame.Option // µm, of what is entered, chosen where it is assumed
	Rest               string         // minutes said of what else is cut and the rest
	Kilogram, AsFor    string         // what one costs, and the part that it is the same for; empty where for none
	Finish, Layer      frame.Field
	Look               []string // warnings of the estimate
	Finished           string   // the finish it goes to
	NotYet             string   // what is usual, and neither entered nor guessed
	Keep               bool     // at starter prices, which may be kept
	Left               string   // what moves the cost most
	Starters           []starterShown
	HourField          frame.Field     // of you and the machine; without a name where it is not one number
	HourWas            string          // what the page has it as
	Hour               *frame.WageHour // where it was worked out
	HourHref           string
	Open               []openMatter // usual in the trade and not in the cost
	Shop               string       // what the book holds now
	EditHref           string
	Wide, Skewed       bool
	Enough, Folds      bool                        // all that is left to say moves it by little; some of that folds
	Ticked             map[string]bool             // of the form, where it comes back
	Typed              struct{ Cuts, Folded bool } // what folds has something in it, in a form that comes back
}

// bandQuestion is one thing to say, with the field to say it in.
type bandQuestion struct {
	Field     frame.Field
	Per       []frame.Option // what the answer is for, where there is a choice
	About     frame.Option   // a tick for an answer that is not measured; without a value where none is taken
	Folds     bool           // an answer moves it less than those that stand open
	Now, Then chart.Span     // what is guessed, and the band that an answer in its middle leaves
}

// cutAsked is a shape that may be cut into a part, with its fields.
type cutAsked struct {
	Shape  change.CutShape
	Fields []frame.Field
}

// cutEntered is a feature with what takes it away.
type cutEntered struct{ Words, Deep, Away string }

// starterShown is a row that is not the shop's own, with where it is made so.
type starterShown struct{ Name, Source, Href string }

// openMatter is what usually costs something, has no figure and no word yet.
type openMatter struct {
	Name, Noun, Enter string
	Answers           []frame.Option
	Minutes           frame.Field  // of a piece or a part, or pieces lost, where it can be entered so
	Over              frame.Field  // over how many pieces these are spread
	About             frame.Option // as of a question
}

// The ticks of the form: nothing else is cut into it, its second side is faced, the prices of
// its finish are kept, and what has no word is in the hour.
const cutAll, cutSecond, keepPrices, restInHour = "cut-all", "cut-second", "keep", "in-my-hour"

// aboutPrefix is before the names of the ticks that an answer is about so much.
const aboutPrefix = "about-"

// about is the tick beside a number, which stands until a form is sent.
func about(c *frame.Call, name string) frame.Option {
	name = aboutPrefix + name
	return frame.Option{Value: name, Label: "about (±20 %)", Chosen: c.R.Method != http.MethodPost || c.Form(name) != ""}
}

// perPrefix is before the names of the fields that say what an answer is for.
const perPrefix = "per-"

// perOf is what a unit is for, without its money.
func perOf(unit string) string {
	_, per, _ := strings.Cut(unit, " ")
	return per
}

// matterPrefix is before the names of the fields that say where a matter is counted.
const matterPrefix, minutesPrefix, overField = "not-counted-", "minutes-", "programs-over"

// enteredPer are the matters that can be entered in place, with what a number is of.
var enteredPer = map[bom.Matter]string{bom.Loading: aPiece, bom.HandWork: aPiece, bom.Checking: aPiece, bom.Moves: aPiece, bom.Packing: aPiece,
	bom.Scrap: "pieces lost in a hundred", bom.Programming: "min"}

const aPiece = "min a piece"

// roughFields are those for how rough what is finished may be.
var roughFields = [2]struct{ name, label string }{{"ra", "Ra (else 1.6)"}, {"ra-face", "of its first face"}}

// roughTyped reads them.
func roughTyped(c *frame.Call, found *frame.Problems, words []string) (*change.Surface, []string) {
	var to [2]*bom.Number
	for i, ra := range roughFields {
		n, ok := numberTyped(c, found, ra.name, "Surface, "+ra.label, "", "0.8")
		if !ok {
			continue
		}
		if to[i] = &n; !n.Likely.IsPositive() {
			found.Add(ra.name, "Surface, "+ra.label+": enter a number above 0, such as 0.8")
		}
	}
	if to[0] == nil && to[1] == nil {
		return nil, words
	}
	return &change.Surface{All: to[0], Face: to[1]}, append(words, "how rough")
}

// away names a cut of an operation, for what takes it away: 10/3-hole-5.
func away(o *bom.Operation, f *bom.Feature) string {
	return strconv.Itoa(o.Number) + "/" + string(f.ID)
}

// cutCalled is what a cut is called that is named so; empty where there is none.
func cutCalled(part *bom.Part, named string) string {
	for i := range part.Routing {
		o := &part.Routing[i]
		for j := range o.Features {
			if f := &o.Features[j]; away(o, f) == named {
				return f.Name
			}
		}
	}
	return ""
}

// openMatters lists each matter once: a word on it holds for all operations of the part.
func openMatters(c *frame.Call, def *bom.Part, at int, found frame.Problems) (out []openMatter) {
	for _, n := range answer.NotCountedPart(c.Book, at) {
		name := matterPrefix + n.What
		if n.Answered() || slices.ContainsFunc(out, func(m openMatter) bool { return m.Name == name }) {
			continue
		}
		what, words := bom.Matter(n.What), []frame.Option{{Value: string(bom.NoneAtAll), Label: "none"}}
		if what != bom.Moves { // they take minutes of a piece, and no rate holds them
			words = append(words, frame.Option{Value: string(bom.InRate), Label: "my hour covers it"})
		}
		m := openMatter{Name: name, Noun: what.Noun(), Enter: field.Spoken(n.Enter), Answers: frame.Choose(words, c.Form(name))}
		if per := enteredPer[what]; per != "" && (def.FirstGuess != nil || slices.ContainsFunc(def.Routing, func(o bom.Operation) bool { return o.Kind == bom.Machining })) {
			name := minutesPrefix + n.What
			m.About = about(c, name)
			m.Minutes = frame.Field{Name: name, Context: what.Noun() + ", ", Label: "or", Suffix: per, Mode: "decimal", Value: c.Typed(name, ""), Error: found.At(name)}
			if what == bom.Programming {
				m.Over = frame.Field{Name: overField, Context: what.Noun() + ", ", Label: "once, for", Suffix: "pieces", Mode: "numeric", Value: c.Typed(overField, c.Typed("pieces", "100")), Error: found.At(overField)}
			}
		}
		out = append(out, m)
	}
	return out
}

// bandWorkbook is the cost of the part as a workbook of live formulas.
func bandWorkbook(c *frame.Call) error {
	number := chi.URLParam(c.R, "number")
	pieces, err := form.WholeNumber(c.Style, c.Typed("pieces", "100"))
	mix := []estimate.MixLine{{Part: bom.ID(number), Quantity: bom.Whole(int64(pieces))}}
	if c.View.Alone() && c.View.Lines[0].Part == bom.ID(number) { // with its price
		mix = c.View.Lines
	}
	if def, _ := c.Book.Part(bom.ID(number)); def == nil || err != nil || pieces < 1 {
		return &edge.Refusal{Kind: edge.NotFound, Detail: "there is no such batch of a part"}
	}
	file, _, err := c.Site.Service.CostWorkbook(c.R.Context(), mix, c.View.Day)
	if err != nil {
		return err
	}
	return c.Download(file, number+"-cost.xlsx", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet")
}

// enough is the share of the cost below which an answer is not worth asking for.
const enough = 0.02

// mostOpen is how many questions stand open, the widest first; what a finisher asks stands
// beside them.
const mostOpen = 7

// wide is the share of its middle that the ends of a wide band lie apart.
const wide = 0.3

// skewed is the share of draws up to the likely cost below which the rest is told to lie higher.
const skewed = 0.4

// mostFormer is how many former bands a page shows.
const mostFormer = 5

func firstBand(c *frame.Call) error { return showBand(c, nil) }

func showBand(c *frame.Call, found frame.Problems) error {
	number := chi.URLParam(c.R, "number")
	pieces, err := form.WholeNumber(c.Style, c.Typed("pieces", "100"))
	if err != nil || pieces < 1 {
		pieces = 100
		found.Add("pieces", "How many at once: enter a whole number such as 100")
	}
	now, _, err := c.Site.Service.Band(c.R.Context(), study.BandRequest{Part: bom.ID(number), Pieces: int64(pieces), Day: c.View.Day})
	if err != nil {
		return err
	}
	stored, err := c.Site.Service.Record(c.R.Context(), "parts", number, 0)
	if err != nil {
		return err
	}
	def, at := c.Book.Part(now.Part)
	b := bandBody{Number: number, Name: def.Name, Unit: string(now.Currency) + " a piece", Version: string(stored.Version),
		Pieces: frame.Field{Name: "pieces", Label: "How many at once", Suffix: "pieces", Mode: "numeric", Value: c.Typed("pieces", "100"), Error: found.At("pieces")},
		Sell:   []frame.Field{{Name: "margin", Label: "What must it sell for, with a margin of", Hint: form.MarginHint, Suffix: "%", Mode: "decimal", Value: c.Typed("margin", "40")}, form.SoldTo(c.Typed("to", ""))},
		Said:   c.Typed("said", saidOf(def)), Open: openMatters(c, def, at, found), Shop: form.ShopWords(c.Book), EditHref: frame.RecordHref("parts", number) + "/edit?pieces=" + frame.Digits(pieces), Enough: true}
	b.Wide = now.Narrower(study.Width{}) > wide
	b.Cost = spanOf(now.Currency, "", now.Width)
	mix := []estimate.MixLine{{Part: now.Part, Quantity: bom.Whole(int64(now.Pieces))}}
	b.Likely = frame.Prover(frame.View{Lines: mix, Day: now.Day}).Money(now.Likely)
	if share, ok := now.AtMostLikely.Number(); ok {
		b.Skewed = share < skewed
	}
	b.Chance = statOf("/at_most_likely/value", now.AtMostLikely, show.Tenths)
	if def.FirstGuess != nil {
		cost, _, err := form.RestsOn(c, mix[0], now.Day)
		if err != nil {
			return err
		}
		if cost.Value != "" { // what is withheld is told with the band
			b.RestsOn = cost
		}
	}
	var spans []chart.Span
	former := c.R.Form["was"]
	if c.R.Method == http.MethodPost && len(former) > 0 { // the form said it of the band that still holds
		former = former[:len(former)-1]
	}
	if len(former) > mostFormer { // the first one stays
		former = slices.Delete(slices.Clone(former), 1, len(former)-mostFormer+1)
	}
	for _, was := range former {
		if s, ok := formerSpan(now.Currency, was); ok && (s.Low.Value != b.Cost.Low.Value || s.High.Value != b.Cost.High.Value) {
			spans, b.Was = append(spans, s), append(b.Was, was)
		}
	}
	b.Chart = chart.NewBand("band", "Cost of a piece", b.Unit, append(spans, b.Cost))
	stand := 0
	for i, q := range now.Questions {
		place := fmt.Sprintf("/questions/%d/", i)
		row := bandQuestion{Field: frame.Field{Name: q.Field, Label: q.Asks, Hint: q.Hint, Suffix: q.Unit, Mode: "decimal", Value: c.Typed(q.Field, ""), Error: found.At(q.Field)},
			Then: spanOf(now.Currency, place+"answered", q.Answered)}
		row.Now = chart.Span{Low: statOf(place+"guessed/low/value", q.Guessed.Low, short), Middle: statOf(place+"guessed/middle/value", q.Guessed.Middle, short), High: statOf(place+"guessed/high/value", q.Guessed.High, short)}
		minutes, little := strings.HasPrefix(q.Unit, "min "), now.Narrower(q.Answered) < enough
		if minutes {
			row.About = about(c, q.Field)
		}
		if q.Or != "" {
			row.Field.Suffix = string(now.Currency)
			row.Per = frame.Choose([]frame.Option{{Value: q.Field, Label: perOf(q.Unit)}, {Value: q.Or, Label: perOf(q.OrUnit)}}, c.Form(perPrefix+q.Field))
		}
		if !change.OfFinish(q.Field) { // what a finisher asks a shop is told, and its minutes it knows
			row.Folds = little && !minutes || stand >= mostOpen
		}
		if !row.Folds {
			stand++
		}
		b.Enough, b.Folds = b.Enough && little, b.Folds || row.Folds
		b.Typed.Folded = b.Typed.Folded || row.Folds && typedIn(row.Field)
		b.Questions = append(b.Questions, row)
	}
	b.Look = frame.Checks(now.Findings)
	for _, s := range now.Starters {
		b.Starters = append(b.Starters, starterShown{s.Name, s.Source, frame.EntryHref(c.Book, s.Path)})
	}
	if err := b.ownHour(c, def, found); err != nil {
		return err
	}
	b.Left = strings.Join(now.Left, ", ")
	if as := change.PriceAsFor(c.Book, def); as != nil && def.FirstGuess.PricePerKg != nil {
		b.Kilogram, b.AsFor = def.FirstGuess.PricePerKg.Likely.String()+" "+string(now.Currency), as.Name
	}
	b.askCuts(c, def, found)
	if err := b.askFinish(c, def, found); err != nil {
		return err
	}
	lacks := change.NotYet(def)
	if b.Finish.Name != "" {
		lacks = slices.Insert(lacks, 0, "finish")
	}
	b.NotYet = strings.Join(lacks, " and no ")
	p := c.Page("parts", def.Name, &b)
	p.Problems = found
	p.Batch = c.BatchLine(mix)
	return c.Show("firstband", p)
}

// ownHour asks what the hour of a part is, or says what it comes to where it was worked out.
func (b *bandBody) ownHour(c *frame.Call, def *bom.Part, found frame.Problems) error {
	if def.FirstGuess == nil {
		return nil
	}
	if hour, ok := change.HourOf(c.Book, def); ok {
		b.HourWas = c.Style.Text(hour.Rate.Likely.String())
		where := "at the " + hour.Of.Name
		for _, w := range hour.Shared {
			where += ", and of you at the " + w.Name
		}
		b.HourField = frame.Field{Name: "hour", Label: "One hour of you and the machine", Hint: where, Suffix: string(c.Book.Currency), Mode: "decimal", Value: c.Typed("hour", b.HourWas), Error: found.At("hour")}
		return nil
	}
	at, _ := c.Book.WorkCentre(def.FirstGuess.WorkCentre)
	if at == nil {
		return nil
	}
	own, _ := c.Book.Wage(at.OwnHour)
	if own == nil {
		return nil
	}
	b.HourHref = frame.RecordHref("wages", string(own.ID))
	hour, err := frame.HourOf(c, *own)
	b.Hour = hour
	return err
}

// typedIn reports that something stands in a field, or is wrong with it.
func typedIn(fields ...frame.Field) bool {
	return slices.ContainsFunc(fields, func(f frame.Field) bool { return f.Error+f.Value != "" })
}

// askCuts asks what is cut into a part, beside what is said of that.
func (b *bandBody) askCuts(c *frame.Call, def *bom.Part, found frame.Problems) {
	for _, shape := range change.ShapesOf(c.Book, def) {
		asked := cutAsked{Shape: shape}
		for _, size := range slices.Concat(shape.Needs, shape.May) {
			name := "cut-" + shape.Name + "-" + size.Name
			f := frame.Field{Name: name, Context: shape.Asks + ", ", Label: size.Label, Suffix: "mm", Mode: "decimal", Value: c.Typed(name, ""), Error: found.At(name)}
			switch size.Name {
			case "count":
				f.Suffix, f.Mode = "", "numeric"
			case "name":
				f.Suffix, f.Mode = "", ""
			}
			asked.Fields = append(asked.Fields, f)
		}
		if len(shape.Sides) > 0 {
			f := frame.Field{Name: "cut-" + shape.Name + "-side", Context: shape.Asks + ", how it lies", Error: found.At("cut-" + shape.Name + "-side")}
			var sides []frame.Option
			for _, side := range shape.Sides {
				sides = append(sides, frame.Option{Value: side.Value, Label: side.Words})
			}
			f.Offer(sides, c.Form(f.Name))
			asked.Fields = append(asked.Fields, f)
		}
		b.Cuts = append(b.Cuts, asked)
		b.Typed.Cuts = b.Typed.Cuts || typedIn(asked.Fields...)
	}
	for _, o := range def.Routing {
		for i := range o.Features {
			f, count := &o.Features[i], ""
			if f.Count != nil {
				count = f.Count.Likely.String() + " × "
			}
			cut := cutEntered{Words: count + f.Name, Away: away(&o, f)}
			if f.Kind == bom.Drill && f.DepthMM != nil {
				cut.Deep = f.DepthMM.Likely.String()
			}
			b.CutInto = append(b.CutInto, cut)
		}
	}
	b.All = def.FirstGuess != nil && def.FirstGuess.FeaturesEntered
	b.Second, b.Ticked = change.SecondSide(def), map[string]bool{}
	for _, name := range []string{cutSecond, cutAll, keepPrices, restInHour} {
		b.Ticked[name] = c.Form(name) != ""
	}
	if len(b.Cuts) > 0 && change.RaAsked(def) {
		for _, ra := range roughFields {
			b.Fine = append(b.Fine, frame.Field{Name: ra.name, Context: "Surface, ", Label: ra.label, Suffix: "µm", Mode: "decimal", Value: c.Typed(ra.name, ""), Error: found.At(ra.name)})
		}
		b.Typed.Cuts = b.Typed.Cuts || typedIn(b.Fine...)
	}
	for _, ra := range def.Roughnesses() {
		b.Ra = append(b.Ra, frame.Option{Label: ra.Likely.String(), Chosen: def.AssumesRa(ra)})
	}
	if rest := change.RestOf(def); rest != nil {
		b.Rest = short(rest.Likely)
	}
}

// askFinish asks what finish a part gets, or says which one it has.
func (b *bandBody) askFinish(c *frame.Call, def *bom.Part, found frame.Problems) error {
	if p := change.FinishOf(c.Book, def); p != nil {
		b.Finished, b.Keep = p.Name, strings.HasPrefix(p.Source, "starter ")
		return nil
	}
	if def.FirstGuess == nil {
		return nil
	}
	all, err := rates.StarterFinishes(def.FirstGuess.Material)
	if err != nil {
		return answer.Unexpected(err)
	}
	options := []frame.Option{{Label: "none counted"}}
	for _, p := range slices.Concat(c.Book.Processes, all) {
		o := frame.Option{Value: string(p.ID), Label: p.Name}
		if !slices.Contains(options, o) {
			options = append(options, o)
		}
	}
	b.Finish = frame.Field{Name: "finish", Label: "Finish", Hint: "done by somebody else, on the whole lot", Error: found.At("finish")}
	b.Finish.Offer(options, c.Form("finish"))
	b.Layer = frame.Field{Name: "layer", Label: "Its layer", Hint: "where it leaves one and the drawing says", Suffix: "µm", Mode: "decimal", Value: c.Typed("layer", ""), Error: found.At("layer")}
	return nil
}

// cutsTyped reads what is said to be cut into a part.
func cutsTyped(c *frame.Call, def *bom.Part, found *frame.Problems) (out []change.Cut, words []string, err error) {
	for _, shape := range change.ShapesOf(c.Book, def) {
		name := func(s string) string { return "cut-" + shape.Name + "-" + s }
		said := func(size string) bool { return strings.TrimSpace(c.Form(name(size))) != "" }
		cut, any := change.Cut{Shape: shape.Name, Sizes: map[string]bom.Number{}, Side: c.Form(name("side"))}, false
		for _, s := range slices.Concat(shape.Needs, shape.May) {
			any = any || said(s.Name)
		}
		if !any {
			continue
		}
		if cut.Side != "" && !slices.ContainsFunc(shape.Sides, func(s change.CutSide) bool { return s.Value == cut.Side }) {
			found.Add(name("side"), shape.Asks+": say how it lies by one of the words offered")
		}
		for _, s := range slices.Concat(shape.Needs, shape.May) {
			typed, what := c.Form(name(s.Name)), shape.Asks+", "+s.Label+": "
			switch {
			case s.Name == "name":
				var known bool
				if cut.Thread, known, err = rates.ThreadOf(typed); err != nil {
					return nil, nil, answer.Unexpected(err)
				} else if !known {
					found.Add(name(s.Name), "Threads: enter what the drawing calls it, such as M6, or M10x1 with its pitch")
				}
			case !said(s.Name) && !slices.Contains(shape.Needs, s):
			case s.Name == "count":
				n, err := form.WholeNumber(c.Style, typed)
				if err != nil || n < 1 {
					found.Add(name(s.Name), what+"enter a whole number such as 4")
				}
				cut.Sizes[s.Name] = bom.Whole(int64(n))
			default:
				d, err := form.Decimal(c.Style, typed, "mm")
				if err != nil || !d.IsPositive() {
					found.Add(name(s.Name), what+"enter a number above 0, such as 5")
				}
				cut.Sizes[s.Name] = bom.Exactly(d)
			}
		}
		out, words = append(out, cut), append(words, shape.Asks)
	}
	return out, words, nil
}

// numberTyped reads a number of the form; ok is false where none is typed, or what is typed
// is none, which is said at the field.
func numberTyped(c *frame.Call, found *frame.Problems, name, what, unit, such string) (n bom.Number, ok bool) {
	if strings.TrimSpace(c.Form(name)) == "" {
		return n, false
	}
	d, err := form.Decimal(c.Style, c.Form(name), unit)
	if err != nil || d.IsNegative() {
		found.Add(name, what+": enter a number such as "+such)
		return n, false
	}
	if c.Form(aboutPrefix+name) != "" {
		return bom.About(d), true
	}
	return bom.Exactly(d), true
}

// matterTyped reads what is said of a matter that had no figure.
func matterTyped(c *frame.Call, m openMatter, said *change.Said, found *frame.Problems) bool {
	what, name := bom.Matter(strings.TrimPrefix(m.Name, matterPrefix)), m.Minutes.Name
	unit := "min"
	if what == bom.Scrap {
		unit = ""
	}
	n, ok := bom.Number{}, false
	if name != "" {
		n, ok = numberTyped(c, found, name, m.Noun, unit, "0.5")
	}
	if typed := strings.TrimSpace(c.Form(m.Over.Name)); m.Over.Name != "" && (ok || typed != "" && typed != c.Form("pieces")) { // the form offers those made at once
		over, err := form.WholeNumber(c.Style, typed)
		if said.Over = bom.Whole(int64(over)); err != nil || over < 1 {
			found.Add(m.Over.Name, "Programming: enter over how many pieces it is spread, such as 100")
		} else if !ok && found.Of(name) == "" {
			found.Add(name, "Programming: enter what it takes for the part, such as 60")
		}
	}
	a := bom.CountingAnswer(c.Form(m.Name))
	if a == "" && c.Form(restInHour) != "" {
		a = bom.InRate
	}
	switch {
	case ok && what == bom.Scrap && !n.High.LessThan(decimal.New(100, 0)):
		found.Add(name, "Scrap: enter how many of 100 pieces are lost, less than 100")
	case ok:
		said.Entered[what] = n
	case slices.ContainsFunc(m.Answers, func(o frame.Option) bool { return o.Value == string(a) }):
		said.Counted = append(said.Counted, bom.CountAnswer{What: what, Answer: a})
	default:
		return false
	}
	return true
}

// answerGuess enters what was said, and shows what is left of the band.
func answerGuess(c *frame.Call) error {
	number := chi.URLParam(c.R, "number")
	part, place := c.Book.Part(bom.ID(number))
	if part == nil {
		return showBand(c, nil)
	}
	var found frame.Problems
	said := change.Said{Entered: map[bom.Matter]bom.Number{}}
	var err error
	var words []string
	if said.Cuts, words, err = cutsTyped(c, part, &found); err != nil {
		return err
	}
	if said.All = c.Form(cutAll) != "" && len(change.ShapesOf(c.Book, part)) > 0; said.All {
		words = append(words, "nothing else cut")
	}
	if said.Second = c.Form(cutSecond) != "" && len(change.ShapesOf(c.Book, part)) > 0; said.Second {
		words = append(words, "second side faced")
	}
	said.Ra, words = roughTyped(c, &found, words)
	if said.Away = c.Form("away"); said.Away != "" {
		words = append(words, "without "+cutCalled(part, said.Away))
	}
	if c.Form("begin") != "" { // comes with whatever is said
		words = append(words, "starter tools")
	}
	if said.Finish = bom.ID(c.Form("finish")); said.Finish != "" {
		words = append(words, "finish")
	}
	if n, ok := numberTyped(c, &found, "layer", "Its layer", "", "10"); ok {
		if said.Layer = &n; said.Finish == "" || !n.Likely.IsPositive() {
			found.Add("layer", "Its layer: choose the finish that leaves it, and enter its thickness above 0")
		}
	}
	if c.Form("hour") != c.Form("hour-was") { // else it was not touched
		if n, ok := numberTyped(c, &found, "hour", "One hour of you and the machine", string(c.Book.Currency), "58"); ok {
			said.Hour, words = &n, append(words, "your hour "+n.Likely.String())
		}
	}
	for _, q := range change.Questions(c.Book, part) {
		if n, ok := numberTyped(c, &found, q.Field, q.Asks, cmp.Or(q.Unit, string(c.Book.Currency)), "4.5"); ok {
			field := q.Field
			if per := c.Form(perPrefix + q.Field); q.Takes(per) {
				field = per
			}
			said.Guesses, words = append(said.Guesses, change.GuessAnswer{Field: field, Value: n}), append(words, q.Asks)
		}
	}
	if c.Form(keepPrices) != "" {
		said.Guesses, words = append(said.Guesses, change.GuessAnswer{Field: "keep"}), append(words, "prices of the finish kept")
	}
	for _, m := range openMatters(c, part, place, nil) {
		if matterTyped(c, m, &said, &found) {
			words = append(words, m.Noun)
		}
	}
	if len(words) == 0 && found.Empty() {
		found.Add("form", "Nothing is said yet: say what is cut into it, enter a number, or say what is not counted")
	}
	if !found.Empty() {
		return showBand(c, found)
	}
	_, err = c.Site.Service.AnswerGuess(c.R.Context(), c.Actor, number, said, answer.Version(c.Form("version")))
	switch answer.CodeOf(err) {
	case answer.Invalid:
		var wrong *answer.Error
		if errors.As(err, &wrong) && len(wrong.Fields) > 0 {
			for _, f := range wrong.Fields {
				found.Add("form", field.Spoken(f.Message))
			}
		} else {
			found = frame.FaultsOf(err, "form", "")
		}
		return showBand(c, found)
	case answer.Conflict, answer.VersionMissing:
		found.Add("pieces", "Somebody else changed the part since you looked; see what is asked now")
		return showBand(c, found)
	}
	if err != nil {
		return err
	}
	q := url.Values{"pieces": {c.Form("pieces")}, "was": c.R.Form["was"], "said": {saidWords(words)}}
	for _, name := range []string{"margin", "to"} { // asked for the price, and kept on the way there
		if c.R.Form.Has(name) {
			q.Set(name, c.Form(name))
		}
	}
	return c.LeadTo("/parts/"+number+"/first?"+q.Encode(), "")
}

// spanOf writes a band of money, with where it stands in the answer.
func spanOf(code money.Code, at string, w study.Width) chart.Span {
	amount := func(d decimal.Decimal) string { return show.Money(d, string(code)) }
	return chart.Span{Low: statOf(at+"/low/value", w.Low, amount), Middle: statOf(at+"/middle/value", w.Middle, amount), High: statOf(at+"/high/value", w.High, amount)}
}

func statOf(at string, s study.Statistic, text func(decimal.Decimal) string) chart.Mark {
	d, err := decimal.NewFromString(s.Value)
	if err != nil {
		return chart.Mark{}
	}
	return chart.Mark{Stat: at, Value: s.Value, Text: text(d)}
}

// short writes what is guessed: of minutes above ten nobody knows the seconds.
func short(d decimal.Decimal) string {
	if d.GreaterThan(decimal.New(10, 0)) {
		return show.Places(d, 0)
	}
	return show.Places(d, 2)
}

// saidWords is what was said, short enough to stand whole in a picture.
func saidWords(words []string) string {
	all := strings.Join(words, ", ")
	if len(words) > 1 && len(all) > 36 {
		all = words[0] + " and " + frame.Digits(len(words)-1) + " more"
	}
	return strings.ToLower(all)
}

// saidOf names the band of a part that somebody comes to.
func saidOf(def *bom.Part) string {
	if g := def.FirstGuess; g != nil && len(def.Routing) == 0 && len(def.NotCounted) == 0 && g.PricePerKg == nil {
		return "at first"
	}
	return "so far"
}

// Quotable is true of a band that no answer of the page makes much better.
func (b *bandBody) Quotable() bool { return b.Enough && !b.Wide && len(b.Open) == 0 }

// Former is the band as the addresses of the pages after it carry it.
func (b *bandBody) Former() string {
	return b.Cost.Low.Value + "," + b.Cost.Middle.Value + "," + b.Cost.High.Value + "," + b.Said
}

// formerSpan reads a band from an address.
func formerSpan(code money.Code, text string) (chart.Span, bool) {
	words := strings.SplitN(text, ",", 4)
	if len(words) < 4 {
		return chart.Span{}, false
	}
	var ends [3]study.Statistic
	for i, w := range words[:3] {
		if d, err := bom.ParseDecimal(w); err != nil || d.IsNegative() {
			return chart.Span{}, false
		}
		ends[i].Value = w
	}
	out := spanOf(code, "", study.Width{Low: ends[0], Middle: ends[1], High: ends[2]})
	// What the address says was drawn once and is no figure of this answer.
	out.Low.Stat, out.Middle.Stat, out.High.Stat = "", "", ""
	out.Name = bom.Shorten(words[3])
	return out, true
}
