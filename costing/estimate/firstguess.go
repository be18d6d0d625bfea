package estimate

import (
	"strconv"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/making/blank"
	"kerfbook/costing/making/guess"
	"kerfbook/costing/making/routing"
	"kerfbook/costing/money"
	"kerfbook/costing/rates"
)

// Guessed ends the key of the remark that a part rests on a first guess.
const Guessed = "guess"

// guessOf begins the first guess at a part, or says what it lacks.
func (a *assembly) guessOf(p *pool) (*guess.Part, missing) {
	if p.guess != nil || p.guessLacks != (missing{}) {
		return p.guess, p.guessLacks
	}
	p.guess, p.guessLacks = a.beginGuess(p)
	return p.guess, p.guessLacks
}

func (a *assembly) beginGuess(p *pool) (*guess.Part, missing) {
	g := p.def.FirstGuess
	rows, err := rates.ReferenceGuess()
	if err != nil {
		a.problems = append(a.problems, err)
		return nil, missing{"starter ranges", ""}
	}
	if !g.Way.Sized(p.def.Finished) {
		return nil, missing{"outer size of " + p.def.Name, p.path + ".finished"}
	}
	if _, ok := p.def.Finished.SizeClass(); !ok {
		return nil, missing{"blank and minutes of " + p.def.Name + ", as there is no first guess beyond 300 mm", p.path + ".finished"}
	}
	names := []bom.ID{g.Material}
	own, at := a.material(g.Material)
	if at >= 0 {
		names = append(names, own.CuttingAs)
	}
	shipped, known, err := rates.ReferenceMaterialOf(g.Material)
	if err != nil {
		a.problems = append(a.problems, err)
	}
	if known && at < 0 {
		own = rates.Material{ID: g.Material, Name: shipped.Material.Name, DensityGCM3: shipped.Material.DensityGCM3, Source: shipped.Material.Source}
	}
	row, ok := rows.Material(names)
	switch {
	case at < 0 && !known:
		return nil, missing{"material " + string(g.Material), p.path + ".first_guess.material"}
	case own.DensityGCM3.Missing:
		return nil, missing{"density of " + own.Name, index("materials", at) + ".density_g_cm3"}
	case !ok:
		return nil, missing{"blank and minutes of " + p.def.Name + ", as nothing is known of how " + own.Name + " is cut", p.path + ".first_guess.material"}
	}
	path := ""
	if at >= 0 {
		path = index("materials", at)
	}
	p.scope.Find(graph.Warning, Guessed, p.def.Name+" rests on a first guess: its figures are as if every guess is right, which more batches exceed than not")
	for _, hole := range guess.EndInMetal(p.def) {
		p.scope.Find(graph.Warning, bom.Slug(hole), hole+" ends in the metal, as it meets no hole along the axis")
	}
	ms := a.root.In("material", string(own.ID)).From(graph.Source{Where: "material " + own.Name, Path: path, Cite: own.Source}).Of(own.Name)
	return guess.New(a.root, guess.Part{Def: p.def, Scope: p.scope, Rows: rows, Material: row, Density: blank.Density(ms, own)}), missing{}
}

// guessTimes writes what is not entered of the first machining operation of a part, and
// of its first work by hand.
func (a *assembly) guessTimes(p *pool) func(op *bom.Operation, cut routing.Cut) routing.Guess {
	def := p.def
	if def.FirstGuess == nil || def.Kind != bom.Made {
		return nil
	}
	return func(op *bom.Operation, cut routing.Cut) routing.Guess {
		out := routing.NoGuess()
		piece, setup := def.Guessed(op)
		if !piece && !setup && (op.AttendedShare != nil || !def.FirstMachined(op)) {
			return out
		}
		g, lacks := a.guessOf(p)
		entered := enteredFeatures(op, cut)
		if centre, _ := a.book.WorkCentre(op.WorkCentre); centre != nil {
			entered.Moves = centre.Moves(op)
		}
		entered.All = def.FirstGuess.FeaturesEntered && entered.Features > 0
		switch {
		case g == nil && !piece: // the rest is known, or said to be missing elsewhere
		case g == nil:
			out.Piece = p.scope.In("op", strconv.Itoa(op.Number)).From(graph.Source{Path: lacks.path}).
				Missing("guessed-time", "guessed minutes per piece", graph.Minute.Per(graph.Piece), lacks.what)
		case op.Kind == bom.Manual:
			out.Piece = g.HandTime()
		case op.Kind == bom.Inspection:
			out.Piece = g.CheckTime()
		case !def.FirstMachined(op):
			if piece {
				out.Piece = g.FurtherPieceTime(op, entered)
			}
			if setup && cut.Setup == graph.None {
				out.Setup = g.FurtherSetupTime(op, entered)
			}
		default:
			if piece {
				out.Piece = g.PieceTime(entered)
			}
			if setup && cut.Setup == graph.None {
				out.Setup = g.SetupTime(entered)
			}
			if op.AttendedShare == nil {
				out.Attended = g.Attended()
			}
		}
		return out
	}
}

// enteredFeatures are those that a guess is made beside.
func enteredFeatures(op *bom.Operation, cut routing.Cut) guess.Entered {
	e := guess.Entered{Removed: graph.None, Tools: cut.Tools, Changes: cut.ToolChanges}
	for i := range op.Features {
		e.Features += featuresOf(&op.Features[i])
	}
	if e.Features > 0 {
		e.Removed = cut.Removed
	}
	return e
}

// featuresOf is how many of its kind a feature stands for, at its likely count.
func featuresOf(f *bom.Feature) int {
	if f.Count == nil {
		return 1
	}
	return int(f.Count.Likely.IntPart())
}

// guessStock charges a part without a blank with the stock of its first guess.
func (a *assembly) guessStock(p *pool) {
	g, lacks := a.guessOf(p)
	if g == nil {
		a.uncut(p, lacks)
		return
	}
	exchange, own := graph.None, string(a.book.Currency)
	if from := g.PriceCurrency(own); from != own {
		exchange = a.toBook(money.Code(from))
	}
	stock := g.Stock(p.flow.Start, exchange, own)
	p.kinds[StockCost] = stock
	p.kinds[MaterialOverhead] = p.scope.By("C1").Multiply("material-overhead", "material overhead", stock, a.overheads.material)
}
