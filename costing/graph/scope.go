package graph

import (
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
)

// Scope is what an estimator writes nodes with: a builder, a key prefix, a
// source and a formula id. Scopes are values; narrowing one does not change it.
type Scope struct {
	b       *Builder
	prefix  string
	source  *Source
	path    string // of the source
	formula *string
	of      string
	// Where the numbers stand that people enter, and what they are figures of: beside
	// what is computed from them, or not, as several trims read the routing of one
	// product.
	entered, record string
}

// In narrows the key prefix by elements.
func (s Scope) In(elements ...string) Scope {
	before := s.prefix
	for _, e := range elements {
		s.prefix += e + "/"
	}
	if s.entered == before {
		s.entered = s.prefix
	} else {
		s.entered += s.prefix[len(before):]
	}
	return s
}

// Entered keeps the numbers to come that people enter below a prefix of their own,
// as figures of the thing that has them. Each is one input, however many scopes
// read it.
func (s Scope) Entered(thing string, elements ...string) Scope {
	s.entered, s.record = strings.Join(elements, "/")+"/", thing
	return s
}

// From sets the source of the nodes to come.
func (s Scope) From(src Source) Scope {
	s.source, s.path = &src, src.Path
	return s
}

// Of names the thing the nodes to come are figures of: "desk base", "desk base,
// operation 20".
func (s Scope) Of(thing string) Scope {
	s.of, s.record = thing, thing
	return s
}

// EnteredWith keeps the numbers to come that people enter where another scope has its own.
func (s Scope) EnteredWith(other Scope) Scope {
	s.entered, s.record = other.entered, other.record
	return s
}

// Also names a part of the thing the nodes to come are figures of: "operation 20".
func (s Scope) Also(part string) Scope {
	s.of, s.record = s.of+part, s.record+part
	return s
}

// Thing gives what the nodes of the scope are figures of.
func (s Scope) Thing() string { return s.of }

// Record gives what the numbers that people enter in the scope are figures of.
func (s Scope) Record() string { return s.record }

// By sets the formula id of the computed nodes to come.
func (s Scope) By(formula string) Scope {
	s.formula = s.b.formula(formula)
	return s
}

// Key gives the full key of an element in this scope.
func (s Scope) Key(name string) string { return s.prefix + name }

// Lookup gives the node of a full key that has been built before, or None.
func (s Scope) Lookup(fullKey string) ID {
	return s.b.lookup("", fullKey)
}

// Known gives the node of this scope that has been built under a name, computed or
// entered, or None.
func (s Scope) Known(name string) ID {
	if id := s.b.lookup(s.prefix, name); id != None || s.entered == s.prefix {
		return id
	}
	return s.b.lookup(s.entered, name)
}

// Label gives the label of a node built before.
func (s Scope) Label(id ID) string {
	if id < 0 {
		return "?"
	}
	return s.b.at(id).label
}

// Unit gives the unit of a node built before; plain for what is not there.
func (s Scope) Unit(id ID) Unit {
	if id < 0 {
		return Plain
	}
	return *s.b.at(id).unit
}

// Find records a finding about a key of this scope, once however often it is met; an
// empty name means the scope itself.
func (s Scope) Find(sev Severity, name, message string) {
	key := s.Key(name)
	if name == "" && len(s.prefix) > 0 {
		key = s.prefix[:len(s.prefix)-1]
	}
	if f := (Finding{sev, key, message, s.path}); !slices.Contains(s.b.findings, f) {
		s.b.findings = append(s.b.findings, f)
	}
}

// Told stands for the value of a node in the message of a finding: who reads the message with values puts
// it in its place.
func (s Scope) Told(id ID) string { return "{" + s.b.at(id).key() + "}" }

func (s Scope) slot(name, label string, op Op) slot {
	return slot{prefix: s.prefix, name: name, label: label, of: s.of, op: op, source: s.source, path: s.path, formula: s.formula}
}

func (s Scope) compute(name, label string, op Op, args ...ID) ID {
	return s.b.add(s.slot(name, label, op), args...)
}

// Input adds a number that a person typed or a reference row holds.
func (s Scope) Input(name, label string, unit Unit, value decimal.Decimal) ID {
	n := s.slot(name, label, Constant)
	n.unit, n.value = s.b.unit(unit), value
	return s.enter(n)
}

// enter adds a number that people enter, or finds it where another scope has added
// it. A second number under the same name is a fault.
func (s Scope) enter(n slot) ID {
	n.kind, n.formula = Input, nil
	if s.entered == s.prefix {
		return s.b.add(n)
	}
	n.prefix, n.of = s.entered, s.record
	id := s.b.lookup(n.prefix, n.name)
	if id == None {
		return s.b.add(n)
	}
	if !s.b.at(id).same(&n) {
		return s.b.refuse(DuplicateKey, &n, "entered twice, with different numbers or units")
	}
	return id
}

// Missing adds an input that nobody has entered, with its name for people: "wage of
// BENCH". It counts as 0, and what rests on it is at least what it shows, or
// withheld.
func (s Scope) Missing(name, label string, unit Unit, what string) ID {
	n := s.slot(name, label, Constant)
	n.unit, n.rare = s.b.unit(unit), &rare{missing: what}
	return s.enter(n)
}

// Range adds an estimated number of triangular shape: low, likely, high.
func (s Scope) Range(name, label string, unit Unit, low, likely, high decimal.Decimal) ID {
	return s.Estimate(name, label, unit, bom.Number{Low: low, Likely: likely, High: high, IsRange: true})
}

// Estimate adds an estimated number of any shape. What is no range is a fault.
func (s Scope) Estimate(name, label string, unit Unit, r bom.Number) ID {
	n := s.slot(name, label, Range)
	n.unit, n.value, n.rare = s.b.unit(unit), r.Likely, &rare{low: r.Low, high: r.High, sd: r.SD, shape: r.Shape}
	return s.enter(n)
}

// Fixed adds, or finds again, a number that is no input: a mathematical
// constant, a rounding step. Its key does not depend on the scope. A second
// number under the same name is a fault.
func (s Scope) Fixed(name, label string, unit Unit, value decimal.Decimal, cite string) ID {
	const prefix = "fixed/"
	if id := s.b.lookup(prefix, name); id != None {
		if n := s.b.at(id); *n.unit != unit || tooWide(value) || !n.value.Equal(value) {
			return s.b.fault(DuplicateKey, prefix+name, "fixed twice, with different numbers or units")
		}
		return id
	}
	return s.b.add(slot{prefix: prefix, name: name, label: label, op: Constant, kind: Fixed, unit: s.b.unit(unit), value: value,
		source: &Source{Cite: cite}})
}

// One is the fixed number 1 in a unit: the step of whole pieces, whole loads.
func (s Scope) One(unit Unit) ID {
	return s.whole(1, "one", unit)
}

// Zero is the fixed number 0 in a unit.
func (s Scope) Zero(unit Unit) ID {
	return s.whole(0, "zero", unit)
}

// Pi is π to 34 digits, as many as a figure keeps.
func (s Scope) Pi() ID { return s.Fixed("pi", "π", Plain, pi, "OEIS A000796") }

var pi, _ = decimal.NewFromString("3.141592653589793238462643383279503")

// Two and its like are the plain numbers of formulas.
func (s Scope) Two() ID     { return s.defined("two", "two", 2, 0) }
func (s Scope) Three() ID   { return s.defined("three", "three", 3, 0) }
func (s Scope) Four() ID    { return s.defined("four", "four", 4, 0) }
func (s Scope) Half() ID    { return s.defined("half", "one half", 5, -1) }
func (s Scope) Quarter() ID { return s.defined("quarter", "one quarter", 25, -2) }

func (s Scope) defined(name, label string, value int64, exponent int32) ID {
	return s.Fixed(name, label, Plain, decimal.New(value, exponent), "definition")
}

func (s Scope) whole(value int64, name string, unit Unit) ID {
	id, known := s.b.wholes[whole{value, unit}]
	if known {
		return id
	}
	label := name
	if unit != Plain {
		name, label = name+"-"+keyForm(unit), name+" "+unit.String()
	}
	id = s.Fixed(name, label, unit, decimal.New(value, 0), "definition")
	s.b.wholes[whole{value, unit}] = id
	return id
}

// keyForm writes a unit with the letters a key may have.
func keyForm(u Unit) string {
	out := make([]byte, 0, 16)
	for i := range u.len() {
		t := u.terms[i]
		if i > 0 {
			out = append(out, '.')
		}
		if name := t.sym.String(); name == "µm" {
			out = append(out, "um"...)
		} else {
			out = append(out, name...)
		}
		if t.halves != 2 {
			out = append(out, decimal.New(int64(t.halves)*5, -1).String()...)
		}
	}
	return string(out)
}

// Add adds a + b + …
func (s Scope) Add(name, label string, args ...ID) ID { return s.gather(name, label, Add, 1, args) }

// Multiply adds a × b × …
func (s Scope) Multiply(name, label string, args ...ID) ID {
	return s.compute(name, label, Multiply, args...)
}

// Subtract adds a − b.
func (s Scope) Subtract(name, label string, a, b ID) ID {
	return s.compute(name, label, Subtract, a, b)
}

// Divide adds a ÷ b.
func (s Scope) Divide(name, label string, a, b ID) ID {
	return s.compute(name, label, Divide, a, b)
}

// SumProducts adds a₁×b₁ + a₂×b₂ + …
func (s Scope) SumProducts(name, label string, pairs ...ID) ID {
	return s.gather(name, label, SumProducts, 2, pairs)
}

// Minimum adds the smallest of its arguments.
func (s Scope) Minimum(name, label string, args ...ID) ID {
	return s.gather(name, label, Minimum, 1, args)
}

// Maximum adds the largest of its arguments.
func (s Scope) Maximum(name, label string, args ...ID) ID {
	return s.gather(name, label, Maximum, 1, args)
}

// Least adds the index, from 1, of the smallest argument; the first on ties.
func (s Scope) Least(name, label string, args ...ID) ID {
	return s.Settle(s.compute(name, label, Least, args...), Settled{})
}

// Settle marks a figure built before as settled before a batch is made.
func (s Scope) Settle(id ID, how Settled) ID {
	if id >= 0 {
		n := s.b.at(id)
		r := rare{}
		if n.rare != nil {
			r = *n.rare
		}
		r.settled = &how
		n.rare = &r
	}
	return id
}

// At adds the value with an index from 1.
func (s Scope) At(name, label string, index ID, values ...ID) ID {
	return s.compute(name, label, At, append([]ID{index}, values...)...)
}

// Floor adds the largest multiple of step not above x.
func (s Scope) Floor(name, label string, x, step ID) ID {
	return s.compute(name, label, Floor, x, step)
}

// Ceiling adds the smallest multiple of step not below x.
func (s Scope) Ceiling(name, label string, x, step ID) ID {
	return s.compute(name, label, Ceiling, x, step)
}

// Whole rounds x up to a whole number of its unit.
func (s Scope) Whole(name, label string, x ID) ID {
	if x < 0 {
		return x
	}
	return s.Ceiling(name, label, x, s.One(s.Unit(x)))
}

// Round adds x rounded to the nearest multiple of step, halves away from zero.
func (s Scope) Round(name, label string, x, step ID) ID {
	return s.compute(name, label, Round, x, step)
}

// RoundEven adds x rounded to the nearest multiple of step, halves to even.
func (s Scope) RoundEven(name, label string, x, step ID) ID {
	return s.compute(name, label, RoundEven, x, step)
}

// Power adds x to the power y, both plain numbers.
func (s Scope) Power(name, label string, x, y ID) ID {
	return s.compute(name, label, Power, x, y)
}

// SquareRoot adds √x.
func (s Scope) SquareRoot(name, label string, x ID) ID {
	return s.compute(name, label, SquareRoot, x)
}

// NaturalLog adds ln x.
func (s Scope) NaturalLog(name, label string, x ID) ID {
	return s.compute(name, label, NaturalLog, x)
}

// ArcCosine adds arccos x, in radians.
func (s Scope) ArcCosine(name, label string, x ID) ID {
	return s.compute(name, label, ArcCosine, x)
}

// Axis is one axis of a lookup: x, its bands and their edges.
type Axis struct {
	X         ID
	Bands     Bands
	Low, High ID // used where Bands.HasLow, HasHigh
	Edges     []ID
}

// Band adds a lookup of x in bands; values has one entry per band.
func (s Scope) Band(name, label string, axis Axis, values ...ID) ID {
	n := s.slot(name, label, Band)
	n.rare = &rare{axes: []Bands{axis.Bands}}
	return s.b.add(n, append(axis.args(), values...)...)
}

// Band2 adds a lookup in two dimensions; values has rows × columns entries, the
// columns (second axis) running fastest.
func (s Scope) Band2(name, label string, rows, columns Axis, values ...ID) ID {
	n := s.slot(name, label, Band2)
	n.rare = &rare{axes: []Bands{rows.Bands, columns.Bands}}
	return s.b.add(n, append(append(rows.args(), columns.args()...), values...)...)
}

func (a Axis) args() []ID {
	args := []ID{a.X}
	if a.Bands.HasLow {
		args = append(args, a.Low)
	}
	args = append(args, a.Edges...)
	if a.Bands.HasHigh {
		args = append(args, a.High)
	}
	return args
}

// Choose adds "then" where the comparison of a and b holds, "otherwise" where
// not.
func (s Scope) Choose(name, label string, a ID, c Comparison, b, then, otherwise ID) ID {
	n := s.slot(name, label, Choose)
	n.compare = c
	return s.b.add(n, a, b, then, otherwise)
}

// Decided adds a value found by a solver.
func (s Scope) Decided(name, label string, unit Unit, value decimal.Decimal, how Choice) ID {
	for _, w := range how.Valid {
		switch {
		case w.Input < 0:
			return w.Input
		case !s.b.has(w.Input):
			return s.b.fault(BadArguments, s.Key(name), "there is no figure %d", w.Input)
		case tooWide(w.Low) || tooWide(w.High) || w.Low.GreaterThan(w.High):
			return s.b.fault(BadArguments, s.Key(name), "the window of %s is not in order low, high", s.b.at(w.Input).key())
		}
	}
	n := s.slot(name, label, Decided)
	n.unit, n.value, n.kind, n.rare = s.b.unit(unit), value, Decision, &rare{decision: &how}
	return s.b.add(n)
}

// Drawn adds a figure that is drawn once the graph is there, and before it, under its
// name with -error behind it, the standard error: how far a statistic of the draws of a
// figure lies above its likely value. What is said of the figure drawn is filled in.
func (s Scope) Drawn(name, label string, of ID, d Draws, rule string) ID {
	if of < 0 {
		return of
	}
	d.Of = s.b.at(of).key()
	of = s.Decided(name+"-error", "standard error of "+label, s.Unit(of), decimal.Zero,
		Choice{Solver: "draws", Rule: "standard error of " + rule, Drawn: &Draws{Of: d.Of, Count: d.Count, Seed: d.Seed}})
	if of < 0 {
		return of
	}
	d.Error = s.b.at(of).key()
	return s.Decided(name, label, s.Unit(of), decimal.Zero, Choice{Solver: "draws", Rule: rule, Drawn: &d})
}

// Otherwise parts the label of a check: before it what should hold, after it what was
// done where it does not.
const Otherwise = "; otherwise "

// Check adds 1 where the comparison of a and b holds and 0 where not. The label
// says in words what must hold, and may say what is done Otherwise.
func (s Scope) Check(name, label string, a ID, c Comparison, b ID) ID {
	n := s.slot(name, label, Check)
	n.compare, n.kind = c, Proof
	return s.b.add(n, a, b)
}
