package estimate_test

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/check"
	"kerfbook/costing/text"
)

// drawing is a part with what an estimator said of it, from memory, before it was
// priced here.
type drawing struct {
	Part     bom.ID        `book:"part,required"`
	Drawing  string        `book:"drawing,required"`
	Material string        `book:"material,required"`
	Quantity bom.Number    `book:"quantity,required"`
	Steps    []drawingStep `book:"steps,required"`
	CycleMin bom.Number    `book:"cycle_min,required"`
	SetupMin bom.Number    `book:"setup_min,required"`
	Loading  bom.Number    `book:"loading_min,required"`
	Why      string        `book:"why,required"`
}

// drawingStep is what the machine takes for one step of a piece, in minutes, and
// what a quick and a careful shop would say.
type drawingStep struct {
	ID        bom.ID     `book:"id,required"`
	Operation string     `book:"operation,required"`
	What      string     `book:"what,required"`
	Minutes   bom.Number `book:"minutes,required"`
	Low       bom.Number `book:"low,required"`
	High      bom.Number `book:"high,required"`
	Why       string     `book:"why,required"`
}

// everyday reads the shop that makes the parts, which must have no fault.
func everyday(t *testing.T) *book.Book {
	t.Helper()
	b, places, err := book.Parse(everydayFile(t, "shop"))
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range check.Book(b, places, demoDay) {
		t.Error(p.Error())
	}
	return b
}

func everydayFile(t *testing.T, name string) []byte {
	t.Helper()
	written, err := os.ReadFile(filepath.Join("..", "..", "testdata", "everyday", name+".yaml"))
	if err != nil {
		t.Fatal(err)
	}
	return written
}

var drawnText = regexp.MustCompile(`(?m)^drawing: >-\n(?:  .*\n)+`)

func drawingOf(t *testing.T, part bom.ID) drawing {
	t.Helper()
	var d drawing
	// What the drawing shows is for people, and may be longer than a text of a book.
	written := drawnText.ReplaceAll(everydayFile(t, string(part)), []byte("drawing: as in the file\n"))
	if _, err := text.Decode(written, &d); err != nil {
		t.Fatal(err)
	}
	return d
}

// stepOf is the step of the drawing that a feature belongs to: a step of several
// features has them told apart behind a dot.
func stepOf(f *bom.Feature) bom.ID {
	step, _, _ := strings.Cut(string(f.ID), ".")
	return bom.ID(step)
}

// TestEverydaySteps: the shop makes each part drawn, and every step of an estimate
// is made by features, in the operations the estimator had in mind.
func TestEverydaySteps(t *testing.T) {
	t.Parallel()
	b := everyday(t)
	if len(b.Parts) != 24 {
		t.Errorf("the shop makes %d parts, and 24 are drawn", len(b.Parts))
	}
	for i := range b.Parts {
		part := &b.Parts[i]
		var want, got []string
		for _, s := range drawingOf(t, part.Number).Steps {
			want = append(want, string(s.ID)+" in "+s.Operation)
		}
		for _, op := range part.Routing {
			for j := range op.Features {
				got = append(got, fmt.Sprintf("%s in %s", stepOf(&op.Features[j]), operationName(part, op.Number)))
			}
		}
		slices.Sort(want)
		slices.Sort(got)
		if got = slices.Compact(got); !slices.Equal(got, want) {
			t.Errorf("%s is made in the steps %q, and drawn in %q", part.Number, got, want)
		}
	}
}

// operationName is what the drawings call an operation: turn, mill-1, mill-2.
func operationName(part *bom.Part, number int) string {
	at := slices.IndexFunc(part.Routing, func(o bom.Operation) bool { return o.Number == number })
	machine := map[bom.ID]string{"MILL": "mill", "MILL-S": "mill", "LATHE": "turn", "SAW": "saw", "HAND": "hand", "BLAST": "blast", "MARK": "mark"}[part.Routing[at].WorkCentre]
	if machine == "turn" && len(part.Routing) == 1 {
		return machine
	}
	return fmt.Sprintf("%s-%d", machine, at+1)
}
