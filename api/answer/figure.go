package answer

import (
	"errors"
	"regexp"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/graph/proof"
	"kerfbook/costing/papers/show"
)

// Figure is a number with the key under which its proof is found. Value is the
// exact decimal as text, empty where the figure is undefined.
type Figure struct {
	Key   string `json:"key"`
	Label string `json:"label"`
	Of    string `json:"of,omitempty"` // the thing it is a figure of
	Value string `json:"value"`
	// AtLeast stands in the place of Value where something is missing that can only
	// add to a cost. What is missing is in Without; where it is given alone, the
	// figure is withheld.
	AtLeast string   `json:"at_least,omitempty"`
	Without []string `json:"without,omitempty"`
	Unit    string   `json:"unit,omitempty"`
	// Unverified marks a figure that rests on a row without a source.
	Unverified bool `json:"unverified,omitempty"`
	// Overridden marks a number that was entered in the place of the computed
	// figure, which has the same key with /computed behind it.
	Overridden bool `json:"overridden,omitempty"`
	// OutOfDateDays is the age of the oldest price the figure rests on that has run
	// out.
	OutOfDateDays int `json:"out_of_date_days,omitempty"`
}

// Number gives the value of a figure; ok is false where it is undefined.
func (f Figure) Number() (d decimal.Decimal, ok bool) {
	d, err := decimal.NewFromString(f.Value)
	return d, err == nil
}

// Reader reads figures of one evaluated graph.
type Reader struct {
	g          *graph.Graph
	v          *exact.Values
	unverified []bool
	ages       []int // nil where no price has run out
	standing   *graph.Standing
}

func NewReader(g *graph.Graph, v *exact.Values) Reader {
	return Reader{g, v, proof.Unverified(g, v), proof.Ages(g, v), proof.Standing(g, v)}
}

// Figure reads a node; the zero Figure stands for None.
func (r Reader) Figure(id graph.ID) Figure {
	if id == graph.None {
		return Figure{}
	}
	n := r.g.Node(id)
	f := Figure{Key: n.Key, Label: n.Label, Of: n.Of, Unit: n.Unit.String()}
	f.Unverified = r.unverified != nil && r.unverified[id]
	f.Overridden = n.Source.Where == graph.InPlace
	if r.ages != nil {
		f.OutOfDateDays = r.ages[id]
	}
	told := proof.Tell(r.g, r.v, r.standing, id)
	f.Value, f.AtLeast, f.Without = told.Value, told.AtLeast, told.Without
	return f
}

// missing names what is missing behind figures, with its place in the book.
func (r Reader) missing(ids ...graph.ID) []Gap {
	var out []Gap
	for _, m := range r.standing.Missing(ids...) {
		out = append(out, Gap{m.Missing + " is missing", m.Source.Path})
	}
	return out
}

// Complete refuses a question about figures behind which something is missing.
func Complete(g *graph.Graph, v *exact.Values, ids ...graph.ID) error {
	missing := proof.Standing(g, v).Missing(ids...)
	if len(missing) == 0 {
		return nil
	}
	out := Errorf(Incomplete, "it rests on what is missing in the book")
	for _, m := range missing {
		out.Fields = append(out.Fields, FieldError{Path: m.Source.Path, Message: m.Missing + " is missing"})
	}
	return out
}

// all reads every node.
func (r Reader) all() []Figure {
	out := make([]Figure, r.g.Len())
	for id := range graph.ID(r.g.Len()) {
		out[id] = r.Figure(id)
	}
	return out
}

// ReadFigure reads a single node, without asking what it rests on.
func ReadFigure(g *graph.Graph, v *exact.Values, id graph.ID) Figure {
	return Reader{g: g, v: v, standing: proof.Standing(g, v)}.Figure(id)
}

// Finding is a remark about a figure, with its place in the book if it has one.
type Finding struct {
	Severity string `json:"severity"` // note, warning, blocker, gap, error
	Key      string `json:"key"`
	Message  string `json:"message"`
	Path     string `json:"path,omitempty"`
}

// Findings are the remarks made while building, those on rows that bear on the
// figures shown, and the checks that do not hold.
func (r Reader) Findings(shown []graph.ID) []Finding {
	bearing := r.unverifiedRows(shown)
	out := []Finding{}
	for _, f := range r.g.Findings() {
		if f.Severity == graph.Gap || f.Severity == graph.Blocker && !bearing(f.Message) {
			continue
		}
		out = append(out, Finding{severities[f.Severity], f.Key, r.told(f.Message) + r.inPlaceOf(f.Key), f.Path})
	}
	return append(append(out, r.undefined(shown)...), r.failedChecks()...)
}

// toldForm is the key of a figure in a message, as Scope.Told writes it.
var toldForm = regexp.MustCompile(`\{[^{}]*\}`)

// told is a message with the figures that it tells of.
func (r Reader) told(message string) string {
	return toldForm.ReplaceAllStringFunc(message, func(key string) string {
		id, ok := r.g.Find(key[1 : len(key)-1])
		if !ok {
			return key
		}
		return InWords(r.Figure(id))
	})
}

// inPlaceOf says which number stands in the place of which; empty for a figure
// that is not overridden.
func (r Reader) inPlaceOf(key string) string {
	computed, ok := r.g.Computed(key)
	if !ok {
		return ""
	}
	entered, _ := r.g.Find(key)
	return " (" + InWords(r.Figure(entered)) + " in place of " + InWords(r.Figure(computed)) + ")"
}

// InWords writes a figure for a sentence.
func InWords(f Figure) string {
	d, ok := f.Number()
	if !ok {
		return "an undefined figure"
	}
	return show.WithUnit(show.Full(d), f.Unit)
}

// undefined names each figure shown that cannot be computed, with what stops it;
// what the book lacks is said once.
func (r Reader) undefined(shown []graph.ID) []Finding {
	var out []Finding
	said := map[string]bool{}
	for _, m := range r.standing.Missing(shown...) {
		out = append(out, Finding{"gap", m.Key, m.Missing + " is missing: a figure that rests on it is withheld, or says at least", m.Source.Path})
	}
	for _, id := range shown {
		if r.standing.Of(id) != graph.Clean {
			continue
		}
		n, gap := r.g.Node(id), r.gap(id)
		switch _, err := r.v.Get(id); {
		case err == nil || said[gap.Message]:
		case gap.Message != "":
			said[gap.Message] = true
			out = append(out, Finding{"error", n.Key, gap.Message, gap.Path})
		default:
			out = append(out, Finding{"error", n.Key, n.Label + " cannot be computed: " + err.Error(), n.Source.Path})
		}
	}
	return out
}

// Gap is what the book lacks for a figure, and the place to enter it.
type Gap struct {
	Message string `json:"message"`
	Path    string `json:"path,omitempty"`
}

// gap tells why a figure has no value; nothing is said of one that has.
func (r Reader) gap(id graph.ID) Gap {
	var undefined *exact.UndefinedError
	if _, err := r.v.Get(id); errors.As(err, &undefined) {
		return Gap{undefined.Why, undefined.Path}
	}
	return Gap{}
}

// unverifiedRows tells of a remark on a row without a source whether a figure
// shown rests on the row. A row that is no figure of the graph always bears.
func (r Reader) unverifiedRows(shown []graph.ID) func(message string) bool {
	rests := proof.Rests(r.g, r.v, shown...)
	bears := map[string]bool{}
	for id := range graph.ID(r.g.Len()) {
		if src := r.g.Source(id); src != nil && src.Unverified {
			bears[src.Where] = bears[src.Where] || rests[id]
		}
	}
	return func(message string) bool {
		for where, does := range bears {
			if strings.HasPrefix(message, where+" ") {
				return does
			}
		}
		return true
	}
}

var severities = [...]string{graph.Note: "note", graph.Warning: "warning", graph.Blocker: "blocker"}

// failedChecks makes a warning of every check that does not hold.
func (r Reader) failedChecks() []Finding {
	var out []Finding
	for id := range graph.ID(r.g.Len()) {
		if r.g.Kind(id) != graph.Proof || r.standing.Of(id) != graph.Clean {
			continue
		}
		if d, ok := r.v.Raw(id); !ok && r.gap(id).Message == "" || ok && d.IsZero() {
			n := r.g.Node(id)
			message := "does not hold: " + n.Label
			if _, otherwise, limits := strings.Cut(n.Label, graph.Otherwise); limits {
				message = otherwise
			}
			out = append(out, Finding{"warning", n.Key, message, n.Source.Path})
		}
	}
	return out
}

// IsShare tells whether a figure is known to be a share, which people read as a
// percentage: a margin, a yield, a rate of tax. Other numbers without a unit are
// counts, factors or ratios.
func (f Figure) IsShare() bool {
	if f.Unit != "" {
		return false
	}
	return slices.Contains(shareNames, f.Key[strings.LastIndex(f.Key, "/")+1:])
}

// shareNames are the last elements of the keys of shares.
var shareNames = []string{
	"margin", "margin-wanted", "margin-of-kept", "markup", "markup-wanted", "reseller-margin",
	"yield", "rolled-yield", "fitting-yield", "fitting-scrap", "rejected", "stock-use", "recovered-share", "leftover-value",
	"cash-discount", "customer-discount", "commission", "payment-share", "net-share", "after-target-discounts", "after-customer-discount",
	"tax", "tax-rate", "tax-rate-origin", "tax-rate-there", "by-value", "effective", "administration", "selling",
	"inbound-share", "fuel-share", "insurance-rate", "premium-share", "share-of-advanced",
}
