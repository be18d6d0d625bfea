package check

import (
	"errors"
	"slices"
	"sync"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/rates"
	"kerfbook/costing/text"
)

func (c *checker) parts() {
	uses := sync.OnceValue(c.book.Uses)
	for i := range c.book.Parts {
		p := &c.book.Parts[i]
		path := text.Index("parts", i)
		c.partKind(path, p)
		if p.Blank != nil {
			c.blank(path+".blank", p.Blank)
		}
		c.routing(path+".routing", p.Routing)
		c.features(path+".routing", p.Routing, p)
		c.children(path+".children", p)
		if p.ProgrammingMin != nil && (p.FirstGuess == nil || len(p.Routing) > 0) && !slices.ContainsFunc(p.Routing, func(o bom.Operation) bool { return o.Kind == bom.Machining }) {
			c.warn(path+".programming_min", "programming of %s is not charged, since no operation of it machines; enter one, or what it costs under special_direct", p.Number)
		}
		if twice := book.PackedTwice(p, uses); twice != "" {
			c.warn(path+".routing", "%s", twice)
		}
		distinct(c, path+".special_direct", p.Special, func(s bom.SpecialCost) string { return s.Name })
	}
}

// partKind checks that a part has what its kind needs and nothing else.
func (c *checker) partKind(path string, p *bom.Part) {
	if p.FirstGuess != nil {
		c.firstGuess(path, p)
	}
	if p.Kind == bom.Made {
		switch {
		case p.FirstGuess != nil: // told there
		case p.Blank == nil:
			c.gap(path, "the made part %s needs a blank, or a first_guess that stands for it until one is entered", p.Number)
		case len(p.Routing) == 0:
			c.warn(path, "the made part %s has no routing; only its material is counted", p.Number)
		}
	} else if p.Blank != nil {
		c.fail(path+".blank", "a part of kind %s has no blank; delete it or make the kind made", p.Kind)
	}
	if p.Kind != bom.Bought && p.CountedIn != "" {
		c.fail(path+".counted_in", "a part of kind %s is counted by the piece; delete it or make the kind bought", p.Kind)
	}
	if !p.ByPiece() && len(p.Routing) > 0 {
		c.fail(path+".routing", "%s is counted in %s and is no piece to work on; move its operations to the part that it goes into", p.Number, p.CountedIn)
	}
	if p.Kind == bom.Assembly {
		if len(p.Children) == 0 {
			c.fail(path, "the assembly %s needs children", p.Number)
		}
	} else if len(p.Children) > 0 {
		c.fail(path+".children", "a part of kind %s has no children; make the kind assembly", p.Kind)
	}
}

// firstGuess checks that a first guess has what it is made from, and says what still rests
// on one.
func (c *checker) firstGuess(path string, p *bom.Part) {
	g, at := p.FirstGuess, path+".first_guess"
	if p.Kind != bom.Made {
		c.fail(at, "a part of kind %s has no first guess; delete it or make the kind made", p.Kind)
		return
	}
	if len(p.Routing) == 0 && g.WorkCentre == "" {
		c.gap(at, "the first guess at %s needs a work_centre, while it has no routing", p.Number)
	} else if g.WorkCentre != "" {
		c.refer(at+".work_centre", g.WorkCentre, "work_centres")
	}
	if !slices.Contains(rates.ReferenceMaterialNames(), g.Material) {
		c.refer(at+".material", g.Material, "materials")
	}
	if !g.Way.Sized(p.Finished) {
		c.gap(path+".finished", "the first guess at %s needs its outer size", p.Number)
		return
	}
	if _, ok := p.Finished.SizeClass(); !ok {
		c.gap(path+".finished", "%s is larger than 300 mm, beyond which there is no first guess; enter its blank and routing", p.Number)
	}
	switch {
	case len(p.Routing) == 0 && p.Blank == nil:
		c.warn(path, "stock, set-up and minutes of %s are a first guess from its outer size; more batches cost more than if every guess is right, so go by its band", p.Number)
	case p.Blank == nil:
		c.warn(path, "the stock of %s is a first guess from its outer size", p.Number)
	case len(p.Routing) == 0:
		c.warn(path, "set-up and minutes of %s are a first guess from its outer size", p.Number)
	}
}

func (c *checker) children(path string, p *bom.Part) {
	for i, child := range p.Children {
		at := text.Index(path, i)
		c.refer(at+".part", child.Part, "parts")
		c.quantity(at+".quantity", child.Part, &child.Quantity)
		c.consumed(at+".operation", child.Operation, p.Routing)
	}
	type line struct {
		part      bom.ID
		operation int
	}
	for i := range repeats(p.Children, func(child bom.Child) line { return line{child.Part, child.Operation} }) {
		c.fail(entry(path, i, "part"), "%s is listed twice for the same operation; add up the quantities on one line", p.Children[i].Part)
	}
}

// quantity wants whole numbers of what is counted by the piece.
func (c *checker) quantity(path string, part bom.ID, n *bom.Number) {
	at, known := c.known["parts"][part]
	if !known || n.Missing || !c.book.Parts[at].ByPiece() {
		return
	}
	const remedy = "; where it is bought by length, area, volume, mass or minutes, say so in counted_in of the part"
	switch {
	case n.IsRange:
		c.fail(path, "%s is counted by the piece, and a count is one whole number; write it without a range%s", part, remedy)
	case !n.Likely.IsInteger():
		c.fail(path, "%s must be a whole number, since %s is counted by the piece%s", n.Likely, part, remedy)
	}
}

// consumed checks the operation that uses up a child or position; 0 is the first.
func (c *checker) consumed(path string, number int, routing []bom.Operation) {
	if number != 0 && !slices.ContainsFunc(routing, func(o bom.Operation) bool { return o.Number == number }) {
		c.fail(path, "the routing has no operation %d", number)
	}
}

// containment checks that no part contains itself and that parts are not nested
// too deep.
func (c *checker) containment() {
	cycles := bom.FindCycles(c.book.Parts)
	for _, path := range cycles {
		i := c.known["parts"][path[len(path)-2]]
		j := slices.IndexFunc(c.book.Parts[i].Children, func(child bom.Child) bool { return child.Part == path[0] })
		c.fail(entry(entry("parts", i, "children"), j, "part"), "%s contains itself: %s", path[0], bom.CycleText(path))
	}
	if len(cycles) > 0 {
		return
	}
	needs := make([]bom.Need, len(c.book.Parts))
	for i := range needs {
		needs[i] = bom.Need{Part: c.book.Parts[i].Number, Quantity: decimal.NewFromInt(1)}
	}
	var tooDeep *bom.DepthError
	if _, err := bom.Explode(c.numbered, needs...); errors.As(err, &tooDeep) {
		c.fail(entry("parts", c.known["parts"][tooDeep.Part], "number"), "%s", tooDeep.Error())
	}
}
