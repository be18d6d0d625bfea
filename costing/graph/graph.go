package graph

import (
	"github.com/shopspring/decimal"

	"kerfbook/bom"
)

// ID is the index of a node. The arguments of a node always have smaller IDs
// than the node, so nodes in order are a valid evaluation order.
type ID int32

// None is the ID of what is absent: sums leave it out, and a node that needs it is
// absent too.
const None ID = -1

// Failed is the ID of a node that could not be built. Its fault has been recorded;
// what is built of it fails without another word, sums included.
const Failed ID = -2

// Kind says what a number is to the person who reads it.
type Kind uint8

// The kinds of node.
const (
	Computed Kind = iota // follows from other nodes
	Input                // typed by the shop or looked up in reference data; may be changed
	Fixed                // a conversion factor, a mathematical constant, a rounding step
	Decision             // found by a solver and held
	Proof                // a check
)

// Node is one figure.
type Node struct {
	Key   string // stable, names the thing: part/EMB-010/op/30/run-time
	Label string // for a person: "run time"
	Of    string // the thing it is a figure of: "desk base, operation 30"; may be empty
	Unit  Unit
	Kind  Kind
	Operation

	Value     decimal.Decimal // Constant: the number; Range: likely; Decided: the decision
	Low, High decimal.Decimal // Range only
	Shape     bom.Shape       // Range only: how its values are spread
	SD        decimal.Decimal // Range of normal shape only: deviation before it is cut off at low and high

	Settled *Settled // nil for a figure that follows what it rests on

	// Missing names, for people, an input that nobody has entered: "wage of
	// BENCH". It counts as 0; see [Graph.Standing].
	Missing string

	Formula string // id of the formula: "S1"
	Source  Source
}

// Settled says of a figure that it is fixed before a batch is made, however the ranges
// come out that it rests on: draws hold it at what it is at the likely values.
type Settled struct {
	// Asked is of a price that somebody has been told. Any other is a choice from a known
	// list, an offer or a regime, that could be another with hindsight.
	Asked bool
	// Options names what each whole value of a choice from 1 means, where that is not an
	// argument of a least.
	Options []string
}

// Operation is how a figure follows from others.
type Operation struct {
	Op       Op
	Args     []ID
	Compare  Comparison // Choose, Check
	Axes     []Bands    // Band: one, Band2: two
	Decision *Choice    // Decided only
}

// Estimate gives what was typed for a Range node.
func (n *Node) Estimate() bom.Number {
	return bom.Number{Low: n.Low, Likely: n.Value, High: n.High, IsRange: true, Shape: n.Shape, SD: n.SD}
}

// Source is where a number or a formula came from.
type Source struct {
	// Where names the record: "part EMB-010 rev A", "rate card 2026-09",
	// "reference row DE tax 2021-01-01".
	Where string `json:"where,omitempty"`
	// Path is the place in the book, such as parts[2].routing[0].setup_min.
	Path string `json:"path,omitempty"`
	// Cite is the published source, or "common practice", or "from memory".
	Cite string `json:"cite,omitempty"`
	// CheckedOn is the day an unverified row was last looked at (YYYY-MM-DD).
	CheckedOn string `json:"checked_on,omitempty"`
	// Unverified marks a row without a source; what rests on it cannot be
	// quoted without confirmation.
	Unverified bool `json:"unverified,omitempty"`
	// RanOut is the last day on which a price held (YYYY-MM-DD) that is used
	// AgeDays after it; empty for what holds. What rests on it cannot be quoted
	// without confirmation.
	RanOut  string `json:"ran_out,omitempty"`
	AgeDays int    `json:"age_days,omitempty"`
}

// Choice records how a decided value was found.
type Choice struct {
	Solver string // what found it: "sheet layout"
	Rule   string // by which rule: "most blanks; first on ties"
	// Options names what each whole value from 1 means, if the decision is an
	// index.
	Options []string
	// Valid lists the inputs the decision holds for.
	Valid []Window
	// Drawn says that the value comes from many draws, made when the graph is there;
	// nil of any other decision.
	Drawn *Draws
	// Again takes the decision for other values of those inputs, in their order; false
	// where they allow none. Without it, as in a graph that was read back, evaluation
	// with an input outside its window is an error unless the decision is pinned.
	Again func(inputs []decimal.Decimal) (decimal.Decimal, bool)
}

// Draws says what is drawn for a decided figure: how far a statistic of the draws of a
// figure lies above its likely value. Until it is drawn and pinned the decided figure
// has no value.
type Draws struct {
	Of    string // key of the figure that is drawn
	Error string // key of the standard error of the statistic; empty of the error itself
	// Share of the draws that do not exceed the statistic; 0 stands for the average.
	Share decimal.Decimal
	Count int
	Seed  uint64
}

// Window bounds one input of a decision, both ends included.
type Window struct {
	Input     ID
	Low, High decimal.Decimal
}

// Severity ranks a finding.
type Severity uint8

// The severities.
const (
	Note    Severity = iota // worth knowing
	Warning                 // probably a mistake
	Blocker                 // the figure must not be quoted as it is
	Gap                     // the figure has no value, for the reason given; said where something shown rests on it
)

// Finding is a remark made while building, about the figure with the key.
type Finding struct {
	Severity Severity
	Key      string
	Message  string
	Path     string // place in the book, if any
}

// Graph is an immutable set of nodes in evaluation order.
type Graph struct {
	table
	findings []Finding
	// lacks says that a node is missing, aged that a price has run out; see look.
	lacks, aged bool
	drawn       []ID
}

// look notes of a finished graph what is asked for again and again.
func (g *Graph) look() *Graph {
	for id := range ID(g.count) {
		s := g.at(id)
		g.lacks = g.lacks || s.missing() != ""
		g.aged = g.aged || s.source != nil && s.source.AgeDays > 0
		if d := s.decision(); d != nil && d.Drawn != nil && d.Drawn.Error != "" {
			g.drawn = append(g.drawn, id)
		}
	}
	return g
}

// Len is the number of nodes.
func (g *Graph) Len() int { return g.count }

// Lacks reports that something is missing in the graph.
func (g *Graph) Lacks() bool { return g.lacks }

// Aged reports that a price in the graph has run out.
func (g *Graph) Aged() bool { return g.aged }

// Drawn are the figures that are drawn once the graph is there, in order, their standard
// errors not among them.
func (g *Graph) Drawn() []ID { return g.drawn }

// Node gives a node by ID. What it refers to must not be changed. Who asks every node
// of a graph for one thing has it cheaper from [Graph.Key], [Graph.Operation],
// [Graph.Kind] and [Graph.Source].
func (g *Graph) Node(id ID) Node { return g.node(id) }

// Key gives the key of a node.
func (g *Graph) Key(id ID) string { return g.at(id).key() }

// Operation gives how a node follows from others.
func (g *Graph) Operation(id ID) Operation { return g.operation(g.at(id)) }

// Args gives what a node follows from.
func (g *Graph) Args(id ID) []ID { return g.argsOf(g.at(id)) }

// Kind gives the kind of a node.
func (g *Graph) Kind(id ID) Kind { return g.at(id).kind }

// Value gives the number of an input, constant or decision: the likely one of a range.
func (g *Graph) Value(id ID) decimal.Decimal { return g.at(id).value }

// Unit gives the unit of a node.
func (g *Graph) Unit(id ID) Unit { return *g.at(id).unit }

// Settled says whether a node is fixed before a batch is made; nil where it is not.
func (g *Graph) Settled(id ID) *Settled {
	if r := g.at(id).rare; r != nil {
		return r.settled
	}
	return nil
}

// Source gives where a node comes from; the path apart, nodes share it.
func (g *Graph) Source(id ID) *Source { return g.at(id).source }

// Find gives the ID of a key.
func (g *Graph) Find(key string) (ID, bool) {
	id := g.lookup("", key)
	return id, id != None
}

// Findings are the remarks made while building, in order.
func (g *Graph) Findings() []Finding { return g.findings }

// Readers says which figures look at one.
type Readers struct {
	first []int32 // per figure: where its readers begin
	ids   []ID
}

// Readers gives the figures that rest on each one directly.
func (g *Graph) Readers() Readers {
	n := g.Len()
	r := Readers{first: make([]int32, n+2)}
	each := func(do func(id, of ID)) {
		for id := range ID(n) {
			for _, of := range g.Operation(id).RestsOn() {
				do(id, of)
			}
		}
	}
	// Counted two places on, so that filling in moves every beginning to where it belongs.
	each(func(_, of ID) { r.first[of+2]++ })
	for i := 2; i < len(r.first); i++ {
		r.first[i] += r.first[i-1]
	}
	r.ids = make([]ID, r.first[n+1])
	each(func(id, of ID) {
		r.ids[r.first[of+1]] = id
		r.first[of+1]++
	})
	return r
}

// Of gives those of a figure, in order; one that looks twice stands there twice.
func (r Readers) Of(id ID) []ID { return r.ids[r.first[id]:r.first[id+1]] }
