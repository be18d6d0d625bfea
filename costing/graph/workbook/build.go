package workbook

import (
	"cmp"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/proof"
)

// The names of the sheets that are not named after keys.
const (
	inputsSheet  = "inputs"
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
// decisions pinned, not computed figures, whose formulas would say otherwise. shown
// are the figures of the first page.
//
// The error is a [*SizeError] or [*FormulaSizeError].
func Build(g *graph.Graph, values Values, shown ...graph.ID) (*Model, error) {
	b := &assembly{printer: newPrinter(g), values: values, shown: shown, sheets: newNameSet(maxSheet, " ")}
	b.made = b.standing()
	for _, name := range []string{FirstPage, ReadMe, inputsSheet, checksSheet, fixedSheet, listsSheet} {
		b.sheets.claim(name)
	}
	for i := range g.Len() {
		if err := b.place(graph.ID(i)); err != nil {
			return nil, err
		}
	}
	b.windows()
	b.draws()
	m := b.model()
	return m, m.check()
}

// assembly sorts rows into sheets.
type assembly struct {
	*printer
	values Values
	shown  []graph.ID
	sheets *nameSet

	inputs  []*draft // by subject
	figures []*draft // by first key element
	made    []bool   // by node, see [assembly.standing]
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
	case graph.Input:
		b.input(row)
	default:
		b.group(row)
	}
	return nil
}

// draft is a sheet in the making, or the inputs of one subject: rows below headings.
type draft struct {
	words    string // the key element or subject it is of
	headings []string
	rows     [][]Row        // by heading
	at       map[string]int // places of the headings
}

// of finds the draft of some words, or begins it.
func of(drafts *[]*draft, words string) *draft {
	for _, d := range *drafts {
		if d.words == words {
			return d
		}
	}
	d := &draft{words: words, at: map[string]int{}}
	*drafts = append(*drafts, d)
	return d
}

func (d *draft) add(heading string, row Row) {
	at, there := d.at[heading]
	if !there {
		at = len(d.headings)
		d.at[heading] = at
		d.headings, d.rows = append(d.headings, heading), append(d.rows, nil)
	}
	d.rows[at] = append(d.rows[at], row)
}

// lines puts the rows below their headings, which stand at a level of the outline:
// costs before quantities before helpers.
func (d *draft) lines(level uint8) []Row {
	var out []Row
	for i, rows := range d.rows {
		if d.headings[i] != "" {
			out = append(out, Row{ID: graph.None, Heading: true, Label: d.headings[i], Level: level})
		}
		slices.SortStableFunc(rows, func(a, b Row) int { return cmp.Compare(a.class, b.class) })
		out = append(out, rows...)
	}
	return out
}

// input puts an input below its record, which its source need not repeat, and its
// subject: the list of the book it was typed into, or for one from elsewhere what its
// key begins with.
func (b *assembly) input(row Row) {
	n := b.g.Node(row.ID)
	subject, _, found := strings.Cut(n.Source.Path, "[")
	if !found {
		subject, _, _ = strings.Cut(row.Key, "/")
	}
	row.Level, row.Source = 2, strings.TrimPrefix(strings.TrimPrefix(row.Source, n.Source.Where), "; ")
	of(&b.inputs, inWords(subject)).add(n.Source.Where, row)
}

func inWords(name string) string { return strings.NewReplacer("_", " ", "-", " ").Replace(name) }

// The classes of rows, in the order they stand below a heading.
const (
	cost = iota
	quantity
	helper
)

// money begins the unit of a cost: a currency, of something or by itself.
var money = regexp.MustCompile(`^[A-Z]{3}(/|$)`)

// classify tells a figure from what only helps another: a number without unit that
// the first page does not show, and what belongs to a choice not taken.
func (b *assembly) classify(row *Row) {
	switch {
	case !b.made[row.ID], row.Unit == "" && !slices.Contains(b.shown, row.ID):
		row.class = helper
	case row.Unit != "" && !money.MatchString(row.Unit):
		row.class = quantity
	}
	row.Level = 1
	if row.class == helper {
		row.Level = 2
	}
}

// standing marks the nodes that figures are made of as they stand. The candidates of
// a choice are not among them but for the one that was taken; without values all are.
func (b *assembly) standing() []bool {
	made := make([]bool, b.g.Len())
	for id := range made {
		made[id] = true // unless something reads it
	}
	for id := range b.g.Len() {
		for _, a := range b.g.Node(graph.ID(id)).Args {
			made[a] = b.values == nil
		}
	}
	for id := b.g.Len() - 1; id >= 0 && b.values != nil; id-- {
		if n := b.g.Node(graph.ID(id)); made[id] && n.Op != graph.Least {
			for _, a := range proof.Taken(n.Operation, b.values) {
				made[a] = true
			}
		}
	}
	return made
}

// group puts a row on the sheet of its first key element, under a heading of its
// second.
func (b *assembly) group(row Row) {
	b.classify(&row)
	first, rest, found := strings.Cut(row.Key, "/")
	if !found {
		first, rest = generalSheet, row.Key
	}
	if len(b.figures) >= maxGroups && !slices.ContainsFunc(b.figures, func(d *draft) bool { return d.words == first }) {
		first = moreSheet
	}
	heading, _, deep := strings.Cut(rest, "/")
	if !deep {
		heading = ""
	}
	of(&b.figures, first).add(heading, row)
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
	if row.Value, row.Known = b.value(id); n.Decision != nil && n.Decision.Drawn != nil && !row.Known {
		row.Formula = "NA()" // nobody has drawn it
	}
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
	if n.Decision != nil && n.Decision.Drawn != nil {
		return decimal.Decimal{}, false
	}
	return n.Value, held
}

// holdsNumber reports whether the cell of a node has a number and no formula.
func holdsNumber(n graph.Node) bool {
	return n.Op == graph.Constant || n.Op == graph.Range || n.Op == graph.Decided
}

// how says by which formula a figure was found, by which solver, or how the values
// of an estimate are spread.
func how(n graph.Node) string {
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
func source(n graph.Node) string {
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
func named(n graph.Node) string {
	if n.Of == "" {
		return n.Label
	}
	return n.Label + " (" + n.Of + ")"
}
