package column

import "kerfbook/costing/graph"

// compileFunc gives the form of a node that varies, from those of its arguments.
type compileFunc func(m *compiler, n *graph.Node) form

// compilers has one entry per operation.
var compilers = [graph.OpCount]compileFunc{
	graph.Constant:    unmoved,
	graph.Range:       unmoved,
	graph.Add:         compileAdd,
	graph.Multiply:    compileMultiply,
	graph.Subtract:    compileSubtract,
	graph.Divide:      compileDivide,
	graph.SumProducts: compileSumProducts,
	graph.Minimum:     compileExtreme(smallest),
	graph.Maximum:     compileExtreme(largest),
	graph.Least:       compileLeast,
	graph.At:          compileAt,
	graph.Floor:       compileStepped(loopFloors, floorStep),
	graph.Ceiling:     compileStepped(loopCeilings, ceilingStep),
	graph.Round:       compileStepped(loopRounds, roundStep),
	graph.RoundEven:   compileStepped(loopEvens, evenStep),
	graph.Power:       compilePower,
	graph.SquareRoot:  compileFunction(squareRoots),
	graph.NaturalLog:  compileFunction(naturalLogs),
	graph.Exponential: compileFunction(exponentials),
	graph.ArcCosine:   compileFunction(arcCosines),
	graph.Band:        compileBand,
	graph.Band2:       compileBand,
	graph.Choose:      compileChoose,
	graph.Decided:     compileDecided,
	graph.Check:       compileCheck,
}

// unmoved is for nodes without arguments: they are fixed or given and never get
// here.
func unmoved(*compiler, *graph.Node) form { return undefined() }
