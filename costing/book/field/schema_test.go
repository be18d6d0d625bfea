package field

import (
	"bytes"
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"go.yaml.in/yaml/v3"

	"kerfbook/costing/book"
	"kerfbook/costing/text"
	"kerfbook/testdata"
)

// checker compiles the schema of a kind, or of a book, with a checker of another make.
func checker(t *testing.T, kind string) *jsonschema.Schema {
	t.Helper()
	written, ok := Schema(kind)
	if !ok {
		t.Fatalf("there is no schema of %q", kind)
	}
	parsed, err := jsonschema.UnmarshalJSON(bytes.NewReader(written))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("book.json", parsed); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("book.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// seen is what an editor for YAML sees: numbers, booleans, and days as text.
func seen(n *yaml.Node) any {
	switch n.Kind {
	case yaml.DocumentNode:
		return seen(n.Content[0])
	case yaml.SequenceNode:
		out := []any{}
		for _, c := range n.Content {
			out = append(out, seen(c))
		}
		return out
	case yaml.MappingNode:
		out := map[string]any{}
		for i := 0; i < len(n.Content); i += 2 {
			out[n.Content[i].Value] = seen(n.Content[i+1])
		}
		return out
	}
	switch n.Tag {
	case "!!int", "!!float":
		return json.Number(n.Value)
	case "!!bool":
		return n.Value == "true"
	case "!!null":
		return nil
	}
	return n.Value
}

// wrong lists the places, as JSON pointers, that a checker finds fault with.
func wrong(t *testing.T, s *jsonschema.Schema, written []byte) []string {
	t.Helper()
	var n yaml.Node
	if err := yaml.Unmarshal(written, &n); err != nil {
		t.Fatal(err)
	}
	var found *jsonschema.ValidationError
	if err := s.Validate(seen(&n)); err != nil && !errors.As(err, &found) {
		t.Fatal(err)
	}
	var out []string
	var list func(e *jsonschema.ValidationError)
	list = func(e *jsonschema.ValidationError) {
		if len(e.Causes) == 0 {
			out = append(out, "/"+strings.Join(e.InstanceLocation, "/"))
		}
		for _, c := range e.Causes {
			list(c)
		}
	}
	if found != nil {
		list(found)
	}
	return out
}

// Every book that the reader takes is taken by an editor that has the schema.
func TestSchemaAcceptsBooks(t *testing.T) {
	t.Parallel()
	s := checker(t, "")
	taken := 0
	err := filepath.WalkDir("../../../testdata", func(path string, d fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(path, ".yaml") {
			return err
		}
		written, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		if _, _, err := book.Parse(written); err != nil && !bytes.Equal(written, testdata.Demo) {
			return nil // no book
		}
		taken++
		if at := wrong(t, s, written); len(at) > 0 {
			t.Errorf("%s is refused at %v", path, at)
		}
		return nil
	})
	if err != nil || taken < 2 {
		t.Errorf("%d books were looked at: %v", taken, err)
	}
}

// What is mistyped in a book is found by the schema where the reader finds it: every
// field of the demo, with its name, its word or its figure spoilt.
func TestSchemaFindsWhatTheReaderFinds(t *testing.T) {
	t.Parallel()
	s := checker(t, "")
	for _, c := range []struct{ from, to string }{
		{"country: \"PT\"\ncurrency", "country: \"PX\"\ncurrency"},
		{"currency: EUR\n", "currency: EURO\n"},
		{"material_overhead: 0.06", "material_overheads: 0.06"},
		{"material_overhead: 0.06", "material_overhead: 6 %"},
		{"base: labour_cost", "base: labor_cost"},
		{"density_g_cm3: 8.93", "density_kg_m3: 8930"},
		{"density_g_cm3: 8.93", "density_g_cm3: -8.93"},
		{"density_g_cm3: 8.93", "density_g_cm3: 0"},
		{"length_mm: 3000, width_mm", "length_in: 118, width_mm"},
		{"length_mm: 3000, width_mm", "length_mm: 3000 mm, width_mm"},
		{"form: tube", "form: pipe"},
		{"kind: pocket, length_mm: 44", "kind: pockets, length_mm: 44"},
		{"shape: normal, sd: 0.012", "shape: gauss, sd: 0.012"},
		{"shape: normal, sd: 0.012", "shape: normal"},
		{"count: 2, spacing_mm: 62", "count: 2.5, spacing_mm: 62"},
		{"through: true, peck_mm: 5", "through: \"yes\", peck_mm: 5"},
		{"from: 2026-01-01", "from: 1.1.2026"},
		{"name: heat sink\n", "title: heat sink\n"},
		{"unit: kg\n", "unit: kilogram\n"},
		{"trim: glow, quantity: 2", "trim: glow, quantity: many"},
		{"when: [{shade: [pom]}]", "when: {shade: [pom]}"},
		{"places: [\"PT\"], bands", "places: \"PT\", bands"},
		{"side_rounding: {step: 1, mode: half_up}", "side_rounding: {step: 1, mode: nearest}"},
		{"pieces_per_load: 20", "pieces_per_load: [20]"},
	} {
		if bytes.Count(testdata.Demo, []byte(c.from)) == 0 {
			t.Errorf("the demo has no %q", c.from)
			continue
		}
		written := bytes.Replace(testdata.Demo, []byte(c.from), []byte(c.to), 1)
		_, _, err := book.Parse(written)
		var found *text.Errors
		if !errors.As(err, &found) {
			t.Errorf("%s: the reader finds nothing", c.to)
			continue
		}
		want := text.Pointer(found.List[0].Path)
		got := wrong(t, s, written)
		// Of a field that should not be there the checker names the record around it.
		if !slices.ContainsFunc(got, func(at string) bool { return at == want || at == want[:max(1, strings.LastIndexByte(want, '/'))] }) {
			t.Errorf("%s: the reader finds %v, the checker %v", c.to, found.List[0], got)
		}
	}
}

func TestSchemaOfOneKind(t *testing.T) {
	t.Parallel()
	s := checker(t, "stocks")
	if at := wrong(t, s, []byte("id: A\nname: a\nmaterial: X\nform: bar\nlength_mm: {low: 1, likely: 2, high: 3}\n")); len(at) > 0 {
		t.Errorf("a stock is refused at %v", at)
	}
	if at := wrong(t, s, []byte("id: A\nname: a\nmaterial: X\nform: bar\nlength_mm: {low: 1, likely: 2}\n")); len(at) == 0 {
		t.Error("half a range is accepted")
	}
	if _, ok := Schema("nothing"); ok {
		t.Error("there is a schema of nothing")
	}
}
