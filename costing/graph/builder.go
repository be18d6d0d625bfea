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
	// MaxNodes is 1,000,000 by default: some 250 MB, and what a shop of 10,000 parts with two operations each, or 2,000 with ten features each, takes
	// at once.
	MaxNodes int
}

// Builder collects nodes. It records faults instead of returning them call by
// call; Build gives them all.
type Builder struct {
	table
	limits   Limits
	findings []Finding
	faults   []error
	full     bool
	wholes   map[whole]ID // known, of those that are fixed for all
	// overrides are the numbers whose place has not been built yet, by key.
	overrides map[string]Override
}

// whole is a whole amount in a unit.
type whole struct {
	value int64
	unit  Unit
}

// NewBuilder gives an empty builder. Zero limits mean the defaults.
func NewBuilder(limits Limits) *Builder { return newBuilder(limits, expectedNodes) }

// newBuilder has room for a number of nodes from the start, as far as the limits
// allow.
func newBuilder(limits Limits, room int) *Builder {
	if limits.MaxNodes == 0 {
		limits.MaxNodes = 1_000_000
	}
	return &Builder{limits: limits, wholes: map[whole]ID{}, table: newTable(min(room, limits.MaxNodes))}
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
	return (&Graph{table: b.table, findings: b.findings}).look(), nil
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
func (b *Builder) refuse(kind FaultKind, s *slot, format string, args ...any) ID {
	b.faults = append(b.faults, &FaultError{kind, s.key(), fmt.Sprintf(format, args...), s.path})
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
func (b *Builder) add(s slot, args ...ID) ID {
	if slices.Contains(args, None) { // before the overrides: a number stands in the place of no figure
		return None
	}
	if len(b.overrides) > 0 {
		if o, ok := b.overrides[s.key()]; ok {
			return b.override(s, args, o)
		}
	}
	if slices.Contains(args, Failed) {
		return Failed
	}
	for _, a := range args {
		if !b.has(a) {
			return b.refuse(BadArguments, &s, "there is no figure %d", a)
		}
	}
	if b.count >= b.limits.MaxNodes {
		if b.full {
			return Failed
		}
		b.full = true
		return b.refuse(TooLarge, &s, "more than %d figures in one estimate; price fewer trims at once, or a book with fewer operations, tools and destinations", b.limits.MaxNodes)
	}
	hash, valid := hashOf(s.prefix, s.name)
	if !valid {
		return b.refuse(BadKey, &s, "keys are elements of letters, digits, '.', '_' and '-' joined by '/'")
	}
	if there := b.find(hash, s.prefix, s.name); there != None {
		if b.again(there, &s, args) {
			return there
		}
		return b.refuse(DuplicateKey, &s, "built twice")
	}
	s.hash = hash
	id := b.push(s, args)
	unit, problem := b.unitOf(id)
	if problem != "" {
		b.pop()
		return b.refuse(BadUnit, &s, "%s", problem)
	}
	b.at(id).unit = b.unit(unit)
	return id
}

// again reports that a figure is computed once more from the same figures, as by several
// users of what it is of. They share it, or the number that stands in its place.
func (b *Builder) again(there ID, s *slot, args []ID) bool {
	known := b.at(there)
	if s.kind != Computed || s.rare != nil {
		return false
	}
	return known.source != nil && known.source.Where == InPlace ||
		known.op == s.op && known.compare == s.compare && slices.Equal(b.argsOf(known), args)
}

// maxKey is the most bytes of a key.
const maxKey = 200

var keyByte = func() (t [256]bool) {
	for _, c := range []byte("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789._-/") {
		t[c] = true
	}
	return t
}()

// unitOf applies the unit rule of the operation and gives the unit of the
// result, or what is wrong with the arguments.
func (b *Builder) unitOf(id ID) (Unit, string) {
	s := b.at(id)
	rule := unitRules[s.op]
	if rule == nil {
		return Unit{}, fmt.Sprintf("no unit rule for operation %s", s.op)
	}
	unit, problem := rule(s, units{&b.table, b.argsOf(s)})
	if problem == "" && unit == invalidUnit {
		problem = "the unit has too many parts"
	}
	return unit, problem
}

// units are the units of a node's arguments, read in place.
type units struct {
	table *table
	args  []ID
}

func (u units) len() int            { return len(u.args) }
func (u units) at(i int) Unit       { return *u.table.at(u.args[i]).unit }
func (u units) from(i, j int) units { return units{u.table, u.args[i:j]} }

type unitRule func(s *slot, args units) (Unit, string)

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
	ArcCosine:   plainUnit(1),
	Band:        bandUnit(1),
	Band2:       bandUnit(2),
	Choose:      chooseUnit,
	Decided:     ownUnit,
	Check:       checkUnit,
}

func ownUnit(s *slot, args units) (Unit, string) {
	if args.len() != 0 {
		return Unit{}, fmt.Sprintf("%s takes no arguments", s.op)
	}
	n := s.number()
	if tooWide(n.Likely) || tooWide(n.Low) || tooWide(n.High) || tooWide(n.SD) {
		return Unit{}, "more than 34 digits"
	}
	if s.op == Range {
		if fault := n.Fault(); fault != nil {
			return Unit{}, fault.Problem
		}
	}
	return *s.unit, ""
}

// tooWide also refuses exponents so far out that comparing or printing the number
// would take the machine's memory.
func tooWide(d decimal.Decimal) bool {
	return d.NumDigits() > 34 || d.Exponent() > 1000 || d.Exponent() < -1000
}

// sameUnit wants every argument in one unit; exact arity for two, at least one
// otherwise.
func sameUnit(arity int) unitRule {
	return func(s *slot, args units) (Unit, string) {
		if args.len() == 0 || (arity == 2 && args.len() != 2) {
			return Unit{}, fmt.Sprintf("%s with %d arguments", s.op, args.len())
		}
		for i := 1; i < args.len(); i++ {
			if args.at(i) != args.at(0) {
				return Unit{}, fmt.Sprintf("%s of %q and %q", s.op, args.at(0), args.at(i))
			}
		}
		return args.at(0), ""
	}
}

func plainUnit(arity int) unitRule {
	return func(s *slot, args units) (Unit, string) {
		if args.len() != arity {
			return Unit{}, fmt.Sprintf("%s with %d arguments", s.op, args.len())
		}
		for i := range args.len() {
			if args.at(i) != Plain {
				return Unit{}, fmt.Sprintf("%s wants plain numbers, got %q", s.op, args.at(i))
			}
		}
		return Plain, ""
	}
}

func productUnit(s *slot, args units) (Unit, string) {
	if args.len() == 0 {
		return Unit{}, "multiply without arguments"
	}
	out := Plain
	for i := range args.len() {
		out = out.Times(args.at(i))
	}
	return out, ""
}

func quotientUnit(s *slot, args units) (Unit, string) {
	if args.len() != 2 {
		return Unit{}, fmt.Sprintf("divide with %d arguments", args.len())
	}
	return args.at(0).Per(args.at(1)), ""
}

func sumProductsUnit(s *slot, args units) (Unit, string) {
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

func leastUnit(s *slot, args units) (Unit, string) {
	_, problem := sameUnit(1)(s, args)
	return Plain, problem
}

func atUnit(s *slot, args units) (Unit, string) {
	if args.len() < 2 {
		return Unit{}, "at without values"
	}
	if args.at(0) != Plain {
		return Unit{}, fmt.Sprintf("the index has unit %q", args.at(0))
	}
	return sameUnit(1)(s, args.from(1, args.len()))
}

func rootUnit(s *slot, args units) (Unit, string) {
	if args.len() != 1 {
		return Unit{}, fmt.Sprintf("square root with %d arguments", args.len())
	}
	root, ok := args.at(0).Root()
	if !ok {
		return Unit{}, fmt.Sprintf("square root of %q", args.at(0))
	}
	return root, ""
}

func chooseUnit(s *slot, args units) (Unit, string) {
	if args.len() != 4 {
		return Unit{}, fmt.Sprintf("choose with %d arguments", args.len())
	}
	if args.at(0) != args.at(1) {
		return Unit{}, fmt.Sprintf("comparison of %q and %q", args.at(0), args.at(1))
	}
	return sameUnit(2)(s, args.from(2, 4))
}

func checkUnit(s *slot, args units) (Unit, string) {
	_, problem := sameUnit(2)(s, args)
	return Plain, problem
}

func bandUnit(axes int) unitRule {
	return func(s *slot, args units) (Unit, string) {
		if s.rare == nil {
			return Unit{}, fmt.Sprintf("%s without axes", s.op)
		}
		want, cells := 0, 1
		for _, a := range s.rare.axes {
			want += 1 + a.edges()
			cells *= a.Count()
		}
		if len(s.rare.axes) != axes || args.len() != want+cells {
			return Unit{}, fmt.Sprintf("%s with %d axes and %d arguments, wanted %d", s.op, len(s.rare.axes), args.len(), want+cells)
		}
		at := 0
		for _, a := range s.rare.axes {
			if _, problem := sameUnit(1)(s, args.from(at, at+1+a.edges())); problem != "" {
				return Unit{}, problem
			}
			at += 1 + a.edges()
		}
		return sameUnit(1)(s, args.from(at, args.len()))
	}
}
