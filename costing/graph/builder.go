package graph

import (
	"errors"
	"fmt"
	"slices"

	"github.com/shopspring/decimal"
)

// Limits bound a graph, so that a hostile or mistaken book ends in an error and
// not in a stuck process.
type Limits struct {
	// MaxNodes is 1,000,000 by default: some 700 MB while it is built, and what a shop
	// of 10,000 parts with two operations each, or 2,000 with ten features each, takes
	// at once.
	MaxNodes int
}

// Builder collects nodes. It records faults instead of returning them call by
// call; Build gives them all.
type Builder struct {
	limits   Limits
	nodes    []Node
	byKey    map[string]ID
	findings []Finding
	faults   []error
	full     bool
	// overrides are the numbers whose place has not been built yet, by key.
	overrides map[string]Override
}

// NewBuilder gives an empty builder. Zero limits mean the defaults.
func NewBuilder(limits Limits) *Builder { return newBuilder(limits, expectedNodes) }

// newBuilder has room for a number of nodes from the start, as far as the limits
// allow.
func newBuilder(limits Limits, room int) *Builder {
	if limits.MaxNodes == 0 {
		limits.MaxNodes = 1_000_000
	}
	room = min(room, limits.MaxNodes)
	return &Builder{limits: limits, byKey: make(map[string]ID, room), nodes: make([]Node, 0, room)}
}

// expectedNodes is what an everyday estimate has; a larger one grows.
const expectedNodes = 6144

// Root gives the scope without a key prefix.
func (b *Builder) Root() Scope { return Scope{b: b} }

// Build ends the work. The error joins every [*FaultError] recorded.
func (b *Builder) Build() (*Graph, error) {
	if len(b.faults) > 0 {
		return nil, errors.Join(b.faults...)
	}
	return (&Graph{nodes: b.nodes, byKey: b.byKey, findings: b.findings}).look(), nil
}

// Joined gives the errors that errors.Join made one; of any other error, itself.
func Joined(err error) []error {
	if joined, ok := err.(interface{ Unwrap() []error }); ok {
		return joined.Unwrap()
	}
	return []error{err}
}

// FaultKind is what is wrong with a node.
type FaultKind uint8

// The kinds of fault.
const (
	BadKey FaultKind = iota
	DuplicateKey
	BadUnit
	BadArguments
	TooLarge
	BadOverride
)

// FaultError is a node that cannot be built: a mistake in an estimator or a
// book beyond the limits.
type FaultError struct {
	Kind   FaultKind
	Key    string
	Detail string
	Path   string // place in the book that the node came from, if any
}

func (e *FaultError) Error() string { return fmt.Sprintf("node %s: %s", e.Key, e.Detail) }

func (b *Builder) fault(kind FaultKind, key, format string, args ...any) ID {
	b.faults = append(b.faults, &FaultError{Kind: kind, Key: key, Detail: fmt.Sprintf(format, args...)})
	return Failed
}

// refuse records a fault of a node, with the place it came from.
func (b *Builder) refuse(kind FaultKind, n *Node, format string, args ...any) ID {
	b.faults = append(b.faults, &FaultError{kind, n.Key, fmt.Sprintf(format, args...), n.Source.Path})
	return Failed
}

// BeyondLimits gives the faults of a graph that grew too large. What else is wrong
// then may follow from them.
func (b *Builder) BeyondLimits() error {
	var found []error
	for _, err := range b.faults {
		if f, ok := err.(*FaultError); ok && f.Kind == TooLarge {
			found = append(found, err)
		}
	}
	return errors.Join(found...)
}

// add checks a node against the operation table and appends it.
func (b *Builder) add(n Node) ID {
	if o, ok := b.overrides[n.Key]; ok {
		return b.override(n, o)
	}
	if slices.Contains(n.Args, Failed) {
		return Failed
	}
	for _, a := range n.Args {
		if a == None {
			return None
		}
		if !b.has(a) {
			return b.refuse(BadArguments, &n, "there is no figure %d", a)
		}
	}
	if len(b.nodes) >= b.limits.MaxNodes {
		if b.full {
			return Failed
		}
		b.full = true
		return b.refuse(TooLarge, &n, "more than %d figures in one estimate; price fewer trims at once, or a book with fewer operations, tools and destinations", b.limits.MaxNodes)
	}
	if !validKey(n.Key) {
		return b.refuse(BadKey, &n, "keys are elements of letters, digits, '.', '_' and '-' joined by '/'")
	}
	if _, taken := b.byKey[n.Key]; taken {
		return b.refuse(DuplicateKey, &n, "built twice")
	}
	id := ID(len(b.nodes))
	if len(b.nodes) == cap(b.nodes) { // twice, where append takes a quarter more and copies a whole shop often
		b.nodes = slices.Grow(b.nodes, len(b.nodes))
	}
	b.nodes = append(b.nodes, n)
	held := &b.nodes[id]
	unit, problem := b.unitOf(held)
	if problem != "" {
		b.nodes = b.nodes[:id]
		return b.refuse(BadUnit, &n, "%s", problem)
	}
	held.Unit = unit
	held.Args = slices.Clone(held.Args) // the caller may go on using its slice
	b.byKey[held.Key] = id
	return id
}

// has reports whether a node has been built; an ID may come from another builder.
func (b *Builder) has(id ID) bool { return id >= 0 && int(id) < len(b.nodes) }

// maxKey is the most bytes of a key.
const maxKey = 200

func validKey(key string) bool {
	if key == "" || len(key) > maxKey {
		return false
	}
	before := byte('/')
	for i := range len(key) {
		c := key[i]
		if !keyByte[c] || c == '/' && before == '/' {
			return false
		}
		before = c
	}
	return before != '/'
}

var keyByte = func() (t [256]bool) {
	for _, c := range []byte("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789._-/") {
		t[c] = true
	}
	return t
}()

// unitOf applies the unit rule of the operation and gives the unit of the
// result, or what is wrong with the arguments.
func (b *Builder) unitOf(n *Node) (Unit, string) {
	rule := unitRules[n.Op]
	if rule == nil {
		return Unit{}, fmt.Sprintf("no unit rule for operation %s", n.Op)
	}
	unit, problem := rule(n, units{b.nodes, n.Args})
	if problem == "" && unit == invalidUnit {
		problem = "the unit has too many parts"
	}
	return unit, problem
}

// units are the units of a node's arguments, read in place.
type units struct {
	nodes []Node
	args  []ID
}

func (u units) len() int            { return len(u.args) }
func (u units) at(i int) Unit       { return u.nodes[u.args[i]].Unit }
func (u units) from(i, j int) units { return units{u.nodes, u.args[i:j]} }

type unitRule func(n *Node, args units) (Unit, string)

var unitRules = [OpCount]unitRule{
	Constant:    ownUnit,
	Range:       ownUnit,
	Add:         sameUnit(1),
	Multiply:    productUnit,
	Subtract:    sameUnit(2),
	Divide:      quotientUnit,
	SumProducts: sumProductsUnit,
	Minimum:     sameUnit(1),
	Maximum:     sameUnit(1),
	Least:       leastUnit,
	At:          atUnit,
	Floor:       sameUnit(2),
	Ceiling:     sameUnit(2),
	Round:       sameUnit(2),
	RoundEven:   sameUnit(2),
	Power:       plainUnit(2),
	SquareRoot:  rootUnit,
	NaturalLog:  plainUnit(1),
	Exponential: plainUnit(1),
	ArcCosine:   plainUnit(1),
	Band:        bandUnit(1),
	Band2:       bandUnit(2),
	Choose:      chooseUnit,
	Decided:     ownUnit,
	Check:       checkUnit,
}

func ownUnit(n *Node, args units) (Unit, string) {
	if args.len() != 0 {
		return Unit{}, fmt.Sprintf("%s takes no arguments", n.Op)
	}
	if tooWide(n.Value) || tooWide(n.Low) || tooWide(n.High) || tooWide(n.SD) {
		return Unit{}, "more than 34 digits"
	}
	if n.Op == Range {
		if fault := n.Estimate().Fault(); fault != nil {
			return Unit{}, fault.Problem
		}
	}
	return n.Unit, ""
}

// tooWide also refuses exponents so far out that comparing or printing the number
// would take the machine's memory.
func tooWide(d decimal.Decimal) bool {
	return d.NumDigits() > 34 || d.Exponent() > 1000 || d.Exponent() < -1000
}

// sameUnit wants every argument in one unit; exact arity for two, at least one
// otherwise.
func sameUnit(arity int) unitRule {
	return func(n *Node, args units) (Unit, string) {
		if args.len() == 0 || (arity == 2 && args.len() != 2) {
			return Unit{}, fmt.Sprintf("%s with %d arguments", n.Op, args.len())
		}
		for i := 1; i < args.len(); i++ {
			if args.at(i) != args.at(0) {
				return Unit{}, fmt.Sprintf("%s of %q and %q", n.Op, args.at(0), args.at(i))
			}
		}
		return args.at(0), ""
	}
}

func plainUnit(arity int) unitRule {
	return func(n *Node, args units) (Unit, string) {
		if args.len() != arity {
			return Unit{}, fmt.Sprintf("%s with %d arguments", n.Op, args.len())
		}
		for i := range args.len() {
			if args.at(i) != Plain {
				return Unit{}, fmt.Sprintf("%s wants plain numbers, got %q", n.Op, args.at(i))
			}
		}
		return Plain, ""
	}
}

func productUnit(n *Node, args units) (Unit, string) {
	if args.len() == 0 {
		return Unit{}, "multiply without arguments"
	}
	out := Plain
	for i := range args.len() {
		out = out.Times(args.at(i))
	}
	return out, ""
}

func quotientUnit(n *Node, args units) (Unit, string) {
	if args.len() != 2 {
		return Unit{}, fmt.Sprintf("divide with %d arguments", args.len())
	}
	return args.at(0).Per(args.at(1)), ""
}

func sumProductsUnit(n *Node, args units) (Unit, string) {
	if args.len() == 0 || args.len()%2 != 0 {
		return Unit{}, fmt.Sprintf("sum of products with %d arguments", args.len())
	}
	first := args.at(0).Times(args.at(1))
	for i := 2; i < args.len(); i += 2 {
		if u := args.at(i).Times(args.at(i + 1)); u != first {
			return Unit{}, fmt.Sprintf("sum of products of %q and %q", first, u)
		}
	}
	return first, ""
}

func leastUnit(n *Node, args units) (Unit, string) {
	_, problem := sameUnit(1)(n, args)
	return Plain, problem
}

func atUnit(n *Node, args units) (Unit, string) {
	if args.len() < 2 {
		return Unit{}, "at without values"
	}
	if args.at(0) != Plain {
		return Unit{}, fmt.Sprintf("the index has unit %q", args.at(0))
	}
	return sameUnit(1)(n, args.from(1, args.len()))
}

func rootUnit(n *Node, args units) (Unit, string) {
	if args.len() != 1 {
		return Unit{}, fmt.Sprintf("square root with %d arguments", args.len())
	}
	root, ok := args.at(0).Root()
	if !ok {
		return Unit{}, fmt.Sprintf("square root of %q", args.at(0))
	}
	return root, ""
}

func chooseUnit(n *Node, args units) (Unit, string) {
	if args.len() != 4 {
		return Unit{}, fmt.Sprintf("choose with %d arguments", args.len())
	}
	if args.at(0) != args.at(1) {
		return Unit{}, fmt.Sprintf("comparison of %q and %q", args.at(0), args.at(1))
	}
	return sameUnit(2)(n, args.from(2, 4))
}

func checkUnit(n *Node, args units) (Unit, string) {
	_, problem := sameUnit(2)(n, args)
	return Plain, problem
}

func bandUnit(axes int) unitRule {
	return func(n *Node, args units) (Unit, string) {
		want, cells := 0, 1
		for _, a := range n.Axes {
			want += 1 + a.edges()
			cells *= a.Count()
		}
		if len(n.Axes) != axes || args.len() != want+cells {
			return Unit{}, fmt.Sprintf("%s with %d axes and %d arguments, wanted %d", n.Op, len(n.Axes), args.len(), want+cells)
		}
		at := 0
		for _, a := range n.Axes {
			if _, problem := sameUnit(1)(n, args.from(at, at+1+a.edges())); problem != "" {
				return Unit{}, problem
			}
			at += 1 + a.edges()
		}
		return sameUnit(1)(n, args.from(at, args.len()))
	}
}
