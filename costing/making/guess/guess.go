package guess

import (
	"slices"
	"strconv"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
	"kerfbook/costing/reference"
)

// Part is a part that is guessed at.
type Part struct {
	Def      *bom.Part
	Scope    graph.Scope // of the part
	Rows     rates.StarterRows
	Material rates.StarterMaterial
	Density  graph.ID // g/mm³

	starters graph.Scope // starter/…, where ranges stand as inputs for all parts
	size     bom.SizeClass
	volume   graph.ID // of the blank, mm³/piece
}

// New begins the guess at a part that has a first guess, a size that it asks for and
// within the classes, a material with a row, and a density.
func New(root graph.Scope, p Part) *Part {
	p.size, _ = p.Def.Finished.SizeClass()
	p.starters = root.In("starter")
	p.Scope = p.Scope.In("guess").By("G1")
	p.volume = graph.None
	return &p
}

// starter gives a starter range as an input, the same for all parts that it holds for.
func (p *Part) starter(id bom.ID, unit graph.Unit) graph.ID {
	return p.starterOf(p.Def.FirstGuess.Way, id, unit)
}

func (p *Part) starterOf(way bom.Way, id bom.ID, unit graph.Unit) graph.ID {
	r, ok := p.Rows.Range(id, way, p.size)
	if !ok {
		return graph.None
	}
	s := p.starters
	for _, by := range []string{string(r.Way), string(r.Size)} {
		if by != "" {
			s = s.In(by)
		}
	}
	where := r.Name + " (starter range"
	if r.Way != "" {
		where += ", " + map[bom.Way]string{bom.Turned: "turned part", bom.Milled: "milled part or further clamping", bom.Cut: "part of plate"}[r.Way]
	}
	if r.Size != "" {
		where += ", " + string(r.Size)
	}
	where += ")"
	return from(s, where, r.Source).Shared(string(id), r.Name, unit, r.Value, "")
}

// material is where the starter row of the material stands.
func (p *Part) material() graph.Scope {
	id := string(p.Material.Material)
	return from(p.starters.In("material", id), "starter material "+id, p.Material.Source)
}

// from names the source of a starter row, unverified where it was recalled.
func from(s graph.Scope, where, cite string) graph.Scope {
	told := reference.Told(where, cite, "")
	return s.From(graph.Source{Where: told.Where, Cite: told.Cite, Unverified: told.Unverified})
}

// size of the finished part, as its outline has it.
func (p *Part) dimension(name, label string, n *bom.Number) graph.ID {
	return p.Scope.Within("finished").Shared(name, label, graph.Mm, *n, name+"_mm")
}

func (p *Part) longer(name string, x graph.ID, by bom.ID) graph.ID {
	return p.Scope.Add(name+"-blank", name+" of the blank", x, p.starter(by, graph.Mm))
}

func (p *Part) quarterPi() graph.ID {
	return p.Scope.Fixed("quarter-pi", "π/4", graph.Plain, decimal.RequireFromString("0.7853981633974483096156608458198757"), "OEIS A003881")
}

// blankVolume is that of the block, bar end or piece of plate that the part is cut from,
// in mm³/piece.
func (p *Part) blankVolume() graph.ID {
	if p.volume != graph.None {
		return p.volume
	}
	s, e := p.Scope, p.Def.Finished
	length := p.dimension("length", "finished length", e.LengthMM)
	var all graph.ID
	if p.Def.FirstGuess.Way == bom.Turned {
		d := p.longer("diameter", p.dimension("diameter", "finished diameter", e.DiameterMM), "stock-across")
		all = s.Multiply("blank-volume", "volume of the blank", p.quarterPi(), d, d, p.longer("length", length, "stock-along"))
	} else {
		width, thick := p.dimension("width", "finished width", e.WidthMM), p.dimension("thickness", "finished thickness", e.ThicknessMM)
		all = s.Multiply("blank-volume", "volume of the blank", p.longer("length", length, "stock-across"),
			p.longer("width", width, "stock-across"), p.longer("thickness", thick, "stock-along"))
	}
	p.volume = s.Divide("blank-volume-each", "volume of the blank per piece", all, s.One(graph.Piece))
	return p.volume
}

// outline gives the surface in dm² and the length of the edges in m, of a piece that
// nothing has been cut into.
func (p *Part) outline() (surface, edges graph.ID) {
	s, e := p.Scope, p.Def.Finished
	if known := s.Known("surface-dm2"); known != graph.None {
		return known, s.Known("edge-m")
	}
	length := p.dimension("length", "finished length", e.LengthMM)
	two := s.Two()
	var area, edge graph.ID
	if p.Def.FirstGuess.Way == bom.Turned {
		d := p.dimension("diameter", "finished diameter", e.DiameterMM)
		around := s.Multiply("around", "around the part", s.Pi(), d)
		ends := s.Multiply("half-diameter", "half the diameter", d, s.Half())
		area = s.Multiply("surface", "surface of the outline", around, s.Add("length-and-ends", "length and both ends", length, ends))
		edge = s.Multiply("edge", "edges of the outline", two, around)
	} else {
		width, thick := p.dimension("width", "finished width", e.WidthMM), p.dimension("thickness", "finished thickness", e.ThicknessMM)
		sides := s.SumProducts("sides", "three sides of the outline", length, width, width, thick, thick, length)
		area = s.Multiply("surface", "surface of the outline", two, sides)
		four := s.Four()
		lengths := []graph.ID{length, width}
		if p.Def.FirstGuess.Way == bom.Milled {
			lengths = append(lengths, thick)
		}
		edge = s.Multiply("edge", "edges of the outline", four, s.Add("edge-lengths", "sides", lengths...))
	}
	inDm := s.Convert("surface-dm2", "surface of the outline, dm²", area, graph.Mm, graph.Dm)
	return inDm, s.Convert("edge-m", "edges of the outline, m", edge, graph.Mm, graph.Metre)
}

func (p *Part) ease() graph.ID {
	return p.material().Shared("ease", "how fast "+string(p.Material.Material)+" is cut, aluminium 6082 as 1", graph.Plain, p.Material.Ease, "")
}

// Entered is what has been entered of the operation that is guessed at.
type Entered struct {
	Features int      // how many, their counts included
	Removed  graph.ID // mm³/piece that they take away, None without any
	All      bool     // nothing else is cut
	Tools    graph.ID // different ones that they take, None without any
	Moves    bool     // the shop says what the moves take to and from what is cut
	Changes  graph.ID // of tools, in min; None where the shop does not say what one takes
}

// PieceTime is what is not entered of the time per piece, in min/piece: roughing by
// volume, finishing by area, small features, tool changes and loading, of a part as busy
// as its kind is.
func (p *Part) PieceTime(e Entered) graph.ID {
	s := p.Scope
	each := func(name, label string, minutes graph.ID) graph.ID {
		return s.Divide(name, label+" per piece", minutes, s.One(graph.Piece))
	}
	changes, loading := graph.None, s.Multiply("loading-time", "loading and unloading", p.clampings(), p.starter("loading", graph.Minute))
	if !e.All || e.Changes == graph.None {
		changes = s.Multiply("changes-time", "tool changes", p.tools(e), p.starter("change-time", graph.Minute))
	}
	if e.All {
		return each("handling-time", handlingLabel, s.Sum("handling", handlingLabel, p.moves(s, p.Def.FirstGuess.Way, e), changes, loading))
	}
	ease := p.ease()
	slow := s.SquareRoot("ease-root", "root of how fast the material is cut", ease)
	surface, _ := p.outline()

	away := s.Multiply("cut-away", "volume cut away", p.blankVolume(), p.starter("share-removed", graph.Plain))
	features := p.starter("features", graph.Plain)
	if e.Features > 0 {
		features = s.Maximum("features-left", "features not entered yet", s.Zero(graph.Plain), s.Subtract("features-less", "features less those entered", features, e.count(s)))
		if e.Removed != graph.None {
			none := s.Zero(graph.Mm.Power(3).Per(graph.Piece))
			away = s.Maximum("cut-away-left", "volume not cut away by the features entered", none, s.Subtract("cut-away-less", "volume cut away less that of the features entered", away, e.Removed))
		}
	}
	inCm := s.Convert("cut-away-cm3", "volume cut away, cm³", away, graph.Mm, graph.Cm)
	rate := s.Multiply("rate", "metal cut away in a minute", p.starter("roughing", graph.Cm.Power(3).Per(graph.Minute)), ease)
	finishing := s.Divide("finishing-time", "finishing", s.Multiply("finishing-easy", "finishing in aluminium", surface, p.starter("finishing", graph.Minute.Per(graph.Dm.Power(2)))), slow)
	small := s.Divide("features-time", "holes, threads, grooves, edges", s.Multiply("features-easy", "the same in aluminium", features, p.starter("feature-time", graph.Minute)), slow)
	rest := s.Add("machine-rest", "finishing, features, tool changes and loading", finishing, small, changes, loading)
	machine := s.Add("machine", "machine minutes of a part of its kind", s.Divide("roughing-time", "roughing", inCm, rate), each("machine-rest-each", "the rest", rest))
	return s.Multiply("machine-time", "machine minutes", machine, p.starter("busyness", graph.Plain))
}

// clampings is how many the first machining has: one where further ones are entered.
func (p *Part) clampings() graph.ID {
	if at := first(p.Def, bom.Machining); at >= 0 && slices.ContainsFunc(p.Def.Routing[at+1:], func(o bom.Operation) bool { return o.Kind == bom.Machining }) {
		return p.Scope.One(graph.Plain)
	}
	return p.starter("clampings", graph.Plain)
}

const handlingLabel = "moves, tool changes and loading"

// moves is what the ways to and from all that is cut take, in min; None where the shop says it, or
// no tool cuts.
func (p *Part) moves(s graph.Scope, way bom.Way, e Entered) graph.ID {
	if e.Moves || e.Tools == graph.None {
		return graph.None
	}
	return s.Multiply("moves-time", "moves to and from the cuts", e.count(s), p.starterOf(way, "moves", graph.Minute))
}

// count is how many features have been entered.
func (e Entered) count(s graph.Scope) graph.ID {
	n := strconv.Itoa(e.Features)
	return s.Fixed("count-"+n, n, graph.Plain, decimal.NewFromInt(int64(e.Features)), "definition")
}

// tools is how many an operation takes: guessed until all that it cuts is entered. None where
// that is cut by hand.
func (p *Part) tools(e Entered) graph.ID {
	if e.All {
		return e.Tools
	}
	return p.starter("tools", graph.Plain)
}

// HandTime is that of breaking edges, with the burrs of holes across, in min/piece; and of
// checking, where no operation of its own does. The edges of the outside are not among them where
// a tool breaks edges.
func (p *Part) HandTime() graph.ID {
	s := p.Scope
	_, edges := p.outline()
	times := p.starter("edges", graph.Plain)
	if slices.ContainsFunc(p.Def.Routing, func(o bom.Operation) bool { return slices.ContainsFunc(o.Features, breaksEdges) }) {
		times = s.Subtract("edges-inside", "edges beside those of the outside", times, s.One(graph.Plain))
	}
	broken := s.Multiply("edges-time", "edges broken by hand", edges, times, p.starter("edge-time", graph.Minute.Per(graph.Metre)))
	burrs, checking := graph.None, graph.None
	if n := across(p.Def); n.IsPositive() {
		count := s.Fixed("holes-across-"+n.String(), "holes across", graph.Plain, n, "definition")
		burrs = s.Multiply("burrs-time", "burrs of holes across", count, p.starter("burr", graph.Minute))
	}
	if !checkedApart(p.Def) {
		checking = p.starter("checking", graph.Minute)
	}
	return s.Divide("hand-time", "work by hand per piece", s.Sum("hand", "work by hand", broken, burrs, checking), s.One(graph.Piece))
}

// CheckTime is that of checking, in min/piece, in an operation of its own.
func (p *Part) CheckTime() graph.ID {
	s := p.Scope
	return s.Divide("check-time", "checking per piece", p.starter("checking", graph.Minute), s.One(graph.Piece))
}

// checkedApart reports an operation of a part that checks.
func checkedApart(def *bom.Part) bool { return first(def, bom.Inspection) >= 0 }

func breaksEdges(f bom.Feature) bool { return f.Kind == bom.Chamfer || f.Kind == bom.TurnProfile }

// Attended is the share of the machine's time that a person is tied to it.
func (p *Part) Attended() graph.ID { return p.starter("attended", graph.Plain) }

// SetupTime is the time of one set-up of all clampings, in minutes.
func (p *Part) SetupTime(e Entered) graph.ID {
	s := p.Scope
	clampings := s.Multiply("setup-clampings", "clampings set up", p.clampings(), p.starter("setup-clamping", graph.Minute))
	tools := s.Multiply("setup-tools", "tools fitted and measured", p.tools(e), p.starter("setup-tool", graph.Minute))
	return s.Sum("setup-time", "guessed time to set up", clampings, tools, p.starter("first-article", graph.Minute))
}

// further is where what a further clamping takes stands.
func (p *Part) further(op *bom.Operation) graph.Scope {
	return p.Scope.In("op", strconv.Itoa(op.Number)).Also(", operation " + strconv.Itoa(op.Number))
}

// FurtherPieceTime is loading, by hand as in a vice, a change of each tool, and the moves to and
// from what is cut, in a clamping after the first, in min/piece.
func (p *Part) FurtherPieceTime(op *bom.Operation, e Entered) graph.ID {
	s := p.further(op)
	changes := graph.None
	if e.Changes == graph.None {
		changes = s.Multiply("changes-time", "tool changes", e.Tools, p.starterOf(bom.Milled, "change-time", graph.Minute))
	}
	all := s.Sum("handling", handlingLabel, p.moves(s, p.heldAs(op), e), changes, p.starterOf(bom.Milled, "loading", graph.Minute))
	return s.Divide("handling-time", handlingLabel+" per piece", all, s.One(graph.Piece))
}

// FurtherSetupTime is the time to set up for a clamping after the first, in minutes: in the
// chuck that turned it, or in a vice or jig.
func (p *Part) FurtherSetupTime(op *bom.Operation, e Entered) graph.ID {
	s, held := p.further(op), p.heldAs(op)
	tools := s.Multiply("setup-tools", "tools fitted and measured", e.Tools, p.starterOf(held, "setup-tool", graph.Minute))
	return s.Sum("setup-time", "guessed time to set up", tools, p.starterOf(held, "setup-further", graph.Minute))
}

// heldAs is how a clamping after the first holds a part: in the chuck that turned it, or as one
// that is milled.
func (p *Part) heldAs(op *bom.Operation) bom.Way {
	if at := first(p.Def, bom.Machining); p.Def.FirstGuess.Way == bom.Turned && p.Def.Routing[at].WorkCentre == op.WorkCentre {
		return bom.Turned
	}
	return bom.Milled
}

// PriceCurrency is that of the price of the material: the book's where it is entered.
func (p *Part) PriceCurrency(book string) string {
	if p.Def.FirstGuess.PricePerKg != nil {
		return book
	}
	return string(p.Material.Currency)
}

// Stock is what the blanks of all pieces that start cost, in the currency of the book;
// exchange is what one unit of PriceCurrency is in it, None where they are one.
func (p *Part) Stock(start, exchange graph.ID, book string) graph.ID {
	s := p.Scope
	mass := s.Convert("blank-mass", "mass of a blank", s.Multiply("blank-mass-g", "mass of a blank in g", p.blankVolume(), p.Density), graph.Gram, graph.Kilogram)
	unit := graph.Currency(p.PriceCurrency(book)).Per(graph.Kilogram)
	var price graph.ID
	if entered := p.Def.FirstGuess.PricePerKg; entered != nil {
		price = s.Within("first_guess").Number("price", "price of the material", unit, *entered, "price_per_kg")
	} else {
		price = p.material().Shared("price", "price of "+string(p.Material.Material), unit, p.Material.PricePerKg, "")
	}
	price = graph.Or(s.Multiply("price-charged", "price of the material, in the currency of the book", price, exchange), price)
	return s.Multiply("stock", "guessed cost of the stock", start, mass, price, p.starter("stock-loss", graph.Plain))
}
