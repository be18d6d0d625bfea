package workbook

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// printer writes nodes as formulas. What does not fit into one formula goes to
// rows of the sheet "lists".
type printer struct {
	g     *graph.Graph
	used  *nameSet
	names []string // by node

	lists  []Row
	blocks []Block
	fixed  []Row             // limits that formulas refer to
	limits map[string]string // name of a fixed row by its key
}

// A list longer than this stands in a block of cells. Five such lists and the
// rest of a formula stay below MaxFormula.
const (
	maxInline  = 1400 // characters
	maxChoices = 30   // values after the index of CHOOSE; LibreOffice has a limit of its own
)

func newPrinter(g *graph.Graph) *printer {
	p := &printer{g: g, used: newNameSet(maxName, "_"), names: make([]string, g.Len()), limits: map[string]string{}}
	p.used.claim(AllChecks)
	p.used.claim(EveryCheck)
	p.used.claim(FailedChecks)
	for i := range p.names {
		p.names[i] = p.used.claim(cellName(g.Node(graph.ID(i)).Key))
	}
	return p
}

// print gives the formula of a node; "" for one that holds a number.
func (p *printer) print(n graph.Node) (string, error) {
	f := printers[n.Op](p, n)
	if len(f) > MaxFormula {
		return "", &FormulaSizeError{n.Key, len(f)}
	}
	return f, nil
}

func (p *printer) name(id graph.ID) string { return p.names[id] }

func (p *printer) all(ids []graph.ID) []string {
	out := make([]string, len(ids))
	for i, id := range ids {
		out[i] = p.names[id]
	}
	return out
}

// joined gives expressions with a separator between them, or false where they
// are too long to stand in a formula.
func joined(exprs []string, sep string) (string, bool) {
	s := strings.Join(exprs, sep)
	return s, len(s) <= maxInline
}

// sum adds expressions up, each of which binds at least as tightly as "+".
func (p *printer) sum(n graph.Node, part string, exprs []string) string {
	if s, ok := joined(exprs, "+"); ok {
		return s
	}
	return "SUM(" + p.block(n, part, exprs) + ")"
}

// list gives the arguments of a function that takes any number of them.
func (p *printer) list(n graph.Node, part string, exprs []string) string {
	if s, ok := joined(exprs, ","); ok {
		return s
	}
	return p.block(n, part, exprs)
}

// pick gives the value with an index from 1, leaving the others unread. index
// must be at least 1.
func (p *printer) pick(n graph.Node, index string, values []graph.ID) string {
	names := p.all(values)
	if s, ok := joined(names, ","); ok && len(names) <= maxChoices {
		return "CHOOSE(" + index + "," + s + ")"
	}
	return "INDEX(" + p.block(n, "values", names) + "," + index + ")"
}

// block puts expressions one below the other and gives the name of the run.
func (p *printer) block(n graph.Node, part string, exprs []string) string {
	p.lists = append(p.lists, Row{ID: graph.None, Heading: true, Label: n.Label + ": " + part, Key: n.Key})
	from := len(p.lists)
	for i, e := range exprs {
		p.lists = append(p.lists, Row{ID: graph.None, Label: part + " " + strconv.Itoa(i+1), Formula: e, Key: n.Key})
	}
	name := p.used.claim(cellName(n.Key + "//" + part))
	p.blocks = append(p.blocks, Block{Name: name, Sheet: listsSheet, From: from, To: len(p.lists) - 1})
	return name
}

// limit gives the name of a fixed cell with a number an operation is defined
// with.
func (p *printer) limit(number decimal.Decimal, key, label string) string {
	if name, ok := p.limits[key]; ok {
		return name
	}
	name := p.used.claim(cellName(key))
	p.limits[key] = name
	p.fixed = append(p.fixed, Row{ID: graph.None, Kind: graph.Fixed, Name: name, Value: number, Known: true,
		Label: label, Source: "definition", Key: key})
	return name
}

// snap writes an expression rounded as every comparison sees it.
func snap(expr string) string { return fmt.Sprintf("ROUND(%s,%d)", expr, graph.SnapPlaces) }
