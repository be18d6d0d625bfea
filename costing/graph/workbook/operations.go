package workbook

import (
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// printers holds one form per operation; a test fails on an empty slot.
var printers = [graph.OpCount]func(*printer, graph.Node) string{
	graph.Constant:    held,
	graph.Range:       held,
	graph.Add:         printAdd,
	graph.Multiply:    printMultiply,
	graph.Subtract:    between("-"),
	graph.Divide:      printDivide,
	graph.SumProducts: printSumProducts,
	graph.Minimum:     listed("MIN"),
	graph.Maximum:     listed("MAX"),
	graph.Least:       printLeast,
	graph.At:          printAt,
	graph.Floor:       stepped(floorSteps),
	graph.Ceiling:     stepped(ceilingSteps),
	graph.Round:       stepped(nearestSteps),
	graph.RoundEven:   stepped(evenSteps),
	graph.Power:       printPower,
	graph.SquareRoot:  guarded("#<0", "SQRT(#)"),
	graph.NaturalLog:  guarded("#<=0", "LN(#)"),
	graph.ArcCosine:   printArcCosine,
	graph.Band:        printBand,
	graph.Band2:       printBand2,
	graph.Choose:      printChoose,
	graph.Decided:     held,
	graph.Check:       printCheck,
}

// held is the form of a cell with a number in it.
func held(*printer, graph.Node) string { return "" }

func printAdd(p *printer, n graph.Node) string { return p.sum(n, "terms", p.all(n.Args)) }

func printMultiply(p *printer, n graph.Node) string {
	names := p.all(n.Args)
	if s, ok := joined(names, "*"); ok {
		return s
	}
	return "PRODUCT(" + p.block(n, "factors", names) + ")"
}

func between(sign string) func(*printer, graph.Node) string {
	return func(p *printer, n graph.Node) string { return p.name(n.Args[0]) + sign + p.name(n.Args[1]) }
}

func printDivide(p *printer, n graph.Node) string {
	a, b := p.name(n.Args[0]), p.name(n.Args[1])
	return "IF(" + b + "=0,NA()," + a + "/" + b + ")"
}

func printSumProducts(p *printer, n graph.Node) string {
	terms := make([]string, 0, len(n.Args)/2)
	for i := 0; i < len(n.Args); i += 2 {
		terms = append(terms, p.name(n.Args[i])+"*"+p.name(n.Args[i+1]))
	}
	return p.sum(n, "terms", terms)
}

func listed(function string) func(*printer, graph.Node) string {
	return func(p *printer, n graph.Node) string {
		return function + "(" + p.list(n, "values", p.all(n.Args)) + ")"
	}
}

// printLeast looks the smallest value up among the snapped ones. They stand in a
// block, since MATCH wants cells; the alternative, nested IFs, grows with the
// square of their number.
func printLeast(p *printer, n graph.Node) string {
	snapped := p.all(n.Args)
	for i, s := range snapped {
		snapped[i] = snap(s)
	}
	block := p.block(n, "compared", snapped)
	return "MATCH(MIN(" + block + ")," + block + ",0)"
}

// printAt gives an error beyond the last value: CHOOSE and INDEX do so by
// themselves.
func printAt(p *printer, n graph.Node) string {
	i := snap(p.name(n.Args[0]))
	return "IF(AND(" + i + ">=1," + i + "=INT(" + i + "))," + p.pick(n, i, n.Args[1:]) + ",NA())"
}

// stepped is the form of the operations that count steps: a whole number of
// steps, made by count from x÷step snapped, times the step.
func stepped(count func(q string) string) func(*printer, graph.Node) string {
	return func(p *printer, n graph.Node) string {
		x, step := p.name(n.Args[0]), p.name(n.Args[1])
		return "IF(" + step + "<=0,NA()," + count(snap(x+"/"+step)) + "*" + step + ")"
	}
}

func floorSteps(q string) string   { return "INT(" + q + ")" }
func ceilingSteps(q string) string { return "(0-INT(0-" + q + "))" }
func nearestSteps(q string) string { return "ROUND(" + q + ",0)" }

// evenSteps rounds as nearestSteps does, but a tie by rounding half of it: 2.5
// is twice 1.25, and the nearest whole number to that, twice, is 2.
func evenSteps(q string) string {
	return "IF(" + snap(q+"-INT("+q+")") + "=1/(1+1),(1+1)*ROUND(" + q + "/(1+1),0),ROUND(" + q + ",0))"
}

// maxExponent is the largest |y| of x to the power y.
const maxExponent = 100

func printPower(p *printer, n graph.Node) string {
	x, y := p.name(n.Args[0]), p.name(n.Args[1])
	most := p.limit(whole(maxExponent), "fixed/largest-exponent", "largest exponent of a power")
	return "IF(OR(" + x + "<=0,ABS(" + y + ")>" + most + "),NA()," + x + "^" + y + ")"
}

// guarded is the form of a function of one argument, written #, that is not
// defined where the condition holds.
func guarded(undefined, value string) func(*printer, graph.Node) string {
	return func(p *printer, n graph.Node) string {
		return strings.ReplaceAll("IF("+undefined+",NA(),"+value+")", "#", p.name(n.Args[0]))
	}
}

// printArcCosine holds the argument to −1…1 beside asking for it: a spreadsheet
// takes 1 and the next binary number above it for equal, but not in ACOS.
func printArcCosine(p *printer, n graph.Node) string {
	x := p.name(n.Args[0])
	return "IF(ABS(" + x + ")>1,NA(),ACOS(MAX(0-1,MIN(1," + x + "))))"
}

func compared(p *printer, n graph.Node) string {
	return snap(p.name(n.Args[0])) + n.Compare.Symbol() + snap(p.name(n.Args[1]))
}

func printChoose(p *printer, n graph.Node) string {
	return "IF(" + compared(p, n) + "," + p.name(n.Args[2]) + "," + p.name(n.Args[3]) + ")"
}

func printCheck(p *printer, n graph.Node) string { return "IF(" + compared(p, n) + ",1,0)" }

func whole(n int) decimal.Decimal { return decimal.New(int64(n), 0) }
