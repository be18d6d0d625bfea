package column

import (
	"math"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// compiler turns nodes into forms, and into steps where a form will not do.
type compiler struct {
	cone   *cone
	values *exact.Values
	forms  []form // per node
	known  []bool // per fixed node: its form has been made
	uses   []int  // per node: by how many arguments it is used
	wanted []bool // per node: an output

	work        []work
	regs        int
	given       map[graph.ID]reg
	constants   map[uint64]reg // by the bits of the value
	reciprocals map[reg]reg
}

// work is a step before its columns have places.
type work struct {
	step
	out    reg
	args   []reg
	guards bool // may stop a run, whether its result is used or not
}

func newCompiler(c *cone, values *exact.Values, o Options) *compiler {
	n := c.g.Len()
	m := &compiler{cone: c, values: values, forms: make([]form, n), known: make([]bool, n), uses: make([]int, n),
		wanted: make([]bool, n), given: map[graph.ID]reg{}, constants: map[uint64]reg{}, reciprocals: map[reg]reg{}}
	for _, id := range o.Vary {
		m.given[id] = m.newReg()
		m.forms[id] = of(m.given[id])
	}
	for _, id := range o.Outputs {
		m.wanted[id] = true
	}
	return m
}

func (m *compiler) newReg() reg {
	m.regs++
	return reg(m.regs - 1)
}

// compile goes through the nodes that vary, in order.
func (m *compiler) compile() {
	moving := idsWith(m.cone.parts, varied)
	for _, id := range moving {
		for _, a := range m.cone.g.Operation(id).RestsOn() {
			m.uses[a]++
		}
	}
	for _, id := range moving {
		n := m.cone.g.Node(id)
		m.forms[id] = m.kept(id, compilers[n.Op](m, &n))
	}
}

// mostTerms bounds the length of a form. Joining a term looks through all of them,
// so a sum of hundreds would be slow to plan.
const mostTerms = 32

// kept makes a column of a form that would otherwise be worked out again by each
// figure that uses it.
func (m *compiler) kept(id graph.ID, f form) form {
	shared := m.uses[id] > 1 && f.cost() > 1
	if f.fixed() || !m.wanted[id] && !shared && len(f.terms) <= mostTerms {
		return f
	}
	return of(m.column(f))
}

// form is the form of a node. It must not be changed.
func (m *compiler) form(id graph.ID) form {
	if m.cone.parts[id] == fixed && !m.known[id] {
		m.known[id] = true
		// What exact gives no value for has none in any draw.
		m.forms[id] = undefined()
		if d, ok := m.values.Raw(id); ok {
			m.forms[id].base = binary(d)
		}
	}
	return m.forms[id]
}

func (m *compiler) formsOf(ids []graph.ID) []form {
	out := make([]form, len(ids))
	for i, id := range ids {
		out[i] = m.form(id)
	}
	return out
}

// emit adds a step and gives its result.
func (m *compiler) emit(s step, args ...reg) form {
	r := m.newReg()
	m.work = append(m.work, work{step: s, out: r, args: args})
	return of(r)
}

// column gives the column of a form and computes it if it is none as it stands.
func (m *compiler) column(f form) reg {
	if f.fixed() {
		return m.constant(f.base)
	}
	if r, ok := f.pure(); ok {
		return r
	}
	r, _ := m.polynomial(f).pure()
	return r
}

func (m *compiler) columns(forms []form) []reg {
	out := make([]reg, len(forms))
	for i, f := range forms {
		out[i] = m.column(f)
	}
	return out
}

// constant gives a column filled with one value.
func (m *compiler) constant(v float64) reg {
	// By bits, since NaN is not equal to itself and would be a column each time.
	bits := math.Float64bits(v)
	r, ok := m.constants[bits]
	if !ok {
		r = m.newReg()
		m.constants[bits] = r
	}
	return r
}

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
