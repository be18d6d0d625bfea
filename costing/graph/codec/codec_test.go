package codec_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"os"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/codec"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/graph/graphtest"
	"kerfbook/costing/graph/proof"
	"kerfbook/costing/graph/workbook"
)

func dec(text string) decimal.Decimal { return decimal.RequireFromString(text) }

// every puts all cases of the common table, and so every operation, into one
// graph.
func every(t testing.TB) (*graph.Graph, *exact.Values) {
	t.Helper()
	b := graph.NewBuilder(graph.Limits{})
	for i, c := range graphtest.Cases() {
		c.In(b, "case", strconv.Itoa(i))
	}
	s := b.Root().Of("lamp").From(graph.Source{Where: "row <1> & \"2\"", Cite: "from memory", CheckedOn: "2026-09-01", Unverified: true, RanOut: "2026-09-20", AgeDays: 8})
	x := s.Input("x", "größe\u2028", graph.Currency("EUR").Per(graph.Piece), dec("0.10"))
	s.Decided("lot", "lot", graph.Piece, dec("3"), graph.Choice{Solver: "try", Rule: "first", Options: []string{"a", "b", "c"},
		Valid: []graph.Window{{Input: x, Low: dec("0"), High: dec("1.50")}}})
	for shape := range bom.ShapeCount {
		r := bom.Number{Low: dec("1"), Likely: dec("2.0"), High: dec("4"), IsRange: true, Shape: shape}
		if shape == bom.Normal {
			r.SD = dec("0.50")
		}
		s.Estimate("range-"+shape.String(), "range", graph.Minute, r)
	}
	s.SquareRoot("root", "root", s.Input("y", "y", graph.Micron, dec("4")))
	s.Missing("wage", "wage", graph.Minute, "wage of BENCH")
	s.Find(graph.Blocker, "x", "=cmd")
	g := graphtest.Built(t, b)
	values := graphtest.Evaluated(t, g)
	return g, values
}

func encoded(t testing.TB, g *graph.Graph, v codec.Figures) []byte {
	t.Helper()
	data, err := codec.Encode(g, v)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func TestDecodeGivesTheSameGraph(t *testing.T) {
	t.Parallel()
	g, values := every(t)
	back, figures, err := codec.Decode(encoded(t, g, values))
	if err != nil {
		t.Fatal(err)
	}
	if back.Len() != g.Len() || !reflect.DeepEqual(back.Findings(), g.Findings()) {
		t.Fatalf("%d nodes, findings %v; want %d, %v", back.Len(), back.Findings(), g.Len(), g.Findings())
	}
	seen := map[graph.Op]bool{}
	for id := range graph.ID(g.Len()) {
		a, b := g.Node(id), back.Node(id)
		seen[a.Op] = true
		if a.Key != b.Key || a.Label != b.Label || a.Of != b.Of || a.Unit != b.Unit || a.Op != b.Op || a.Kind != b.Kind || a.Source != b.Source ||
			a.Formula != b.Formula || a.Missing != b.Missing || a.Compare != b.Compare || !a.Value.Equal(b.Value) || !a.Low.Equal(b.Low) || !a.High.Equal(b.High) || a.Shape != b.Shape || !a.SD.Equal(b.SD) {
			t.Errorf("node %d: %+v, want %+v", id, b, a)
		}
		va, oka := values.Raw(id)
		vb, okb := figures.Raw(id)
		if oka != okb || !va.Equal(vb) {
			t.Errorf("%s: %v %v, want %v %v", a.Key, vb, okb, va, oka)
		}
		if want, got := proof.Explain(g, values, id, 2), proof.Explain(back, figures, id, 2); !reflect.DeepEqual(want, got) {
			t.Errorf("proof of %s: %+v, want %+v", a.Key, got, want)
		}
	}
	for op := range graph.OpCount {
		if !seen[op] {
			t.Errorf("operation %s is not tried", op)
		}
	}
}

// The decoded graph prints the same workbook.
func TestDecodedGraphPrintsTheSameModel(t *testing.T) {
	t.Parallel()
	g, values := every(t)
	back, figures, err := codec.Decode(encoded(t, g, values))
	if err != nil {
		t.Fatal(err)
	}
	want, err1 := workbook.Build(g, values)
	got, err2 := workbook.Build(back, figures)
	if err1 != nil || err2 != nil {
		t.Fatal(err1, err2)
	}
	for i := range want.Sheets {
		for j := range want.Sheets[i].Rows {
			if a, b := want.Sheets[i].Rows[j], got.Sheets[i].Rows[j]; a.Formula != b.Formula || a.Name != b.Name || a.Known != b.Known || !a.Value.Equal(b.Value) {
				t.Errorf("row %s: %s, want %s", a.Key, b.Formula, a.Formula)
			}
		}
	}
}

// A field that is added to the graph must be added to the form too, but for what takes
// a decision again and what draws hold: a graph read back is what was promised.
func TestEveryFieldIsWritten(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		of     any
		fields int
	}{{graph.Node{}, 15}, {graph.Operation{}, 5}, {graph.Source{}, 7}, {graph.Choice{}, 6}, {graph.Draws{}, 5}, {graph.Window{}, 3}, {graph.Bands{}, 5}, {graph.Finding{}, 4}} {
		if n := reflect.TypeOf(c.of).NumField(); n != c.fields {
			t.Errorf("%T has %d fields, the form knows %d", c.of, n, c.fields)
		}
	}
}

func TestRandomGraphsComeBack(t *testing.T) {
	t.Parallel()
	for seed := range uint64(300) {
		g := graphtest.Random(seed, 120)
		values, err := exact.Evaluate(g, nil)
		if err != nil {
			continue // beyond 10^60
		}
		data := encoded(t, g, values)
		back, figures, err := codec.Decode(data)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		if !bytes.Equal(data, encoded(t, back, figures)) {
			t.Fatalf("seed %d: other bytes", seed)
		}
	}
}

// goldenBytes is the hash of the encoding of a small graph. It changes only with the
// version of the form.
const goldenBytes = "cd359e957d3a91f3e84a63b85642043b81107eaa9fd868c5456591ee70f87bc6"

func TestBytesAreStable(t *testing.T) {
	t.Parallel()
	b := graph.NewBuilder(graph.Limits{})
	s := b.Root().In("part", "A").From(graph.Source{Where: "part A", Path: "parts[0]"})
	each := s.Range("each", "each", graph.Currency("EUR").Per(graph.Piece), dec("1.00"), dec("1.20"), dec("1.5"))
	n := s.Input("count", "count", graph.Piece, dec("3"))
	s.By("B1").Choose("sum", "sum <b>", n, graph.Less, s.One(graph.Piece), s.Zero(graph.Currency("EUR")), s.Multiply("all", "all", each, n))
	g := graphtest.Built(t, b)
	values := graphtest.Evaluated(t, g)
	data := encoded(t, g, values)
	sum := sha256.Sum256(data)
	if got := hex.EncodeToString(sum[:]); got != goldenBytes {
		t.Errorf("hash %s, want %s, of\n%s", got, goldenBytes, data)
	}
}

// Bytes written before ranges had shapes are read as triangular ones and written
// as they were.
func TestBytesFromBeforeShapes(t *testing.T) {
	t.Parallel()
	data, err := os.ReadFile("testdata/before-shapes.json")
	if err != nil {
		t.Fatal(err)
	}
	if sum := sha256.Sum256(data); hex.EncodeToString(sum[:]) != goldenBytes {
		t.Fatal("the file is not what it was")
	}
	g, values, err := codec.Decode(data)
	if err != nil {
		t.Fatal(err)
	}
	id, ok := g.Find("part/A/each")
	if n := g.Node(id); !ok || n.Op != graph.Range || n.Shape != bom.Triangular || !n.SD.IsZero() || !n.High.Equal(dec("1.5")) {
		t.Errorf("the range is read as %+v", n)
	}
	if !bytes.Equal(encoded(t, g, values), data) {
		t.Error("written again the bytes differ")
	}
}

func TestStrangeBytesAreRefused(t *testing.T) {
	t.Parallel()
	g, values := every(t)
	good := string(encoded(t, g, values))
	for name, change := range map[string][2]string{
		"version":     {`{"kerfbook_graph":1`, `{"kerfbook_graph":2`},
		"space":       {`,"units"`, `, "units"`},
		"field":       {`{"kerfbook_graph":1`, `{"kerfbook_graph":1,"more":0`},
		"operation":   {`"op":"add"`, `"op":"plus"`},
		"unit":        {`"EUR*piece^-1"`, `"piece^-1*EUR"`},
		"node unit":   {`"op":"range"`, `"op":"add"`},
		"value":       {`"value":"0.10"`, `"value":"1e5"`},
		"shape":       {`"shape":"pert"`, `"shape":"bell"`},
		"shape out":   {`"shape":"pert"`, `"shape":"triangular"`},
		"sd nowhere":  {`,"sd":"0.50"`, ``},
		"sd zero":     {`,"sd":"0.50"`, `,"sd":"0"`},
		"sd digits":   {`,"sd":"0.50"`, `,"sd":"1e-1"`},
		"sd spare":    {`"shape":"pert"`, `"shape":"pert","sd":"0.50"`},
		"sd too wide": {`,"sd":"0.50"`, `,"sd":"1200001"`},
		"not a range": {`"op":"add"`, `"op":"add","shape":"pert"`},
		"long value":  {`"value":"0.10"`, `"value":"` + strings.Repeat("1", 200) + `"`},
		"forward":     {`"args":[`, `"args":[99999,`},
		"negative":    {`"args":[`, `"args":[-1,`},
		"source":      {`"source":0`, `"source":12345`},
		"severity":    {`"blocker"`, `"worse"`},
		"fewer":       {`"values":[`, `"values":["1",`},
		"second text": {"\n", "\n{}"},
	} {
		bad := strings.Replace(good, change[0], change[1], 1)
		if bad == good {
			t.Errorf("%s: %q is not in the text", name, change[0])
		}
		if _, _, err := codec.Decode([]byte(bad)); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	var form *codec.FormError
	if _, _, err := codec.Decode(nil); !errors.As(err, &form) {
		t.Errorf("nothing: %v, want a FormError", err)
	}
}

func FuzzDecode(f *testing.F) {
	g, values := every(f)
	f.Add(encoded(f, g, values))
	f.Add([]byte(`{"kerfbook_graph":1,"units":[""],"sources":[{}],"nodes":[{"key":"a","label":"","unit":0,"op":"band","source":0}],"values":[null],"findings":[]}` + "\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		g, v, err := codec.Decode(data)
		if err != nil {
			return
		}
		for id := range graph.ID(g.Len()) {
			proof.Explain(g, v, id, 1)
		}
		if _, err := workbook.Build(g, v); err != nil {
			t.Log(err)
		}
	})
}
