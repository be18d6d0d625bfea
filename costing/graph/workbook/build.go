package workbook

import (
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// The names of the sheets that are not named after keys.
const (
	checksSheet  = "checks"
	fixedSheet   = "fixed"
	listsSheet   = "lists"
	generalSheet = "general" // keys of one element
	moreSheet    = "more"    // keys that begin in yet another way
)

// The names of the pages that come before the sheets of a model, which takes none of
// them.
const (
	FirstPage = "cost and price"
	ReadMe    = "read me"
)

// The names of cells with what is said of all checks.
const (
	AllChecks    = "_all_checks"        // the block of checks, with their headings
	EveryCheck   = "_every_check_holds" // 1 or 0
	FailedChecks = "_failed_checks"     // the labels of those that do not hold, left to who writes the file
)

// maxGroups bounds the sheets made after keys: each sheet costs a spreadsheet
// program some seven megabytes, however few rows it has.
const maxGroups = 40

// Build prints a graph as a sheet model. values fill in what formulas give, for
// readers that do not calculate; nil leaves them open. They may have inputs and
// decisions pinned, not computed figures, whose formulas would say otherwise.
//
// The error is a [*SizeError] or [*FormulaSizeError].
func Build(g *graph.Graph, values Values) (*Model, error) {
	b := &assembly{printer: newPrinter(g), values: values, sheets: newNameSet(maxSheet, " "), groups: map[string]int{}}
	for _, name := range []string{FirstPage, ReadMe, checksSheet, fixedSheet, listsSheet} {
		b.sheets.claim(name)
	}
	for i := range g.Len() {
		if err := b.place(graph.ID(i)); err != nil {
			return nil, err
		}
	}
	b.windows()
	m := b.model()
	return m, m.check()
}

// assembly sorts rows into sheets.
type assembly struct {
	*printer
	values Values
	sheets *nameSet

	figures []Sheet
	groups  map[string]int // index in figures by first key element
	checks  []Row
	fixed   []Row
}

func (b *assembly) place(id graph.ID) error {
	row, err := b.row(id)
	if err != nil {
		return err
	}
	switch row.Kind {
	case graph.Proof:
		b.checks = append(b.checks, row)
	case graph.Fixed:
		b.fixed = append(b.fixed, row)
	default:
		b.group(row)
	}
	return nil
}

// group appends a row to the sheet of its first key element, under a heading of
// its second.
func (b *assembly) group(row Row) {
	first, rest, found := strings.Cut(row.Key, "/")
	if !found {
		first, rest = generalSheet, row.Key
	}
	at, ok := b.groups[first]
	if !ok && len(b.groups) >= maxGroups {
		first = moreSheet
		at, ok = b.groups[first]
	}
	if !ok {
		at = len(b.figures)
		b.groups[first] = at
		b.figures = append(b.figures, Sheet{Name: b.sheets.claim(first), Role: Figures})
	}
	s := &b.figures[at]
	heading, _, deep := strings.Cut(rest, "/")
	if !deep {
		heading = first
	}
	if heading != lastHeading(s, first) {
		s.Rows = append(s.Rows, Row{ID: graph.None, Heading: true, Label: heading})
	}
	s.Rows = append(s.Rows, row)
}

// lastHeading gives the heading new rows of a sheet stand under. Rows without
// one stand under the name of the sheet.
func lastHeading(s *Sheet, name string) string {
	for i := len(s.Rows) - 1; i >= 0; i-- {
		if s.Rows[i].Heading {
			return s.Rows[i].Label
		}
	}
	return name
}

// row makes the row of a node.
func (b *assembly) row(id graph.ID) (Row, error) {
	n := b.g.Node(id)
	formula, err := b.print(n)
	if err != nil {
		return Row{}, err
	}
	row := Row{ID: id, Kind: n.Kind, Verdict: n.Op == graph.Check, Name: b.name(id), Formula: formula,
		Label: named(n), Unit: n.Unit.String(), FormulaID: how(n), Source: source(n), Key: n.Key}
	row.Value, row.Known = b.value(id)
	if n.Op == graph.Range {
		row.Low, row.High = &Bound{Value: n.Low}, &Bound{Value: n.High}
	}
	return row, nil
}

// value gives what a cell holds, or what its formula gives if that is known. A
// pinned input shows what it was pinned to, as what follows from it does.
func (b *assembly) value(id graph.ID) (decimal.Decimal, bool) {
	n := b.g.Node(id)
	held := holdsNumber(n)
	if b.values != nil {
		if v, ok := b.values.Raw(id); ok || !held {
			return v, ok
		}
	}
	return n.Value, held
}

// holdsNumber reports whether the cell of a node has a number and no formula.
func holdsNumber(n *graph.Node) bool {
	return n.Op == graph.Constant || n.Op == graph.Range || n.Op == graph.Decided
}

// how says by which formula a figure was found, by which solver, or how the values
// of an estimate are spread.
func how(n *graph.Node) string {
	switch {
	case n.Op == graph.Range && n.SD.IsZero():
		return "estimated, " + n.Shape.String()
	case n.Op == graph.Range:
		return "estimated, " + n.Shape.String() + ", deviation " + n.SD.String()
	case n.Decision == nil:
		return n.Formula
	}
	return join(": ", join(", ", "decided", n.Decision.Solver), n.Decision.Rule)
}

// source says where a number comes from, and if nobody has vouched for it.
func source(n *graph.Node) string {
	text := join("; ", n.Source.Where, n.Source.Cite)
	if n.Source.Unverified {
		text = join("; ", text, "NOT VERIFIED")
		if n.Source.CheckedOn != "" {
			text += ", looked at " + n.Source.CheckedOn
		}
	}
	if n.Source.RanOut != "" {
		text = join("; ", text, "RAN OUT on "+n.Source.RanOut+", days before: "+strconv.Itoa(n.Source.AgeDays))
	}
	if n.Decision != nil {
		text = join("; ", text, options(n.Decision.Options))
	}
	return text
}

// options says what the values of an index mean: "1 laser, 2 saw".
func options(names []string) string {
	out := make([]string, len(names))
	for i, name := range names {
		out[i] = whole(i+1).String() + " " + name
	}
	return strings.Join(out, ", ")
}

// join joins what is not empty.
func join(sep string, parts ...string) string {
	kept := parts[:0:0]
	for _, s := range parts {
		if s != "" {
			kept = append(kept, s)
		}
	}
	return strings.Join(kept, sep)
}

// named is the label of a node with the thing it is a figure of.
func named(n *graph.Node) string {
	if n.Of == "" {
		return n.Label
	}
	return n.Label + " (" + n.Of + ")"
}
