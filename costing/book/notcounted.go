package book

import (
	"fmt"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/rates"
	"kerfbook/costing/text"
	"kerfbook/costing/trade"
)

// Omission is a matter that usually costs something and that a part or product
// neither has a figure for nor says why it needs none. If Answer is set the shop
// has said why.
type Omission struct {
	What      bom.Matter
	Of        string // "operation 20", "destination CH"; empty for the part as a whole
	Path      string // of the record or operation, in the book
	ToEnter   string // the fields that would count it
	Answer    bom.CountingAnswer
	Where     string // what the shop says contains it
	Contained bool   // Answer is set
}

// String words the omission as a sentence without its end.
func (o Omission) String() string {
	of := ""
	if o.Of != "" {
		of = " of " + o.Of
	}
	if !o.Contained {
		return fmt.Sprintf("%s%s: enter %s", o.What.Noun(), of, o.ToEnter)
	}
	where := ""
	if o.Where != "" {
		where = " (" + o.Where + ")"
	}
	return o.What.Noun() + of + ": " + answerWords[o.Answer] + where
}

var answerWords = map[bom.CountingAnswer]string{
	bom.EnteredHere: "entered elsewhere",
	bom.NoneAtAll:   "none",
	bom.InRate:      "in the hour rate or an overhead",
}

// Uses says what the parts of a book go into.
type Uses struct {
	Into map[bom.ID]string       // an assembly, or a product that is more than a piece of it, by name
	Sold map[bom.ID]*bom.Product // the product that is a piece of it and nothing else
}

// Uses lists them.
func (b *Book) Uses() Uses {
	out := Uses{map[bom.ID]string{}, map[bom.ID]*bom.Product{}}
	for i := range b.Parts {
		for _, child := range b.Parts[i].Children {
			out.Into[child.Part] = b.Parts[i].Name
		}
	}
	for i := range b.Products {
		p := &b.Products[i]
		if part := onePart(p); part != "" {
			out.Sold[part] = p
			continue
		}
		for _, line := range p.Positions {
			out.Into[line.Part] = p.Name
		}
	}
	return out
}

// onePart is the part that a product is one piece of, and nothing else; empty of any other.
func onePart(p *bom.Product) bom.ID {
	if len(p.Positions) != 1 || len(p.Routing) > 0 || !p.Positions[0].Quantity.Likely.Equal(decimal.New(1, 0)) {
		return ""
	}
	return p.Positions[0].Part
}

// ByItself reports a part that is sold by itself: it goes into nothing, or says how it is
// packed.
func (u Uses) ByItself(p *bom.Part) bool { return p.Parcel != nil || u.Into[p.Number] == "" }

// PackedTwice warns of a part that is packed and goes into something that is packed in its turn;
// empty of any other. What parts go into is asked for where one is packed.
func PackedTwice(p *bom.Part, uses func() Uses) string {
	at := slices.IndexFunc(p.Routing, packs)
	if at < 0 {
		return ""
	}
	into := uses().Into[p.Number]
	if into == "" {
		return ""
	}
	return fmt.Sprintf("operation %d packs %s as it is sold by itself, and counts in %s too, which it goes into and which has a packing of its own: take it out, unless it goes in packed", p.Routing[at].Number, p.Name, into)
}

// Omissions lists what is usual in the trade and not entered for a part, in the
// order of its routing; its packing, where it is sold by itself.
func (b *Book) Omissions(p *bom.Part, path string, u Uses) []Omission {
	var out []Omission
	for _, m := range b.partMatters(p, path) {
		own := slices.DeleteFunc(slices.Clone(p.NotCounted), func(c bom.CountAnswer) bool { return !p.Holds(c, m.op) })
		if m.what == bom.Packing {
			if !u.ByItself(p) {
				continue
			}
			if sold := u.Sold[p.Number]; sold != nil {
				own = slices.Concat(own, sold.NotCounted)
			}
		}
		out = m.omitted(out, own, m.centreAnswers(), b.NotCounted)
	}
	return out
}

// ProductOmissions lists the same for a product: its own routing, what it is packed in, which
// of a single part is said of that part, and what brings it to each destination, with clearance
// behind a border on the day.
func (b *Book) ProductOmissions(p *bom.Product, path string, day bom.Date) []Omission {
	list := b.matters(p.Routing, p.Special, path, true)
	if onePart(p) == "" {
		list = append(list, packingOf(path, p.Routing))
	}
	list = append(list, b.ways(path, day)...)
	var out []Omission
	for _, m := range list {
		out = m.omitted(out, p.NotCounted, m.centreAnswers(), b.NotCounted)
	}
	return out
}

// matter is one thing that may have been left out at one place.
type matter struct {
	what     bom.Matter
	of, path string
	toEnter  string
	entered  bool
	op       *bom.Operation // nil for the part as a whole
	centre   *rates.WorkCentre
}

func (m matter) centreAnswers() []bom.CountAnswer {
	if m.centre == nil {
		return nil
	}
	return m.centre.NotCounted
}

// omitted adds the matter if no figure counts it, with the nearest answer.
func (m matter) omitted(out []Omission, answers ...[]bom.CountAnswer) []Omission {
	if m.entered {
		return out
	}
	o := Omission{What: m.what, Of: m.of, Path: m.path, ToEnter: m.toEnter}
	for _, list := range answers {
		if i := slices.IndexFunc(list, func(c bom.CountAnswer) bool { return c.What == m.what }); i >= 0 {
			o.Answer, o.Where, o.Contained = list[i].Answer, list[i].Where, true
			break
		}
	}
	return append(out, o)
}

// matters lists what a routing may have left out, entered or not.
func (b *Book) matters(routing []bom.Operation, special []bom.SpecialCost, path string, worked bool) []matter {
	if !worked || len(routing) == 0 {
		return nil
	}
	var out []matter
	checked, scrapped, machined := false, false, false
	for i := range routing {
		o := &routing[i]
		out = append(out, b.mattersOf(o, text.Index(path+".routing", i))...)
		checked = checked || o.Kind == bom.Inspection || o.ProbingMin != nil
		scrapped = scrapped || o.Yield != nil || o.SetupPieces != nil
		machined = machined || o.Kind == bom.Machining
	}
	out = append(out, matter{what: bom.Checking, path: path, toEnter: "an operation that checks, or probing_min", entered: checked}, scrapOf(path, scrapped))
	if machined {
		out = append(out, programmingOf(path, special))
	}
	return out
}

func scrapOf(path string, entered bool) matter {
	return matter{what: bom.Scrap, path: path, toEnter: "yield or setup_pieces of an operation", entered: entered}
}

func packingOf(path string, routing []bom.Operation) matter {
	return matter{what: bom.Packing, path: path, toEnter: "what it is packed in and an operation of kind packing", entered: slices.ContainsFunc(routing, packs)}
}

func packs(o bom.Operation) bool { return o.Kind == bom.Packs }

func programmingOf(path string, special []bom.SpecialCost) matter {
	return matter{what: bom.Programming, path: path, toEnter: "special_direct", entered: len(special) > 0}
}

// partMatters lists what a part may have left out, entered or not. Its programs count
// where it says over how many pieces, and how long they take or every work centre that
// cuts its features how long one does.
func (b *Book) partMatters(p *bom.Part, path string) []matter {
	list := b.matters(p.Routing, p.Special, path, p.Kind != bom.Bought)
	if p.FirstGuess != nil && len(p.Routing) == 0 { // which counts all else
		list = []matter{scrapOf(path, false), programmingOf(path, p.Special)}
	}
	list = guessed(p, list, path)
	if p.Kind != bom.Bought {
		list = append(list, packingOf(path, p.Routing))
	}
	at := slices.IndexFunc(list, func(m matter) bool { return m.what == bom.Programming })
	if at < 0 || list[at].entered {
		return list
	}
	var lacks []string
	if p.ProgrammingMin == nil {
		byFeatures := false
		for i := range p.Routing {
			if o := &p.Routing[i]; cutsFeatures(o) {
				byFeatures = true
				lacks = append(lacks, lacking(o.WorkCentre, "programming", b.centreOf(o).Programming.Parts())...)
			}
		}
		slices.Sort(lacks)
		if minutes := strings.Join(slices.Compact(lacks), " and "); minutes != "" {
			lacks = []string{"programming_min or " + minutes}
		} else if !byFeatures {
			lacks = []string{"programming_min"}
		}
	}
	if p.ProgramsOver == nil {
		lacks = append(lacks, "programs_over_pieces")
	}
	list[at].toEnter += enterAlso(lacks)
	list[at].entered = len(lacks) == 0
	return list
}

// guessed takes what the first guess at a part counts as entered, and adds the work by
// hand that it counted until a routing without any was entered.
func guessed(p *bom.Part, list []matter, path string) []matter {
	if p.FirstGuess == nil || len(p.Routing) == 0 {
		return list
	}
	byHand := false
	for i := range p.Routing {
		o, at := &p.Routing[i], text.Index(path+".routing", i)
		piece, setup := p.Guessed(o)
		byHand = byHand || o.Kind == bom.Manual || slices.ContainsFunc(o.Features, func(f bom.Feature) bool { return f.Kind == bom.Deburr })
		for j := range list {
			m := &list[j]
			m.entered = m.entered || m.path == at && setup && m.what == bom.SettingUp ||
				o.Kind == bom.Manual && piece && m.what == bom.Checking || m.path == at && piece && (m.what == bom.Loading || m.what == bom.ToolChanges || m.what == bom.Moves)
		}
	}
	return append(list, matter{what: bom.HandWork, path: path, toEnter: "an operation by hand, without minutes to keep the guess at it, or deburring as a feature", entered: byHand})
}

// cutsFeatures reports that tools cut what the operation is described by.
func cutsFeatures(o *bom.Operation) bool {
	return o.Kind == bom.Machining && slices.ContainsFunc(o.Features, func(f bom.Feature) bool { return !f.Kind.ByHand() })
}

func (b *Book) centreOf(o *bom.Operation) *rates.WorkCentre {
	if centre, _ := b.WorkCentre(o.WorkCentre); centre != nil {
		return centre
	}
	return new(rates.WorkCentre)
}

// lacking names the fields of a work centre that a time lacks parts of.
func lacking(centre bom.ID, field string, parts []rates.TimePart) []string {
	var out []string
	for _, p := range parts {
		if p.Minutes == nil {
			out = append(out, p.Field)
		}
	}
	switch len(out) {
	case 0:
		return nil
	case len(parts):
		return []string{fmt.Sprintf("%s of %s", field, centre)}
	}
	return []string{fmt.Sprintf("%s of %s of %s", strings.Join(out, " and "), field, centre)} // clean_down_min of setup of MILL
}

func enterAlso(fields []string) string {
	if len(fields) == 0 {
		return ""
	}
	return ", or " + strings.Join(fields, " and ")
}

// mattersOf lists what one operation may have left out. A time per piece that is
// entered whole contains moves and tool changes.
func (b *Book) mattersOf(o *bom.Operation, path string) []matter {
	if o.Kind != bom.Machining {
		return nil
	}
	centre := b.centreOf(o)
	setUp := matter{what: bom.SettingUp, toEnter: "setup_min", entered: o.SetupMin != nil}
	if cutsFeatures(o) {
		lacks := lacking(o.WorkCentre, "setup", centre.Setup.Parts())
		setUp.toEnter += enterAlso(lacks)
		setUp.entered = setUp.entered || len(lacks) == 0
	}
	whole, loading := o.PieceMin != nil, "load_min, handling_min or load_handling_min"
	if whole {
		loading = "load_min, or that piece_min contains it"
	}
	out := []matter{
		{what: bom.Loading, toEnter: loading, entered: o.LoadMin != nil || o.HandlingMin != nil || o.LoadHandlingMin != nil},
		{what: bom.ToolChanges, toEnter: "tool_change_min, or tool_change_s of " + string(o.WorkCentre), entered: whole || o.ToolChangeMin != nil || centre.ToolChangeS != nil},
		{what: bom.Moves, toEnter: "positioning_min, or rapid_mm_min and approach_mm of " + string(o.WorkCentre), entered: whole || centre.Moves(o)},
		{what: bom.Edges, toEnter: "tools_per_piece, or edge_cost and a life of the tools", entered: o.ToolsPerPiece != nil || len(o.Features) > 0 && b.edgesCost(o)},
		setUp,
	}
	for i := range out {
		out[i].of, out[i].path, out[i].op, out[i].centre = fmt.Sprintf("operation %d", o.Number), path, o, centre
	}
	return out
}

// edgesCost reports whether every tool that may cut the features has a price and a
// life.
func (b *Book) edgesCost(o *bom.Operation) bool {
	for i := range o.Features {
		f := &o.Features[i]
		for _, t := range b.Tools {
			may := slices.Contains(f.Tools, t.ID) || len(f.Tools) == 0 && slices.Contains(f.Kind.ToolKinds(), t.Kind) &&
				(len(t.WorkCentres) == 0 || slices.Contains(t.WorkCentres, o.WorkCentre))
			if may && (t.EdgeCost == nil || t.LifeMin == nil && (t.TaylorN == nil || t.TaylorC == nil)) {
				return false
			}
		}
	}
	return true
}

// ways lists the destinations with whether a carrier goes there, and those behind a
// customs border with whether their carrier has terms of clearance for them.
func (b *Book) ways(path string, day bom.Date) []matter {
	if len(b.Destinations) == 0 {
		return nil
	}
	reference, err := trade.Reference()
	if err != nil || day == "" {
		return nil // the build says that the reference cannot be read
	}
	tables := trade.Tables{Own: b.Rules, Reference: reference}
	home := tables.TerritoryOf(b.Country, day)
	var out []matter
	for _, d := range b.Destinations {
		of, carrier := "destination "+d.Place(), "a carrier"
		if d.Carrier != "" {
			carrier = "carrier " + string(d.Carrier)
		}
		out = append(out, matter{what: bom.Delivering, of: of, path: path, toEnter: "carrier of " + of, entered: d.Carrier != ""})
		territory := tables.TerritoryOf(d.Country, day)
		if territory == home {
			continue
		}
		named := []string{string(d.Country), territory, string(d.Country) + "-" + d.Region}
		terms := slices.ContainsFunc(b.Carriers, func(c trade.Carrier) bool {
			return c.ID == d.Carrier && slices.ContainsFunc(c.Clearance, func(t trade.Clearance) bool {
				return slices.ContainsFunc(t.Places, func(place string) bool { return slices.Contains(named, place) })
			})
		})
		out = append(out, matter{what: bom.Clearing, of: of, path: path, toEnter: "clearance of " + carrier, entered: terms})
	}
	return out
}

// CountedTwice calls report for each matter that has a figure and of which the nearest
// answer says that an hour rate or an overhead contains it. by says where the answer is.
func (b *Book) CountedTwice(day bom.Date, report func(o Omission, by string)) {
	for i := range b.Parts {
		p, path := &b.Parts[i], text.Index("parts", i)
		b.answersOf(b.partMatters(p, path), p.NotCounted, report)
	}
	for i := range b.Products {
		p, path := &b.Products[i], text.Index("products", i)
		list := append(b.matters(p.Routing, p.Special, path, true), b.ways(path, day)...)
		list = append(list, packingOf(path, p.Routing))
		b.answersOf(list, p.NotCounted, report)
	}
}

// answersOf holds the nearest answer to each matter that is entered against the
// figure entered.
func (b *Book) answersOf(list []matter, own []bom.CountAnswer, report func(o Omission, by string)) {
	for _, m := range list {
		if !m.entered {
			continue
		}
		for _, from := range []struct {
			answers []bom.CountAnswer
			name    string
		}{{own, "this record"}, {m.centreAnswers(), "its work centre"}, {b.NotCounted, "the shop"}} {
			i := slices.IndexFunc(from.answers, func(a bom.CountAnswer) bool { return a.What == m.what })
			if i < 0 {
				continue
			}
			if from.answers[i].Answer == bom.InRate {
				report(Omission{What: m.what, Of: m.of, Path: m.path}, from.name)
			}
			break
		}
	}
}
