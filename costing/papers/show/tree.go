package show

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/proof"
)

// Tree writes a proof as an indented tree: one line for the figure, one for how
// it was made, one for where it came from.
func Tree(w io.Writer, s proof.Step) error {
	t := treeWriter{w: w}
	t.step(s, "", "")
	return t.err
}

type treeWriter struct {
	w   io.Writer
	err error
}

func (t *treeWriter) line(format string, args ...any) {
	if t.err == nil {
		_, t.err = fmt.Fprintf(t.w, format+"\n", args...)
	}
}

func (t *treeWriter) step(s proof.Step, head, below string) {
	label := s.Label
	if s.Of != "" {
		label += " (" + s.Of + ")"
	}
	t.line("%s%s = %s   [%s]", head, label, figure(s), s.Key)
	if s.Again {
		t.line("%s    (shown above)", below)
		return
	}
	if reason := reason(s); reason != "" {
		t.line("%s    %s", below, reason)
	}
	if s.OutOfDateDays > 0 && len(s.Arguments) > 0 {
		t.line("%s    rests on a price that ran out %s ago", below, Days(s.OutOfDateDays))
	}
	if s.InPlaceOf != "" {
		t.line("%s    the computed figure is kept; explain %s", below, s.InPlaceOf)
	}
	if s.More {
		t.line("%s    … more below; explain %s", below, s.Key)
	}
	for i, sub := range s.Steps {
		if i == len(s.Steps)-1 {
			t.step(sub, below+"└── ", below+"    ")
		} else {
			t.step(sub, below+"├── ", below+"│   ")
		}
	}
}

func figure(s proof.Step) string {
	d, err := decimal.NewFromString(s.Value)
	least, bounded := decimal.NewFromString(s.AtLeast)
	switch without := strings.Join(s.Without, ", "); {
	case err == nil:
		return WithUnit(Full(d), s.Unit)
	case bounded == nil:
		return "at least " + WithUnit(Full(least), s.Unit) + ", without: " + without
	case without != "":
		return "withheld, without: " + without
	default:
		return "undefined"
	}
}

// reason joins how a figure was made with its formula and source.
func reason(s proof.Step) string {
	parts := []string{s.How}
	if s.Formula != "" {
		parts[0] += " (" + s.Formula + ")"
	}
	if len(s.Arguments) == 0 {
		parts = append(parts, origin(s.Source)...)
	}
	return strings.Join(parts, "; ")
}

func origin(src graph.Source) []string {
	var out []string
	if src.Where != "" {
		out = append(out, src.Where)
	}
	if src.Path != "" {
		out = append(out, src.Path)
	}
	if src.Cite != "" {
		out = append(out, "source: "+src.Cite)
	}
	if src.Unverified {
		out = append(out, "UNVERIFIED, checked on "+src.CheckedOn)
	}
	if src.RanOut != "" {
		out = append(out, "RAN OUT on "+bom.Date(src.RanOut).Words()+", "+Days(src.AgeDays)+" ago")
	}
	return out
}

// Days writes a number of days.
func Days(n int) string {
	if n == 1 {
		return "1 day"
	}
	return strconv.Itoa(n) + " days"
}
