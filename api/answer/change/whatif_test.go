package change

import (
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/costing/book"
	"kerfbook/costing/book/record"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/testdata"
)

// demoShelf is the demo book as if it were stored.
func demoShelf(t testing.TB) *Shelf {
	t.Helper()
	return shelfOf(t, testdata.Demo)
}

// shelfOf is a book as if it were stored.
func shelfOf(t testing.TB, text []byte) *Shelf {
	t.Helper()
	b, places, err := book.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	drafts, err := Split(b, places, nil)
	if err != nil {
		t.Fatal(err)
	}
	var records []record.Kept
	count := map[string]int{}
	for _, d := range drafts {
		records = append(records, record.Kept{Kind: d.Kind.Name, ID: d.ID, Revision: 1, Position: count[d.Kind.Name], Text: d.Written})
		count[d.Kind.Name]++
	}
	return NewShelf("v1", records, nil)
}

// TestPinsAndRebuildingAgree changes inputs of the demo one by one: pinned in the
// graph, every figure must be what the book with the change gives.
func TestPinsAndRebuildingAgree(t *testing.T) {
	t.Parallel()
	held := demoShelf(t)
	mix := estimate.NewMix("LAMP", decimal.NewFromInt(120), "plain", "glow", "tune")
	before, err := answer.Of(held.Book).Evaluate(t.Context(), mix, "2026-11-25")
	if err != nil {
		t.Fatal(err)
	}
	step := 41
	if os.Getenv("CI") != "" {
		step = 11
	}
	pinned, moved := 0, 0
	inputs := inputsOf(before.Estimate.Graph)
	for i := 0; i < len(inputs); i += step {
		n := before.Estimate.Graph.Node(inputs[i])
		places := int32(6)
		if n.Unit == graph.Piece { // counted
			places = 0
		}
		for _, value := range []decimal.Decimal{n.Value.Mul(decimal.New(103, -2)).Round(places), n.Value.Mul(decimal.New(2, 0))} {
			c := tryChange(t, held, before, mix, Change{n.Key, value.String()})
			pinned += c.pinned
			moved += c.moved
			if t.Failed() {
				t.Fatalf("%s = %s", n.Key, value)
			}
		}
	}
	t.Logf("%d changes pinned, %d of them moved a figure", pinned, moved)
	if pinned < 15 || moved < pinned/2 {
		t.Errorf("only %d changes were pinned and %d moved a figure; nothing is tested", pinned, moved)
	}
}

func inputsOf(g *graph.Graph) []graph.ID {
	var out []graph.ID
	for id := range graph.ID(g.Len()) {
		if n := g.Node(id); n.Kind == graph.Input {
			out = append(out, id)
		}
	}
	return out
}

type tried struct{ pinned, moved int }

func tryChange(t *testing.T, held *Shelf, before *answer.Evaluation, mix []estimate.MixLine, c Change) tried {
	edits, err := held.edits([]Change{c}, []*graph.Graph{before.Estimate.Graph})
	if err != nil {
		t.Error(err)
		return tried{}
	}
	drafts, err := held.drafts(edits)
	if err != nil {
		return tried{} // outside the bounds of the field
	}
	after, rebuilt, err := changed(t.Context(), before, held, mix, edits, drafts)
	if err != nil {
		if _, again := answer.NewBuilt(held.With(drafts).Book, withQuantities(before, mix, edits), before.Estimate.Day); again == nil {
			t.Error(err)
		}
		return tried{} // no batch: a part heavier than its blank
	}
	if rebuilt {
		return tried{}
	}
	made, err := answer.NewBuilt(held.With(drafts).Book, withQuantities(before, mix, edits), before.Estimate.Day)
	if err != nil {
		t.Errorf("%s = %s is taken and cannot be built: %v", c.Key, c.Value, err)
		return tried{}
	}
	want, err := made.Evaluator().Evaluate(outsideBook(made, edits))
	if err != nil {
		t.Error(err)
		return tried{}
	}
	return tried{1, compareAll(t, before, after, answer.NewEvaluated(made, want))}
}

// compareAll holds every figure against another evaluation and says whether any
// moved.
func compareAll(t *testing.T, before, got, want *answer.Evaluation) (moved int) {
	g := got.Estimate.Graph
	if g.Len() != want.Estimate.Graph.Len() {
		t.Errorf("%d figures, rebuilt %d", g.Len(), want.Estimate.Graph.Len())
		return 0
	}
	for id := range graph.ID(g.Len()) {
		key := g.Node(id).Key
		other, ok := want.Estimate.Graph.Find(key)
		if !ok {
			other = id // the key has the changed figure in it, as those of price breaks
		}
		a, defined := got.Values.Raw(id)
		b, alsoDefined := want.Values.Raw(other)
		if defined != alsoDefined || !a.Equal(b) {
			t.Errorf("%s is %s, rebuilt %s", key, a, b)
			return moved
		}
		if was, ok := before.Values.Raw(id); g.Node(id).Kind != graph.Input && (ok != defined || !was.Equal(a)) {
			moved = 1
		}
	}
	return moved
}

// TestEveryInputHasItsPlace wants each input that names a place in the book to
// find its own value there.
func TestEveryInputHasItsPlace(t *testing.T) {
	t.Parallel()
	held := demoShelf(t)
	e, err := answer.Of(held.Book).Evaluate(t.Context(), estimate.NewMix("LAMP", decimal.NewFromInt(120), "plain", "glow", "tune"), "2026-11-25")
	if err != nil {
		t.Fatal(err)
	}
	placed := 0
	for _, id := range inputsOf(e.Estimate.Graph) {
		n := e.Estimate.Graph.Node(id)
		if n.Source.Path == "" {
			continue
		}
		edits, err := held.edits([]Change{{n.Key, n.Value.String()}}, []*graph.Graph{e.Estimate.Graph})
		if err != nil || !edits[0].inBook() {
			t.Errorf("%s has the place %s, which is in no record: %v", n.Key, n.Source.Path, err)
			continue
		}
		placed++
		found, _ := held.Find(edits[0].kind.Name, edits[0].id)
		drafts, err := held.drafts(edits)
		if err != nil {
			t.Errorf("%s: %v", n.Key, err)
			continue
		}
		if got := withoutZeros(drafts[0].Written); got != withoutZeros(found.Text) {
			t.Errorf("%s: writing its own value at %s gives\n%s\nnot\n%s", n.Key, n.Source.Path, got, found.Text)
		}
	}
	if placed < 300 {
		t.Errorf("only %d inputs have a place", placed)
	}
}

// withoutZeros leaves out the zeros at the end of decimals.
func withoutZeros(text []byte) string {
	return endingZeros.ReplaceAllString(regexp.MustCompile(`\.0+\b`).ReplaceAllString(string(text), ""), "$1")
}

var endingZeros = regexp.MustCompile(`(\.[0-9]*[1-9])0+\b`)

func TestEveryTrimTriesEveryChoice(t *testing.T) {
	t.Parallel()
	held := demoShelf(t)
	mixes := everyTrim(held.Book)
	if len(mixes[0]) != len(held.Book.Products[0].Trims) {
		t.Errorf("the first batch has %d lines", len(mixes[0]))
	}
	walls := slices.ContainsFunc(mixes, func(mix []estimate.MixLine) bool { return mix[0].Choices["mount"] == "wall" })
	if !walls {
		t.Error("no batch with the wall mount")
	}
}

// TestDemandsOfTheHeatSink: what the drawings of the demo's heat sinks ask is listed with
// a step to compare it with: small radii, roughness, tolerances that are measured, and
// thickness of a coating.
func TestDemandsOfTheHeatSink(t *testing.T) {
	t.Parallel()
	b, _, err := book.Parse(testdata.Demo)
	if err != nil {
		t.Fatal(err)
	}
	asked := map[string]int{}
	for i := range b.Parts {
		if !strings.HasPrefix(string(b.Parts[i].Number), "HS-") {
			continue
		}
		for _, c := range callOuts(b, &b.Parts[i]) {
			for _, words := range []string{"corner radius", "Rz ", "measured", "thickness"} {
				if strings.Contains(c.What, words) && c.Relaxed != "" {
					asked[words]++
				}
			}
		}
	}
	if len(asked) != 4 {
		t.Errorf("asked are %v", asked)
	}
	// A seat of 9 mm has room for no radius of twice 3.2 mm.
	sink, _ := b.Part("HS-010")
	if list := callOuts(b, sink); !slices.ContainsFunc(list, func(c CallOut) bool {
		return c.What == "corner radius 3.2 mm of seats of the magnets, operation 20" && c.Relaxed == "corner radius 4.5 mm, the largest that fits" && c.Change.Value == "4.5"
	}) {
		t.Errorf("%+v", list)
	}
}
