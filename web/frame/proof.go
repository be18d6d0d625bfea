package frame

import (
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/go-chi/chi/v5"

	"kerfbook/costing/book/field"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/proof"
)

// ProofBody shows how a figure was made.
type ProofBody struct {
	Figure   Fig
	Label    string
	Step     proofStep
	Change   *ChangeLink // for a number that was entered
	UsedBy   []Fig
	More     string // address that opens one level more; empty if all is open
	Entered  *EnteredProof
	Number   string // of the quote the proof belongs to; empty for the book
	BackHref string
	Changed  []string // what is changed but not saved: keys and their values
	Computed Fig      // the computed figure in whose place a number was entered
	// OverrideHref begins an override of a computed figure.
	OverrideHref string
}

// proofStep is one level of a proof.
type proofStep struct {
	Figure    Fig
	Label     string
	How       string
	Formula   string
	Low, High Fig
	Shape     string
	SD        Fig
	Source    graph.Source
	Steps     []proofStep
	Again     bool
	More      bool
	Inputs    bool // a number without reasons: its source matters
}

// ChangeLink leads to the what-if of an input, beside what is changed already.
type ChangeLink struct {
	Hidden []Link
	Field  Field
}

// EnteredProof is the proof of a number that no batch uses: where it was
// entered.
type EnteredProof struct {
	Record, Href, EditHref string
	Low, High              string
	Shape, SD              string
}

// openLevels is how many levels a proof shows at first; most levels go no deeper
// than fit a page.
const (
	openLevels = 2
	mostLevels = 6
)

// Wildcard gives the rest of an address, as it was meant.
func Wildcard(r *http.Request) string {
	rest := chi.URLParam(r, "*")
	if text, err := url.PathUnescape(rest); err == nil && strings.Contains(rest, "%") {
		return text
	}
	return rest
}

// Levels reads how many levels are open.
func Levels(text string) int {
	n, err := strconv.Atoi(text)
	if err != nil || n < openLevels || n > mostLevels {
		return openLevels
	}
	return n
}

func ProofShown(step proof.Step, link Linker, depth int) ProofBody {
	shown := shownStep(step, link)
	body := ProofBody{Figure: shown.Figure, Label: step.Label, Step: shown}
	if hasMore(step) && depth < mostLevels {
		and := "&"
		if link.Query == "" {
			and = "?"
		}
		body.More = link.Href(step.Key) + and + "levels=" + Digits(depth+1)
	}
	return body
}

func hasMore(s proof.Step) bool { return s.More || slices.ContainsFunc(s.Steps, hasMore) }

func shownStep(s proof.Step, link Linker) proofStep {
	out := proofStep{
		Figure: link.step(s), Label: s.Label, How: field.Spoken(s.How), Formula: s.Formula, Source: s.Source,
		Again: s.Again, More: s.More, Inputs: len(s.Arguments) == 0,
	}
	out.Source.Where = field.Spoken(s.Source.Where)
	if s.Low != "" {
		out.Low = Fig{Key: s.Key, Value: s.Low, Text: s.Low}
		out.High = Fig{Key: s.Key, Value: s.High, Text: s.High}
		out.Shape = ShapeWords(s.Shape)
	}
	if s.SD != "" {
		out.SD = Fig{Key: s.Key, Value: s.SD, Text: s.SD}
	}
	for _, sub := range s.Steps {
		out.Steps = append(out.Steps, shownStep(sub, link))
	}
	return out
}
