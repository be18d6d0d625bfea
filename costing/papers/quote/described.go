package quote

import (
	"slices"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/rates"
)

// described says what a part is in the words of a drawing, as far as the book does: material,
// size, what is cut into it, finish, and its number where it has a revision.
func (a *assembly) described(number bom.ID) string {
	p, _ := a.book.Part(number)
	if p == nil {
		return ""
	}
	var out []string
	say := func(words string) {
		if words != "" && !slices.Contains(out, words) {
			out = append(out, words)
		}
	}
	material, _ := bom.MaterialOf(p, bom.PartsByNumber(a.book.Parts), a.book.Stocks)
	if m, _ := a.book.Material(material); m != nil {
		say(m.Name)
	}
	if p.Finished != nil {
		say(p.Finished.String())
	}
	for i := range p.Routing {
		features := p.Routing[i].Features
		for j := range features {
			say(cutWords(&features[j], features))
		}
	}
	say(roughWords(p))
	for i := range p.Routing {
		say(a.finishWords(p.Routing[i].Treatment))
	}
	if p.Revision != "" {
		say(numbered(p))
	}
	return strings.Join(out, ", ")
}

// numbered is the revision of a part, with its number unless that was made of its name.
func numbered(p *bom.Part) string {
	if string(p.Number) == strings.ToUpper(bom.Slug(p.Name)) {
		return "revision " + p.Revision
	}
	return "number " + string(p.Number) + ", revision " + p.Revision
}

// roughWords is how rough it may be, as far as somebody said it: the buyer is promised no more.
func roughWords(p *bom.Part) string {
	all := p.Roughnesses()
	if len(all) == 0 || p.AssumesRa(all[0]) {
		return ""
	}
	words, last := "finest surface Ra "+all[0].Likely.String(), all[len(all)-1]
	if len(all) == 1 {
		return words
	}
	var of []string
	for _, o := range p.Routing {
		for _, f := range o.Features {
			if f.RaUM != nil && f.RaUM.Equal(all[0]) {
				of = append(of, f.Name)
			}
		}
	}
	if words += " (" + strings.Join(of, ", ") + ")"; !p.AssumesRa(last) {
		words += ", else Ra " + last.Likely.String()
	}
	return words
}

// cutWords says what a drawing shows of a feature: threads, holes, a knurl, broken edges. A hole
// that a thread is cut into is part of the thread.
func cutWords(f *bom.Feature, among []bom.Feature) string {
	words, along := "", " mm long"
	switch f.Kind {
	case bom.Tap, bom.ThreadMill, bom.ThreadTurn:
		words = "thread " + string(rates.MetricThread(*f.DiameterMM, *f.PitchMM).ID)
	case bom.Knurl:
		words, along = "knurled", " mm wide"
	case bom.Chamfer, bom.TurnProfile:
		if broken := f.Broken(); broken != nil {
			return "edges broken " + broken.Likely.String() + " mm"
		}
		return ""
	case bom.Drill, bom.Ream:
		if slices.ContainsFunc(among, func(t bom.Feature) bool { return coreOf(f, &t) }) {
			return ""
		}
		words = "hole Ø" + f.DiameterMM.Likely.String()
		if f.Kind == bom.Ream {
			words = "reamed " + words
		}
	default:
		return ""
	}
	if f.DepthMM != nil && f.Through {
		words += " through " + f.DepthMM.Likely.String() + " mm"
	} else if f.DepthMM != nil {
		words += " " + f.DepthMM.Likely.String() + " mm deep"
	} else if f.LengthMM != nil {
		words += " " + f.LengthMM.Likely.String() + along
	}
	if f.Count != nil {
		words = f.Count.Likely.String() + " × " + words
	}
	return words
}

// coreOf reports a hole that a feature reams, or cuts a thread into.
func coreOf(f, t *bom.Feature) bool {
	switch {
	case f.Kind != bom.Drill:
	case t.Kind == bom.Tap, t.Kind == bom.ThreadMill:
		return rates.MetricThread(*t.DiameterMM, *t.PitchMM).Core(*f.DiameterMM)
	case t.Kind == bom.Ream:
		return f.DiameterMM.Likely.LessThan(t.DiameterMM.Likely)
	}
	return false
}

// finishWords says which finish a treatment gives, as the standard has it where one is named.
func (a *assembly) finishWords(t *bom.Treatment) string {
	if t == nil {
		return ""
	}
	p, _ := a.book.Process(t.Process)
	if p == nil {
		return ""
	}
	words := p.Name
	if t.Class != "" {
		words += " " + t.Class
	}
	if t.ThicknessUM != nil {
		words += " " + t.ThicknessUM.Likely.String() + " µm"
	}
	return words
}
