package peers_test

import (
	"bytes"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// operand is an argument in the printed formula: a number or the name of a
// variable.
type operand struct {
	fixed bool
	v     float64
	name  string
}

func number(v float64) operand { return operand{fixed: true, v: v} }

func (o operand) text() string {
	if !o.fixed {
		return o.name
	}
	s := strconv.FormatFloat(o.v, 'g', -1, 64)
	if o.v < 0 {
		return "(" + s + ")"
	}
	return s
}

// statement sets a variable to an expression, or to one of two values. Functions
// are written with their names in capitals, which each language replaces.
type statement struct {
	name, expr    string
	cond, yes, no string // if cond is not empty
}

// printer turns the figures that vary into statements, in order.
type printer struct {
	t          testing.TB
	g          *graph.Graph
	v          *exact.Values
	of         map[graph.ID]operand
	statements []statement
}

// operand gives an argument; what is not known yet does not vary.
func (p *printer) operand(id graph.ID) operand {
	if o, ok := p.of[id]; ok {
		return o
	}
	d, ok := p.v.Raw(id)
	if !ok {
		p.t.Fatalf("%s has no value", p.g.Node(id).Key)
	}
	return number(d.InexactFloat64())
}

func (p *printer) set(id graph.ID, expr string) {
	name := fmt.Sprintf("v%d", id)
	p.statements = append(p.statements, statement{name: name, expr: expr})
	p.of[id] = operand{name: name}
}

// print adds the statement of a node with an argument that varies.
func (p *printer) print(id graph.ID) {
	n := p.g.Node(id)
	arg := func(i int) operand { return p.operand(n.Args[i]) }
	switch n.Op {
	case graph.Add:
		p.set(id, p.sum(n.Args))
	case graph.Multiply:
		p.set(id, p.product(n.Args).text())
	case graph.Subtract:
		p.set(id, arg(0).text()+" - "+arg(1).text())
	case graph.Divide:
		if b := arg(1); b.fixed {
			p.set(id, arg(0).text()+" * "+number(1/b.v).text())
			return
		}
		p.set(id, arg(0).text()+" / "+arg(1).text())
	case graph.SumProducts:
		p.set(id, p.sumProducts(n.Args))
	case graph.Minimum, graph.Maximum:
		p.set(id, p.extreme(n))
	case graph.Floor, graph.Ceiling:
		step := arg(1)
		if !step.fixed {
			p.t.Fatalf("%s: a step that varies", n.Key)
		}
		word := map[graph.Op]string{graph.Floor: "FLOOR(%s * %s + 5e-10) * %s", graph.Ceiling: "CEIL(%s * %s - 5e-10) * %s"}[n.Op]
		p.set(id, fmt.Sprintf(word, arg(0).text(), number(1/step.v).text(), step.text()))
	case graph.Power:
		p.set(id, fmt.Sprintf("POW(%s, %s)", arg(0).text(), arg(1).text()))
	case graph.SquareRoot:
		p.set(id, fmt.Sprintf("SQRT(%s)", arg(0).text()))
	case graph.ArcCosine:
		p.set(id, fmt.Sprintf("ACOS(%s)", arg(0).text()))
	case graph.At:
		if !arg(0).fixed {
			p.t.Fatalf("%s: an index that varies", n.Key)
		}
		p.of[id] = arg(int(arg(0).v))
	case graph.Choose:
		p.choose(id, n)
	case graph.Band:
		p.band(id, n)
	default:
		p.t.Fatalf("%s: nothing prints %s", n.Key, n.Op)
	}
}

// sum joins the terms that do not vary into one.
func (p *printer) sum(ids []graph.ID) string {
	fixed, terms := 0.0, []string{}
	for _, id := range ids {
		if o := p.operand(id); o.fixed {
			fixed += o.v
		} else {
			terms = append(terms, o.text())
		}
	}
	if fixed != 0 {
		terms = append(terms, number(fixed).text())
	}
	return strings.Join(terms, " + ")
}

// product joins the factors that do not vary into one.
func (p *printer) product(ids []graph.ID) operand {
	fixed, factors := 1.0, []string{}
	for _, id := range ids {
		if o := p.operand(id); o.fixed {
			fixed *= o.v
		} else {
			factors = append(factors, o.text())
		}
	}
	if len(factors) == 0 || fixed == 0 {
		return number(fixed)
	}
	if fixed != 1 {
		factors = append(factors, number(fixed).text())
	}
	return operand{name: strings.Join(factors, " * ")}
}

func (p *printer) sumProducts(ids []graph.ID) string {
	fixed, terms := 0.0, []string{}
	for i := 0; i < len(ids); i += 2 {
		if o := p.product(ids[i : i+2]); o.fixed {
			fixed += o.v
		} else {
			terms = append(terms, o.text())
		}
	}
	if fixed != 0 || len(terms) == 0 {
		terms = append(terms, number(fixed).text())
	}
	return strings.Join(terms, " + ")
}

func (p *printer) extreme(n graph.Node) string {
	word := map[graph.Op]string{graph.Minimum: "MIN", graph.Maximum: "MAX"}[n.Op]
	out := p.operand(n.Args[0]).text()
	for _, a := range n.Args[1:] {
		out = fmt.Sprintf("%s(%s, %s)", word, out, p.operand(a).text())
	}
	return out
}

func (p *printer) choose(id graph.ID, n graph.Node) {
	a, b, yes, no := p.operand(n.Args[0]), p.operand(n.Args[1]), p.operand(n.Args[2]), p.operand(n.Args[3])
	if a.fixed && b.fixed {
		sign := 0
		if a.v > b.v+5e-10 {
			sign = 1
		} else if a.v < b.v-5e-10 {
			sign = -1
		}
		if p.of[id] = no; n.Compare.Holds(sign) {
			p.of[id] = yes
		}
		return
	}
	symbol := n.Compare.Symbol()
	if symbol == "=" || symbol == "<>" {
		p.t.Fatalf("%s: nothing prints %s", n.Key, symbol)
	}
	p.pick(id, a.text()+" "+symbol+" "+b.text(), yes.text(), no.text())
}

func (p *printer) pick(id graph.ID, cond, yes, no string) {
	name := fmt.Sprintf("v%d", id)
	p.statements = append(p.statements, statement{name: name, cond: cond, yes: yes, no: no})
	p.of[id] = operand{name: name}
}

// band prints a look-up of a figure that does not vary.
func (p *printer) band(id graph.ID, n graph.Node) {
	axes, values := n.BandArgs()
	if !p.operand(axes[0].X).fixed || n.Axes[0].HasLow || n.Axes[0].HasHigh {
		p.t.Fatalf("%s: nothing prints this look-up", n.Key)
	}
	at, x := 0, p.operand(axes[0].X).v
	for i, e := range axes[0].Edges {
		edge := p.operand(e)
		if !edge.fixed {
			p.t.Fatalf("%s: an edge that varies", n.Key)
		}
		if x > edge.v || x == edge.v && !n.Axes[0].BelowClosed[i] {
			at++
		}
	}
	p.of[id] = p.operand(values[at])
}

var variable = regexp.MustCompile(`v[0-9]+`)

// leaveOut drops what the result does not rest on: arms that are never chosen.
func (p *printer) leaveOut(result string) {
	used := map[string]bool{}
	use := func(text string) {
		for _, name := range variable.FindAllString(text, -1) {
			used[name] = true
		}
	}
	use(result)
	var kept []statement
	for _, s := range slices.Backward(p.statements) {
		if used[s.name] {
			use(s.expr + " " + s.cond + " " + s.yes + " " + s.no)
			kept = append(kept, s)
		}
	}
	slices.Reverse(kept)
	p.statements = kept
}

// goText prints the formula in Go.
func (p *printer) goText(ranges [][3]float64, result string) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "package main\n\n%s\nconst inputs = %d\n\nvar ranges = [inputs][3]float64{\n", importMath(p.statements), len(ranges))
	for _, r := range ranges {
		fmt.Fprintf(&b, "{%v, %v, %v},\n", r[0], r[1], r[2])
	}
	fmt.Fprintf(&b, "}\n\nfunc formula(x *[inputs]float64) float64 {\n")
	words := strings.NewReplacer("FLOOR(", "math.Floor(", "CEIL(", "math.Ceil(", "MIN(", "min(", "MAX(", "max(", "POW(", "math.Pow(", "SQRT(", "math.Sqrt(", "ACOS(", "math.Acos(")
	for _, s := range p.statements {
		if s.cond == "" {
			fmt.Fprintf(&b, "%s := %s\n", s.name, words.Replace(s.expr))
			continue
		}
		fmt.Fprintf(&b, "%s := %s\nif %s {\n%s = %s\n}\n", s.name, s.no, s.cond, s.name, s.yes)
	}
	fmt.Fprintf(&b, "return %s\n}\n", result)
	return b.Bytes()
}

func importMath(statements []statement) string {
	for _, s := range statements {
		for _, word := range []string{"FLOOR(", "CEIL(", "POW(", "SQRT(", "ACOS("} {
			if strings.Contains(s.expr, word) {
				return "import \"math\"\n"
			}
		}
	}
	return ""
}

// cText prints it in C.
func (p *printer) cText(ranges [][3]float64, result string) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "#define INPUTS %d\n\nstatic const double ranges[INPUTS][3] = {\n", len(ranges))
	for _, r := range ranges {
		fmt.Fprintf(&b, "  {%v, %v, %v},\n", r[0], r[1], r[2])
	}
	fmt.Fprintf(&b, "};\n\nstatic inline double formula(const double *x) {\n")
	words := strings.NewReplacer("FLOOR(", "floor(", "CEIL(", "ceil(", "MIN(", "least(", "MAX(", "most(", "POW(", "pow(", "SQRT(", "sqrt(", "ACOS(", "acos(")
	for _, s := range p.statements {
		if s.cond == "" {
			fmt.Fprintf(&b, "  double %s = %s;\n", s.name, words.Replace(s.expr))
			continue
		}
		fmt.Fprintf(&b, "  double %s = %s ? %s : %s;\n", s.name, s.cond, s.yes, s.no)
	}
	fmt.Fprintf(&b, "  return %s;\n}\n", result)
	return b.Bytes()
}

// pythonText prints it for NumPy; the inputs are columns.
func (p *printer) pythonText(ranges [][3]float64, result string) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "import numpy as np\n\nRANGES = [\n")
	for _, r := range ranges {
		fmt.Fprintf(&b, "    (%v, %v, %v),\n", r[0], r[1], r[2])
	}
	fmt.Fprintf(&b, "]\n\n\ndef formula(*x):\n")
	words := strings.NewReplacer("FLOOR(", "np.floor(", "CEIL(", "np.ceil(", "MIN(", "np.minimum(", "MAX(", "np.maximum(", "POW(", "np.power(", "SQRT(", "np.sqrt(", "ACOS(", "np.arccos(")
	for _, s := range p.statements {
		if s.cond == "" {
			fmt.Fprintf(&b, "    %s = %s\n", s.name, words.Replace(s.expr))
			continue
		}
		fmt.Fprintf(&b, "    %s = np.where(%s, %s, %s)\n", s.name, s.cond, s.yes, s.no)
	}
	fmt.Fprintf(&b, "    return %s\n", result)
	return b.Bytes()
}
