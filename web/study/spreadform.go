package study

import (
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/answer/study"
	"kerfbook/bom"
	"kerfbook/web/form"
	"kerfbook/web/frame"
	"kerfbook/web/notation"
)

// spreadForm is what the page of a spread asks, as it was typed.
type spreadForm struct {
	View      []frame.Link // hidden fields that keep the view
	Variant   []frame.Field
	Day       frame.Field
	Figure    frame.Field
	Draws     []frame.Field // how many, and when they end early
	Hindsight bool
	Asked     []frame.Field // a price, a chance, a channel
	Pairs     []pairFields
	More      bool // some of what is folded away is set
}

// pairFields are two inputs that move together.
type pairFields struct {
	Title string
	A     frame.Field
	B     frame.Field
	Rank  frame.Field
}

// mostPairs is how many pairs the page asks for, one after the other; programs may name more.
const mostPairs = 3

// spreadAsk reads the form of a spread and makes the request of it.
type spreadAsk struct {
	values url.Values
	style  notation.Style
	found  *frame.Problems
	known  study.SpreadChoices
	form   spreadForm
	Req    study.SpreadRequest
	pairs  []int // which pair of the form each correlation is
}

// readSpread reads what is asked about a selection. known is empty where the
// selection cannot be estimated.
func readSpread(values url.Values, style notation.Style, sel form.Selection, day bom.Date, known study.SpreadChoices, found *frame.Problems) *spreadAsk {
	a := &spreadAsk{values: values, style: style, found: found, known: known}
	a.Req = study.SpreadRequest{Batch: change.Batch{Mix: sel.Lines, Day: day}, Draws: study.DefaultDraws, Seed: study.DefaultSeed}
	a.form.Variant = sel.Fields
	a.figure()
	a.draws()
	a.precision()
	a.form.Hindsight = values.Get("decide") == "hindsight"
	a.Req.Hindsight = a.form.Hindsight
	a.questions()
	for i := range mostPairs {
		a.pair(i)
	}
	filled := 0
	if len(a.pairs) > 0 {
		filled = a.pairs[len(a.pairs)-1] + 1
	}
	a.form.Pairs = a.form.Pairs[:min(filled+1, mostPairs)] // the next is asked once those before are filled in
	return a
}

// text gives what was typed into a field, without blanks.
func (a *spreadAsk) text(name string) string { return strings.TrimSpace(a.values.Get(name)) }

// offer lets choose among options. One that was chosen and is not there stays chosen,
// for the use case to refuse.
func (a *spreadAsk) offer(f *frame.Field, chosen string) {
	if !f.Offer(f.Options, chosen) && chosen != "" {
		f.Options = append(f.Options, frame.Option{Value: chosen, Label: bom.Shorten(chosen), Chosen: true})
	}
}

// figure reads which figure is looked at. One that is not drawn anyway is drawn
// too.
func (a *spreadAsk) figure() {
	f := frame.Field{Name: "figure", Label: "Figure to look at"}
	chosen := a.text(f.Name)
	keys := []string{}
	for _, k := range a.known.Figures {
		keys = append(keys, k.Key)
		f.Options = append(f.Options, frame.Option{Value: k.Key, Label: inWords(k)})
	}
	if chosen == "" && len(keys) > 1 {
		chosen = keys[1] // after the cost of production: the full cost
	}
	if chosen != "" && len(keys) > 0 && !slices.Contains(keys, chosen) {
		a.Req.Figures = append(keys, chosen)
	}
	a.Req.Movers = chosen
	a.offer(&f, chosen)
	a.form.Figure = f
}

func (a *spreadAsk) draws() {
	draws := frame.Field{Name: "draws", Label: "Draws", Mode: "numeric", Value: strconv.Itoa(study.DefaultDraws),
		Hint: "Rounded up to whole blocks of 1,024, to ten of them at least."}
	if a.values.Has(draws.Name) {
		draws.Value = a.values.Get(draws.Name)
		n, err := form.WholeNumber(a.style, draws.Value)
		if err != nil {
			a.found.Wrong(&draws, "enter a whole number such as 20000")
		}
		a.Req.Draws = n
	}
	seed := frame.Field{Name: "seed", Label: "Seed", Mode: "numeric", Value: strconv.Itoa(study.DefaultSeed),
		Hint: "The same seed gives the same draws."}
	if a.values.Has(seed.Name) {
		seed.Value = a.values.Get(seed.Name)
		plain, _ := a.style.Whole(seed.Value)
		n, err := strconv.ParseUint(plain, 10, 64)
		if err != nil {
			a.found.Wrong(&seed, "enter a whole number from 0 up, such as 1")
		}
		a.Req.Seed = n
	}
	a.form.Draws = []frame.Field{draws, seed}
}

// precision reads when the draws may end early.
func (a *spreadAsk) precision() {
	relative := frame.Field{Name: "precision", Label: "End early once the standard error is at most", Suffix: "% of the value", Mode: "decimal",
		Hint: "Leave empty to make all draws.", Value: a.values.Get("precision")}
	quantile := frame.Field{Name: "quantile", Label: "Of the value not exceeded in", Suffix: "% of draws", Mode: "decimal", Value: "80"}
	if a.values.Has(quantile.Name) {
		quantile.Value = a.values.Get(quantile.Name)
	}
	if relative.Value != "" {
		p := study.SpreadPrecision{}
		var err error
		if p.Relative, err = form.ReadPercent(a.style, relative.Value); err != nil {
			a.found.Wrong(&relative, err.Error())
		}
		if p.Quantile, err = form.ReadChance(a.style, quantile.Value); err != nil {
			a.found.Wrong(&quantile, err.Error())
		}
		a.Req.Precision = &p
		a.form.More = true
	}
	a.form.Draws = append(a.form.Draws, relative, quantile)
}

// questions reads a price and a chance asked about in one channel or in all.
func (a *spreadAsk) questions() {
	channel := frame.Field{Name: "channel", Label: "Channel", Options: []frame.Option{{Label: "every channel"}}}
	ids := channelsOf(a.known.Figures)
	for _, id := range ids {
		channel.Options = append(channel.Options, frame.Option{Value: id, Label: id})
	}
	chosen := a.text(channel.Name)
	a.offer(&channel, chosen)
	if chosen != "" {
		ids = []string{chosen}
	}
	price := frame.Field{Name: "price", Label: "Chance at the price", Mode: "decimal", Value: a.values.Get("price")}
	chance := frame.Field{Name: "chance", Label: "Price with the chance", Suffix: "%", Mode: "decimal", Value: a.values.Get("chance")}
	var q study.PriceQuestion
	if price.Value != "" {
		d, err := form.Decimal(a.style, price.Value, "")
		if err != nil {
			a.found.Wrong(&price, fmt.Sprintf("enter an amount such as 259.90 (%v)", err))
		}
		q.Price = &d
	}
	if chance.Value != "" {
		d, err := form.ReadChance(a.style, chance.Value)
		if err != nil {
			a.found.Wrong(&chance, err.Error())
		}
		q.Chance = &d
	}
	if q.Price != nil && len(ids) > 1 {
		a.found.Wrong(&channel, "choose the one that the price is asked in; a price of one says nothing about another")
	} else if q.Price != nil || q.Chance != nil {
		for _, id := range ids {
			q.Channel = bom.ID(id)
			a.Req.Prices = append(a.Req.Prices, q)
		}
	}
	a.form.Asked = []frame.Field{price, chance, channel}
}

// channelsOf lists the channels that figures are of: variant/plain/price/direct/…
func channelsOf(figures []answer.Figure) []string {
	var out []string
	for _, f := range figures {
		parts := strings.Split(f.Key, "/")
		if len(parts) > 3 && parts[2] == "price" && !slices.Contains(out, parts[3]) {
			out = append(out, parts[3])
		}
	}
	return out
}

// pair reads two inputs that move together, and how much.
func (a *spreadAsk) pair(i int) {
	name := "pair" + strconv.Itoa(i+1) + "."
	p := pairFields{Title: "Pair " + strconv.Itoa(i+1)}
	p.A, p.B = a.input(name+"a", "Input"), a.input(name+"b", "Moves with")
	p.Rank = frame.Field{Name: name + "rank", Label: "Rank correlation", Value: a.values.Get(name + "rank"), Hint: "From −1 to 1, such as 0.6."}
	first, second := a.text(p.A.Name), a.text(p.B.Name)
	if first != "" || second != "" || p.Rank.Value != "" {
		a.form.More = true
		if first == "" {
			a.found.Wrong(&p.A, "choose the one that the other moves with, or leave the whole pair empty")
		}
		if second == "" {
			a.found.Wrong(&p.B, "choose another input, or leave the whole pair empty")
		}
		rank, err := form.Decimal(a.style, p.Rank.Value, "")
		if err != nil {
			a.found.Wrong(&p.Rank, "enter a number from −1 to 1, such as 0.6")
		}
		a.pairs = append(a.pairs, i)
		a.Req.Correlations = append(a.Req.Correlations, study.RankCorrelation{A: first, B: second, Rank: rank})
	}
	a.form.Pairs = append(a.form.Pairs, p)
}

// input is a choice among the inputs that vary.
func (a *spreadAsk) input(name, label string) frame.Field {
	f := frame.Field{Name: name, Label: label, Wide: true, Options: []frame.Option{{Label: "none"}}}
	for _, r := range a.known.Ranges {
		f.Options = append(f.Options, frame.Option{Value: r.Key, Label: inWords(r)})
	}
	a.offer(&f, a.text(name))
	return f
}

// refuse turns what the use case says is wrong into problems of the fields.
func (a *spreadAsk) refuse(err error) {
	fields := a.form.all()
	left := faultsLeft(err, func(f answer.FieldError) bool {
		if at, ok := fields[a.fieldAt(f.Pointer)]; ok {
			a.found.Wrong(at, f.Message)
		} else {
			a.found.Add("", frame.Placed(f))
		}
		return true
	})
	if left != "" {
		a.found.Add("", left)
	}
}

// all gives the fields by their names.
func (f *spreadForm) all() map[string]*frame.Field {
	out := byName(f.Variant, f.Draws, f.Asked)
	out[f.Day.Name], out[f.Figure.Name] = &f.Day, &f.Figure
	for i := range f.Pairs {
		for _, one := range []*frame.Field{&f.Pairs[i].A, &f.Pairs[i].B, &f.Pairs[i].Rank} {
			out[one.Name] = one
		}
	}
	return out
}

// byName gives the fields of forms by their names.
func byName(forms ...[]frame.Field) map[string]*frame.Field {
	out := map[string]*frame.Field{}
	for _, fields := range forms {
		for i := range fields {
			out[fields[i].Name] = &fields[i]
		}
	}
	return out
}

// fieldAt names the field of the form that a place of the request comes from.
func (a *spreadAsk) fieldAt(pointer string) string {
	parts := strings.Split(strings.TrimPrefix(pointer, "/"), "/")
	last := parts[len(parts)-1]
	switch parts[0] {
	case "draws", "seed":
		return parts[0]
	case "movers", "figures":
		return "figure"
	case "precision":
		if last == "quantile" {
			return "quantile"
		}
		return "precision"
	case "prices":
		if last == "chance" || last == "channel" {
			return last
		}
		return "price"
	case "correlations":
		return a.pairAt(parts)
	}
	return ""
}

// pairAt finds the field of a pair; what is wrong with all together is shown at
// the first.
func (a *spreadAsk) pairAt(parts []string) string {
	pair, part := 0, "rank"
	if len(parts) > 1 {
		if i, err := strconv.Atoi(parts[1]); err == nil && i < len(a.pairs) {
			pair = a.pairs[i]
		}
	} else if len(a.pairs) > 0 {
		pair = a.pairs[0]
	}
	if len(parts) > 2 {
		part = parts[2]
	}
	return "pair" + strconv.Itoa(pair+1) + "." + part
}
