package graph

import (
	"slices"

	"github.com/shopspring/decimal"
)

// State says what a figure is worth when something is missing.
type State uint8

// The states.
const (
	Clean    State = iota // rests on nothing that is missing
	AtLeast               // whatever is entered for what is missing, it does not get less
	Withheld              // it may get more or less, so its value says nothing
)

// Standing says of every figure what is missing behind it. It follows from the
// structure and from the numbers that were entered, never from computed figures.
type Standing struct {
	g      *Graph
	given  map[ID]decimal.Decimal
	states []State // nil where nothing is missing
}

// Standing tells the figures apart by what is missing behind them. Given are the
// figures that are held at a value: nothing is missing there.
func (g *Graph) Standing(given map[ID]decimal.Decimal) *Standing {
	s := &Standing{g: g, given: given}
	if !g.lacks {
		return s
	}
	s.states = make([]State, g.Len())
	positive := make([]bool, g.Len()) // not negative, whatever is entered for what is missing
	for id := range ID(g.Len()) {
		n := g.at(id)
		if v, held := given[id]; held {
			positive[id] = !v.IsNegative()
			continue
		}
		positive[id] = s.positive(n, positive)
		s.states[id] = s.state(id, n, positive)
	}
	return s
}

// state is that of a figure whose arguments have theirs.
func (s *Standing) state(id ID, n *slot, positive []bool) State {
	if n.missing() != "" {
		return AtLeast
	}
	if slices.ContainsFunc(s.g.behind(id, n.decision()), func(a ID) bool { return s.states[a] != Clean }) {
		return Withheld
	}
	out, args := Clean, s.g.argsOf(n)
	for i, a := range args {
		switch {
		case s.states[a] == Clean:
		case s.states[a] == Withheld || !rises[n.op](args, i, positive):
			return Withheld
		default:
			out = AtLeast
		}
	}
	return out
}

// behind are the figures that the decision of a node was made with, as far as they stand
// before it: bytes that were read back may name any.
func (g *Graph) behind(id ID, c *Choice) []ID {
	if c == nil {
		return nil
	}
	out := make([]ID, 0, len(c.Valid)+1)
	for _, w := range c.Valid {
		out = append(out, w.Input)
	}
	if c.Drawn != nil {
		if of, there := g.Find(c.Drawn.Of); there && of < id {
			out = append(out, of)
		}
	}
	return out
}

// Of gives the state of a figure; that of none is clean.
func (s *Standing) Of(id ID) State {
	if id < 0 || s.states == nil {
		return Clean
	}
	return s.states[id]
}

// Missing names what is missing behind some figures, each once, in the order in
// which it was built.
func (s *Standing) Missing(ids ...ID) []Node {
	last := None
	for _, id := range ids {
		if s.Of(id) != Clean {
			last = max(last, id)
		}
	}
	if last == None {
		return nil // as of most figures, of which each is asked
	}
	reached := make([]bool, last+1)
	for _, id := range ids {
		if s.Of(id) != Clean {
			reached[id] = true
		}
	}
	var out []Node
	for id := last; id >= 0; id-- {
		n := s.g.at(id)
		if !reached[id] || s.states[id] == Clean {
			continue
		}
		for _, a := range s.g.argsOf(n) {
			reached[a] = true
		}
		for _, a := range s.g.behind(id, n.decision()) {
			reached[a] = true
		}
		if n.missing() != "" && !slices.ContainsFunc(out, func(m Node) bool { return m.Missing == n.missing() }) {
			out = append(out, s.g.node(id))
		}
	}
	slices.Reverse(out)
	return out
}

// rises says, per operation, whether the result follows argument i: where that is
// entered higher, the result rises or stays. Positive are the figures that cannot
// be negative. What does not follow is withheld behind something missing.
var rises = [OpCount]func(args []ID, i int, positive []bool) bool{
	Constant:    never, // no arguments
	Range:       never, // no arguments
	Decided:     never, // found with what was entered then
	Add:         always,
	Multiply:    amongPositive,
	Subtract:    first,
	Divide:      overPositive,
	SumProducts: besidePositive,
	Minimum:     always,
	Maximum:     always,
	Least:       never,
	At:          chosen(1), // the index is as it was
	Floor:       first,
	Ceiling:     first,
	Round:       first,
	RoundEven:   first,
	Power:       never,
	SquareRoot:  never,
	NaturalLog:  never,
	ArcCosine:   never,
	Band:        never,
	Band2:       never,
	Choose:      chosen(2), // what is compared is as it was
	Check:       never,
}

// chosen: the arguments from one on are values that are chosen among, by those before.
func chosen(from int) func([]ID, int, []bool) bool {
	return func(_ []ID, i int, _ []bool) bool { return i >= from }
}

func always([]ID, int, []bool) bool      { return true }
func never([]ID, int, []bool) bool       { return false }
func first(_ []ID, i int, _ []bool) bool { return i == 0 }
func overPositive(args []ID, i int, positive []bool) bool {
	return i == 0 && positive[args[1]]
}

// amongPositive wants every other factor not negative.
func amongPositive(args []ID, i int, positive []bool) bool {
	for j, a := range args {
		if j != i && !positive[a] {
			return false
		}
	}
	return true
}

// besidePositive wants the other factor of the pair not negative.
func besidePositive(args []ID, i int, positive []bool) bool { return positive[args[i^1]] }

// positive proves from the operation and from what was entered that a figure is
// never negative; of what it cannot prove it says false.
func (s *Standing) positive(n *slot, positive []bool) bool {
	all := func(args []ID) bool {
		return !slices.ContainsFunc(args, func(a ID) bool { return !positive[a] })
	}
	args := s.g.argsOf(n)
	switch n.op {
	case Constant:
		return !n.value.IsNegative()
	case Decided:
		return !n.value.IsNegative() && (n.decision() == nil || n.decision().Drawn == nil)
	case Range:
		return !n.rare.low.IsNegative()
	case Subtract: // 1 − a share
		least, _, okA := s.bounds(args[0])
		_, most, okB := s.bounds(args[1])
		return okA && okB && least.GreaterThanOrEqual(most)
	case Maximum:
		return slices.ContainsFunc(args, func(a ID) bool { return positive[a] })
	case Floor, Ceiling, Round, RoundEven:
		return positive[args[0]]
	case At:
		return all(args[1:])
	case Choose:
		return all(args[2:])
	case Band, Band2:
		o := s.g.operation(n)
		_, values := o.BandArgs()
		return all(values)
	case Least, SquareRoot, Power, ArcCosine, Check:
		return true
	case NaturalLog:
		return false
	default: // sums, products, quotients, minima
		return all(args)
	}
}

// bounds are the ends of what was entered for a figure; ok is false for one that
// is computed or missing.
func (s *Standing) bounds(id ID) (least, most decimal.Decimal, ok bool) {
	n := s.g.at(id)
	v, held := s.given[id]
	switch {
	case held:
		return v, v, true
	case n.op == Range:
		return n.rare.low, n.rare.high, true
	default:
		return n.value, n.value, n.op == Constant && n.missing() == ""
	}
}
