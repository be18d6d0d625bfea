package check

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/rates"
	"kerfbook/costing/text"
)

// cutting checks tools, cutting data, measured factors and what materials say
// about how they cut.
func (c *checker) cutting() {
	var err error
	if c.data, err = c.book.CuttingTables(); err != nil {
		c.fail("cutting_data", "the reference rows cannot be read: %s", err)
	}
	named := map[bom.ID]int{}
	for i, id := range rates.ReferenceMaterialNames() {
		named[id] = i
	}
	for id, i := range c.known["materials"] {
		named[id] = i
	}
	for i := range c.book.Materials {
		c.cutsAs(text.Index("materials", i), &c.book.Materials[i], named)
	}
	for i := range c.book.Tools {
		c.tool(text.Index("tools", i), &c.book.Tools[i])
	}
	for i := range c.book.CuttingData {
		c.cuttingRow(text.Index("cutting_data", i), &c.book.CuttingData[i], named)
	}
	for i := range c.book.Factors {
		c.factor(text.Index("factors", i), &c.book.Factors[i])
	}
}

func (c *checker) cutsAs(path string, m *rates.Material, named map[bom.ID]int) {
	if m.CuttingAs != "" {
		c.cutName(path+".cutting_as", m.CuttingAs, named)
	}
	if m.CuttingAs == m.ID {
		c.fail(path+".cutting_as", "%s cuts as itself; delete it", m.ID)
	}
	if m.CuttingShare != nil && m.CuttingAs == "" {
		c.fail(path+".cutting_share", "cutting_share is of the speeds of what it cuts as; give cutting_as too")
	}
	if m.MC != nil && m.Kc11NMM2 == nil {
		c.fail(path+".mc", "mc says how kc11_n_mm2 falls; give that too")
	}
}

// cutName wants a name of which cutting data may speak, and lists those there are.
func (c *checker) cutName(path string, name bom.ID, named map[bom.ID]int) {
	known := slices.Sorted(maps.Keys(named))
	if slices.Contains(known, name) {
		return
	}
	words := make([]string, min(len(known), maxListed))
	for i := range words {
		words[i] = string(known[i])
	}
	more := ""
	if len(known) > maxListed {
		more = fmt.Sprintf(" and %d more", len(known)-maxListed)
	}
	c.gap(path, "there is no material of the book or of the reference rows %s%s; known are %s%s", name, nearest(name, known), strings.Join(words, ", "), more)
}

// maxListed keeps a message on a screen.
const maxListed = 20

func (c *checker) tool(path string, t *bom.Tool) {
	for _, f := range t.Faults() {
		c.fail(placed(path, f.Field), "%s", f.Message)
	}
	if lacks := t.Lacks(); lacks != "" {
		c.gap(path, "%s", lacks)
	}
	for i, id := range t.WorkCentres {
		c.refer(text.Index(path+".work_centres", i), id, "work_centres")
	}
	switch {
	case t.EdgeCost == nil:
		c.warn(path, "no edge_cost is entered, so wear of %s costs nothing; a written 0 says that it is meant", t.Name)
	case t.EdgeCost.Likely.IsPositive() && !t.HasLife():
		c.warn(path+".edge_cost", "the edge costs nothing until its life is known; give life_min, or taylor_n and taylor_c")
	}
}

// placed is the path of a field, or of the record where the field is empty.
func placed(path, field string) string {
	if field == "" {
		return path
	}
	return text.Field(path, field)
}

func (c *checker) cuttingRow(path string, r *rates.CuttingRow, named map[bom.ID]int) {
	c.cutName(path+".material", r.Material, named)
	if r.Source == "" && !r.Measured {
		c.fail(path, "cutting data need a source; name it, or set measured if the shop has measured them")
	}
	if r.FromDiameterMM != nil && r.ToDiameterMM != nil && less(r.ToDiameterMM, r.FromDiameterMM) {
		c.fail(path+".to_diameter_mm", "%s is below from_diameter_mm %s", r.ToDiameterMM.Likely, r.FromDiameterMM.Likely)
	}
	feeds := dimension{"feeds", nil}
	if len(r.Feeds) > 0 {
		feeds.value = &r.Feeds[0].FeedMM
	}
	c.oneOf(path, dimension{"feed_mm", r.FeedMM}, dimension{"feed_per_diameter", r.FeedPerDiameter}, feeds)
	c.oneOf(path, dimension{"depth_mm", r.DepthMM}, dimension{"depth_per_diameter", r.DepthPerDiameter})
	c.oneOf(path, dimension{"width_mm", r.WidthMM}, dimension{"width_per_diameter", r.WidthPerDiameter})
	for i, f := range r.Feeds {
		if slices.ContainsFunc(r.Feeds[:i], func(g rates.FeedAt) bool { return g.DiameterMM.Likely.Equal(f.DiameterMM.Likely) }) {
			c.fail(text.Index(path+".feeds", i)+".diameter_mm", "%s mm is given twice", f.DiameterMM.Likely)
		}
	}
}

// oneOf refuses a value that is given in more than one form.
func (c *checker) oneOf(path string, forms ...dimension) {
	first := ""
	for _, d := range forms {
		switch {
		case d.value == nil:
		case first == "":
			first = d.field
		default:
			c.fail(text.Field(path, d.field), "is given beside %s; keep one or the other", first)
		}
	}
}

func (c *checker) factor(path string, f *rates.Factor) {
	c.refer(path+".work_centre", f.WorkCentre, "work_centres")
	c.refer(path+".material", f.Material, "materials")
	if f.Minutes == nil && f.Roughness == nil {
		c.gap(path, "give minutes or roughness, measured ÷ computed")
	}
	if f.Roughness != nil && !f.Feature.TakesRoughness() {
		c.fail(path+".roughness", "%s takes no roughness; delete it", f.Feature.Noun())
	}
}

// features checks what the machining operations of a part cut, and that a tool can
// cut it. part is nil for the routing of a product.
func (c *checker) features(path string, routing []bom.Operation, part *bom.Part) {
	for i := range routing {
		o := &routing[i]
		at := text.Index(path, i)
		c.refer(at+".material", o.Material, "materials")
		if len(o.Features) == 0 {
			if o.Material != "" {
				c.fail(at+".material", "only an operation with features has a material; delete it")
			}
			continue
		}
		cut := slices.IndexFunc(o.Features, func(f bom.Feature) bool { return !f.Kind.ByHand() })
		if o.Kind != bom.Machining && (cut >= 0 || o.Kind != bom.Manual) {
			c.fail(at+".features", "only an operation of kind machining has features that a tool cuts, and a manual one what is done by hand")
			continue
		}
		c.enteredBeside(at, o)
		c.cuts(at, o, part)
	}
}

// enteredBeside refuses times and costs that follow from the features.
func (c *checker) enteredBeside(path string, o *bom.Operation) {
	for _, d := range []dimension{{"piece_min", o.PieceMin}, {"cutting_min", o.CuttingMin}, {"worn_edge_min", o.WornEdgeMin},
		{"load_min", o.LoadMin}, {"tool_change_min", o.ToolChangeMin}, {"tools_per_piece", o.ToolsPerPiece}} {
		if d.value == nil {
			continue
		}
		remedy := "delete it, or delete the features"
		if d.field == "load_min" {
			remedy = "enter load_handling_min and probing_min in its place"
		}
		c.fail(text.Field(path, d.field), "follows from the features; %s", remedy)
	}
}

func (c *checker) cuts(path string, o *bom.Operation, part *bom.Part) {
	c.unique(path+".features", "id", ids(o.Features, func(i int) bom.ID { return o.Features[i].ID }))
	material, lost := o.Material, bom.ID("")
	if material == "" && part != nil {
		material, lost = bom.MaterialOf(part, c.numbered, c.book.Stocks)
	}
	// What is lost is told where it stands; what is done by hand asks for no material.
	if byTool := slices.ContainsFunc(o.Features, func(f bom.Feature) bool { return !f.Kind.ByHand() }); material == "" && lost == "" && byTool {
		c.gap(path, "it is not known what operation %d cuts; name its material", o.Number)
	}
	for i := range o.Features {
		f := &o.Features[i]
		at := text.Index(path+".features", i)
		faults := f.Faults()
		for _, fault := range faults {
			c.fail(placed(at, fault.Field), "%s", fault.Message)
		}
		lacks := f.Lacks()
		if lacks != "" {
			c.gap(at, "%s", lacks)
		}
		known := len(faults) == 0 && lacks == ""
		for j, id := range f.Tools {
			known = c.refer(text.Index(at+".tools", j), id, "tools") && known
		}
		if room, sized := bom.RoomOf(part, c.book.Stocks); sized && len(faults) == 0 && lacks == "" && (part.Blank != nil || part.FirstGuess == nil || f.Kind.Recess()) { // a guessed blank is larger than the part
			for _, fault := range room.Outgrown(f) {
				c.fail(placed(at, fault.Field), "%s", fault.Message)
			}
		}
		if c.cutsAsKnown(material) && known && !f.Kind.ByHand() {
			c.cuttable(at, o, f, material)
		}
	}
}

// cutsAsKnown reports whether it is known what a material cuts as; a name that
// stands for nothing is told where it is written.
func (c *checker) cutsAsKnown(material bom.ID) bool {
	if _, in := c.known["materials"][material]; !in {
		return false
	}
	_, unknown := c.data.Unknown(c.book.Materials, material)
	return !unknown
}

// cuttable wants a tool that can cut the feature, and says why each one named, or
// each one of the work centre, cannot.
func (c *checker) cuttable(path string, o *bom.Operation, f *bom.Feature, material bom.ID) {
	search := rates.ToolSearch{Tools: c.book.Tools, Data: c.data, Centre: o.WorkCentre,
		Materials: c.data.Names(c.book.Materials, material), Day: c.day}
	if found, why := search.For(f); len(found) == 0 {
		c.gap(path, "no tool can cut %s: %s", strings.TrimSpace(f.Name), why)
	}
}
