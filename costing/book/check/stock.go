package check

import (
	"slices"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/text"
)

// stocks checks that the dimensions of each stock are those of its form.
func (c *checker) stocks() {
	for i := range c.book.Stocks {
		s := &c.book.Stocks[i]
		path := text.Index("stocks", i)
		c.refer(path+".material", s.Material, "materials")
		c.foreign(path, s)
		switch s.Form {
		case bom.Bar:
			c.bar(path, s)
		case bom.Tube:
			c.tube(path, s)
		case bom.Square, bom.Hexagon:
			c.need(path, "a "+s.Form.Words(), dimension{"across_flats_mm", s.AcrossFlatsMM})
		case bom.Extrusion:
			c.extrusion(path, s)
		case bom.NearNet:
			c.nearNet(path, s)
		case bom.Plate, bom.Sheet:
			c.need(path, "a "+string(s.Form), dimension{"width_mm", s.WidthMM}, dimension{"thickness_mm", s.ThicknessMM})
		}
	}
}

// foreign refuses the dimensions that stock of a form does not have.
func (c *checker) foreign(path string, s *bom.Stock) {
	has := s.Form.Dimensions()
	article := "a "
	if s.Form == bom.Extrusion {
		article = "an "
	}
	for _, d := range []dimension{{"width_mm", s.WidthMM}, {"thickness_mm", s.ThicknessMM}, {"diameter_mm", s.DiameterMM}, {"inner_diameter_mm", s.InnerDiameterMM},
		{"across_flats_mm", s.AcrossFlatsMM}, {"section_mm2", s.SectionMM2}, {"mass_kg_m", s.MassKgM}, {"mass_g", s.MassG}} {
		if !slices.Contains(has, d.field) {
			c.refuse(path, article+s.Form.Words(), d)
		}
	}
}

func (c *checker) extrusion(path string, s *bom.Stock) {
	switch {
	case s.SectionMM2 == nil && s.MassKgM == nil:
		c.gap(path, "an extrusion needs section_mm2, the area of its section, or mass_kg_m, the mass of a metre")
	case s.SectionMM2 != nil && s.MassKgM != nil:
		c.fail(path+".mass_kg_m", "the section of an extrusion is given by its area and by its mass; delete one")
	}
}

func (c *checker) nearNet(path string, s *bom.Stock) {
	switch {
	case s.DiameterMM != nil:
		c.refuse(path, "a round near-net blank", dimension{"width_mm", s.WidthMM}, dimension{"thickness_mm", s.ThicknessMM})
	case s.MassG == nil && s.WidthMM == nil && s.ThicknessMM == nil:
		c.gap(path, "a near-net blank needs mass_g, or the sizes that it fills: diameter_mm, or width_mm and thickness_mm")
	case s.WidthMM != nil || s.ThicknessMM != nil:
		c.need(path, "a near-net blank", dimension{"width_mm", s.WidthMM}, dimension{"thickness_mm", s.ThicknessMM})
	}
}

func (c *checker) bar(path string, s *bom.Stock) {
	if s.DiameterMM != nil {
		c.refuse(path, "a round bar", dimension{"width_mm", s.WidthMM}, dimension{"thickness_mm", s.ThicknessMM})
		return
	}
	if s.WidthMM == nil && s.ThicknessMM == nil {
		c.gap(path, "a bar needs diameter_mm if it is round, or width_mm and thickness_mm if it is flat")
		return
	}
	c.need(path, "a flat bar", dimension{"width_mm", s.WidthMM}, dimension{"thickness_mm", s.ThicknessMM})
}

func (c *checker) tube(path string, s *bom.Stock) {
	c.need(path, "a tube", dimension{"diameter_mm", s.DiameterMM}, dimension{"inner_diameter_mm", s.InnerDiameterMM})
	if s.DiameterMM != nil && s.InnerDiameterMM != nil && !less(s.InnerDiameterMM, s.DiameterMM) {
		c.fail(path+".inner_diameter_mm", "the inner diameter %s is not less than the outer %s", s.InnerDiameterMM.Likely, s.DiameterMM.Likely)
	}
}

// dimension is a field that holds a length and its value, nil if absent.
type dimension struct {
	field string
	value *bom.Number
}

func less(a, b *bom.Number) bool { return a.Likely.LessThan(b.Likely) }

// entered reports that all of some numbers are there.
func entered(numbers ...*bom.Number) bool {
	return !slices.ContainsFunc(numbers, func(n *bom.Number) bool { return n == nil || n.Missing })
}

// need reports dimensions that are missing; subject is what needs them.
func (c *checker) need(path, subject string, dimensions ...dimension) bool {
	var missing []string
	for _, d := range dimensions {
		if d.value == nil {
			missing = append(missing, d.field)
		}
	}
	if len(missing) > 0 {
		c.gap(path, "%s needs %s", subject, strings.Join(missing, " and "))
	}
	return len(missing) == 0
}

// refuse reports dimensions that have no meaning for the subject.
func (c *checker) refuse(path, subject string, dimensions ...dimension) {
	for _, d := range dimensions {
		if d.value != nil {
			c.fail(text.Field(path, d.field), "%s has no %s; delete it", subject, d.field)
		}
	}
}

// blank checks a blank against the form and size of its stock.
func (c *checker) blank(path string, b *bom.Blank) {
	if !c.refer(path+".stock", b.Stock, "stocks") {
		return
	}
	s := &c.book.Stocks[c.known["stocks"][b.Stock]]
	if s.Form == bom.NearNet {
		c.uncut(path, b)
		return
	}
	if b.KerfMM == nil {
		c.warn(path, "no kerf_mm is entered, so that cutting it off takes no stock; a written 0 says that it is meant")
	}
	subject := "a blank from " + s.Form.Words()
	length := dimension{"length_mm", b.LengthMM}
	width, diameter := dimension{"width_mm", b.WidthMM}, dimension{"diameter_mm", b.DiameterMM}
	if s.Form.Linear() {
		c.refuse(path, subject, width, diameter, dimension{"margin_mm", b.MarginMM})
		if b.Grain {
			c.fail(path+".grain", "%s has no grain; delete it", subject)
		}
		if c.need(path, subject, length) {
			c.within(path, s, length)
		}
		return
	}
	c.refuse(path, subject, dimension{"end_cut_mm", b.EndCutMM}, dimension{"bar_end_mm", b.BarEndMM})
	switch {
	case b.DiameterMM != nil:
		c.refuse(path, "a round blank", length, width)
		c.disc(path, s, b)
	case b.LengthMM == nil && b.WidthMM == nil:
		c.gap(path, "%s needs length_mm and width_mm, or diameter_mm if it is round", subject)
	case c.need(path, subject, length, width):
		c.rectangle(path, s, b)
	}
}

// uncut refuses what says how a blank is cut that is bought as it is.
func (c *checker) uncut(path string, b *bom.Blank) {
	const subject = "a near-net blank, bought as it is,"
	c.refuse(path, subject, dimension{"length_mm", b.LengthMM}, dimension{"width_mm", b.WidthMM}, dimension{"diameter_mm", b.DiameterMM},
		dimension{"kerf_mm", b.KerfMM}, dimension{"end_cut_mm", b.EndCutMM}, dimension{"bar_end_mm", b.BarEndMM},
		dimension{"margin_mm", b.MarginMM}, dimension{"keep_remnant_mm", b.KeepRemnantMM})
	if b.Grain {
		c.fail(path+".grain", "%s has no grain; delete it", subject)
	}
	if b.ShareStock {
		c.fail(path+".share_stock", "%s is not laid out with others; delete it", subject)
	}
}

func (c *checker) within(path string, s *bom.Stock, d dimension) {
	if entered(&s.LengthMM) && less(&s.LengthMM, d.value) {
		c.fail(text.Field(path, d.field), "%s mm is longer than the stock %s, which has %s mm; shorten the blank or take longer stock", d.value.Likely, s.ID, s.LengthMM.Likely)
	}
}

func (c *checker) disc(path string, s *bom.Stock, b *bom.Blank) {
	if !entered(&s.LengthMM, s.WidthMM) {
		return // stocks reports it
	}
	if less(&s.LengthMM, b.DiameterMM) || less(s.WidthMM, b.DiameterMM) {
		c.fail(path+".diameter_mm", "%s mm is larger than the stock %s of %s × %s mm; make the blank smaller or take a larger %s",
			b.DiameterMM.Likely, s.ID, s.LengthMM.Likely, s.WidthMM.Likely, s.Form)
	}
}

// rectangle checks both orientations, or one if grain forbids turning.
func (c *checker) rectangle(path string, s *bom.Stock, b *bom.Blank) {
	if !entered(&s.LengthMM, s.WidthMM) {
		return // stocks reports it
	}
	straight := !less(&s.LengthMM, b.LengthMM) && !less(s.WidthMM, b.WidthMM)
	turned := !less(&s.LengthMM, b.WidthMM) && !less(s.WidthMM, b.LengthMM)
	if !straight && (b.Grain || !turned) {
		remedy := "make the blank smaller or take a larger " + string(s.Form)
		if b.Grain && turned {
			remedy += ", or leave grain out if the blank may be turned"
		}
		c.fail(path+".length_mm", "%s × %s mm does not fit on the stock %s of %s × %s mm; %s",
			b.LengthMM.Likely, b.WidthMM.Likely, s.ID, s.LengthMM.Likely, s.WidthMM.Likely, remedy)
	}
}

// sharedStocks wants blanks that are cut from the same pieces to be cut alike.
func (c *checker) sharedStocks() {
	first := map[bom.ID]int{}
	for i := range c.book.Parts {
		b := c.book.Parts[i].Blank
		if b == nil || !b.ShareStock {
			continue
		}
		at, shared := first[b.Stock]
		if !shared {
			first[b.Stock] = i
			continue
		}
		other := &c.book.Parts[at]
		if field := other.Blank.CutUnlike(b); field != "" {
			c.fail(entry("parts", i, "blank."+field), "parts %s and %s share the stock %s and differ in %s; give both the same, or leave share_stock out of one",
				other.Number, c.book.Parts[i].Number, b.Stock, field)
		}
	}
}

// sides writes lengths, such as 60 × 20 × 20 mm.
func sides(of []*bom.Number) string {
	words := make([]string, len(of))
	for i, n := range of {
		words[i] = n.Likely.String()
	}
	return strings.Join(words, " × ") + " mm"
}

// roomy wants the blank of a part to be as large as the finished part: its longest side
// as long as the longest, the next as the next, however they lie.
func (c *checker) roomy(path string, p *bom.Part) {
	if p.Blank == nil || p.Finished == nil {
		return
	}
	at, known := c.known["stocks"][p.Blank.Stock]
	if !known {
		return
	}
	s, b, f := &c.book.Stocks[at], p.Blank, p.Finished
	across := []*bom.Number{s.WidthMM, s.ThicknessMM}
	switch {
	case s.AcrossFlatsMM != nil:
		across = []*bom.Number{s.AcrossFlatsMM, s.AcrossFlatsMM}
		if s.Form == bom.Hexagon {
			across[0] = s.Corners()
		}
	case s.DiameterMM != nil:
		across = []*bom.Number{s.DiameterMM, s.DiameterMM}
	case s.Form == bom.NearNet:
	case !s.Form.Linear() && b.DiameterMM != nil:
		across = []*bom.Number{b.DiameterMM, s.ThicknessMM}
	case !s.Form.Linear():
		across = []*bom.Number{b.WidthMM, s.ThicknessMM}
	}
	along := b.LengthMM
	if b.DiameterMM != nil {
		along = b.DiameterMM
	}
	if s.Form == bom.NearNet {
		along = &s.LengthMM
	}
	is := []*bom.Number{f.LengthMM, f.WidthMM, f.ThicknessMM}
	if f.DiameterMM != nil {
		is = []*bom.Number{f.LengthMM, f.DiameterMM, f.DiameterMM}
	}
	from := append(across, along)
	if !entered(from...) || !entered(is...) {
		return // reported where it is missing
	}
	longest := func(a, b *bom.Number) int { return b.Likely.Cmp(a.Likely) }
	slices.SortFunc(from, longest)
	slices.SortFunc(is, longest)
	for i := range is {
		if less(from[i], is[i]) {
			c.warn(path+".finished", "the finished part of %s does not lie within its blank of %s", sides(is), sides(from))
			return
		}
	}
}
