package frame

import (
	"slices"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/book/field"
	"kerfbook/costing/estimate"
)

// NotCounted is what is usual in the trade and has no figure, for a page.
type NotCounted struct {
	Open     []OmissionLine // nothing is said of these
	Answered []OmissionLine
	Making   bool // of a part: delivery is said of what is sold, and so is packing where it goes into that
	ByItself bool // it is what is sold
}

// omissionsFirst is how many stand open, since each takes lines of a narrow column;
// omissionsFolded is how many more are listed, since a book may have thousands of parts.
const (
	omissionsFirst  = 3
	omissionsFolded = 40
)

// First are those that stand open on a page.
func (n *NotCounted) First() []OmissionLine { return n.Open[:min(len(n.Open), omissionsFirst)] }

// More are those folded below them.
func (n *NotCounted) More() []OmissionLine {
	return n.Open[len(n.First()):min(len(n.Open), omissionsFirst+omissionsFolded)]
}

// Told are the answered ones that are listed.
func (n *NotCounted) Told() []OmissionLine { return n.Answered[:min(len(n.Answered), omissionsFolded)] }

// Unlisted is how many stand in neither list; each is on the page of its record.
func (n *NotCounted) Unlisted() int { return len(n.Open) - len(n.First()) - len(n.More()) }

// Folded is how many stand below the first.
func (n *NotCounted) Folded() int { return len(n.Open) - len(n.First()) }

// OmissionLine is one of them, with where it is put right.
type OmissionLine struct {
	Name, Text, Href string
	What             string // in a word
	Say              []Link // answers that need no figure, each opening the record with it
}

var sayings = []struct {
	answer bom.CountingAnswer
	label  string
}{
	{bom.EnteredHere, "entered elsewhere"},
	{bom.NoneAtAll, "there is none"},
	{bom.InRate, "in our hour rate or overhead"},
}

// NotCountedOf sorts omissions by whether they are answered, each once; nil if
// there are none.
func NotCountedOf(list []answer.NotCounted) *NotCounted {
	seen := map[answer.NotCounted]bool{}
	out := &NotCounted{}
	for _, n := range list {
		if seen[n] {
			continue
		}
		seen[n] = true
		kind, id, _ := strings.Cut(n.Record, "/")
		line := OmissionLine{Name: n.Name, What: bom.Matter(n.What).Noun(), Text: field.Spoken(n.Text), Href: RecordHref(kind, id) + "/edit"}
		if n.Answered() {
			out.Answered = append(out.Answered, line)
		} else {
			for _, s := range sayings {
				line.Say = append(line.Say, Link{Label: s.label, Href: line.Href + "?say=" + n.What + ":" + string(s.answer)})
			}
			out.Open = append(out.Open, line)
		}
	}
	if len(seen) == 0 {
		return nil
	}
	return out
}

// Looked is what whoever asks a price for a part by itself looks at before.
type Looked struct {
	Name, Href string   // of the part, and of its band where there is one, else of its record
	Checks     []string // warnings of its figures
	Open       string   // what is usual, not counted, and has no word
}

// LookAt gives that of a batch of a part. What concerns the places it goes to is said of
// each of them.
func LookAt(c *Call, e answer.Estimate) Looked {
	of := e.Mix[0]
	part := of.Part
	out := Looked{Name: string(part), Href: RecordHref("parts", string(part)) + "/edit", Checks: Checks(slices.DeleteFunc(slices.Clone(e.Findings),
		func(f answer.Finding) bool { return strings.HasPrefix(f.Key, "destination/") }))}
	if def, _ := c.Book.Part(part); def != nil {
		if out.Name = def.Name; def.FirstGuess != nil {
			out.Href = "/parts/" + string(part) + "/first?pieces=" + of.Quantity.Value
		}
	}
	var open []string
	for _, n := range e.NotCounted {
		if noun := bom.Matter(n.What).Noun(); !n.Answered() && n.Record == "parts/"+string(part) && !slices.Contains(open, noun) {
			open = append(open, noun)
		}
	}
	out.Open = strings.Join(open, ", ")
	return out
}

// Checks are the warnings of figures, but that they rest on a first guess, which pages say in
// words of their own.
func Checks(findings []answer.Finding) (out []string) {
	for _, f := range findings {
		if f.Severity == "warning" && !strings.HasSuffix(f.Key, "/"+estimate.Guessed) {
			out = append(out, field.Spoken(f.Message))
		}
	}
	return out
}
