package text

import (
	"bytes"
	"reflect"
	"slices"
	"testing"

	"kerfbook/bom"
)

type hand struct {
	ID    string            `book:"id,required"`
	Rate  *bom.Number       `book:"rate"`
	Words []string          `book:"words"`
	Ops   []handOp          `book:"ops"`
	Table map[string]bom.ID `book:"table"`
	Note  string            `book:"note"`
}

var typeOfHand = reflect.TypeFor[hand]()

type handOp struct {
	Number int         `book:"number,required"`
	Name   string      `book:"name"`
	Min    *bom.Number `book:"min"`
}

// TestRevise: what is not changed stays as it was written.
func TestRevise(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name, from, to string
		change         func(h *hand)
	}{
		{"nothing", "# a\n\nid:   A  # b\nrate: {likely: 2, low: 1, high: 3}\n", "# a\n\nid:   A  # b\nrate: {likely: 2, low: 1, high: 3}\n", func(*hand) {}},
		{"a figure", "id: A # b\nrate: 1.50 # c\n", "id: A # b\nrate: 2 # c\n", func(h *hand) { *h.Rate = bom.Whole(2) }},
		{"one end of a range", "id: A\nrate: {likely: 2, low: 1, high: 3} # c", "id: A\nrate: {likely: 2, low: 1, high: 4} # c", func(h *hand) { h.Rate.High = bom.Whole(4).Likely }},
		{"a range in block form", "id: A\nrate:\n  low: 1 # c\n  likely: 2\n  high: 3\n", "id: A\nrate: 7\n", func(h *hand) { *h.Rate = bom.Whole(7) }},
		{"quotes", "id: \"A\"\nnote: 'it''s'\n", "id: \"B\"\nnote: it is\n", func(h *hand) { h.ID, h.Note = "B", "it is" }},
		{"a field more", "# a\nid: A # b\n# c\nnote: n\n", "# a\nid: A # b\nrate: 5\n# c\nnote: n\n", func(h *hand) { n := bom.Whole(5); h.Rate = &n }},
		{"a field more in a line", "{id: A, note: n} # b\n", "{id: A, words: [x, w], note: n} # b\n", func(h *hand) { h.Words = []string{"x", "w"} }},
		{"a field less", "id: A\n# c\nrate: 5\n\nnote: n\n", "id: A\n\nnote: n\n", func(h *hand) { h.Rate = nil }},
		{"the first field less", "  - note: n # c\n    # d\n    id: A\n", "  - # d\n    id: A\n", func(h *hand) { h.Note = "" }},
		{"words", "id: A\nwords: [a, b,\n  c] # d\n", "id: A\nwords: [a,\n  c,\n  e] # d\n", func(h *hand) { h.Words = []string{"a", "c", "e"} }},
		{"an empty list", "id: A\nwords: []\n", "id: A\nwords: [a]\n", func(h *hand) { h.Words = []string{"a"} }},
		{"the last entry", "id: A\nops:\n  - number: 10\n", "id: A\n", func(h *hand) { h.Ops = nil }},
		{"an entry more", "id: A\nops:\n\n  # a\n  - {number: 10}\n\n  # b\n  - {number: 20, name: x} # c\n",
			"id: A\nops:\n\n  # a\n  - {number: 10}\n\n  # b\n  - {number: 20, name: x} # c\n\n  - {number: 30}\n", func(h *hand) { h.Ops = append(h.Ops, handOp{Number: 30}) }},
		{"an entry in block form more", "id: A\nops:\n- number: 10 # a\n  name: x\nnote: n", "id: A\nops:\n- number: 10 # a\n  name: x\n- number: 20\n  name: \"y: z\"\nnote: n",
			func(h *hand) { h.Ops = append(h.Ops, handOp{Number: 20, Name: "y: z"}) }},
		{"an entry less, one moved, one changed", "- id: A\n  ops:\n    # a\n    - number: 10\n    # b\n    - number: 20\n      name: x # c\n    - number: 30\n",
			"- id: A\n  ops:\n    - number: 30\n    # b\n    - number: 20\n      name: w # c\n", func(h *hand) { h.Ops = []handOp{{Number: 30}, {Number: 20, Name: "w"}} }},
		{"a list of one moved within a line", "ops: [{number: 10}, {number: 20, name: x}]\nid: A", "ops: [{number: 20, name: x}, {number: 10, name: w}]\nid: A",
			func(h *hand) { h.Ops = []handOp{{Number: 20, Name: "x"}, {Number: 10, Name: "w"}} }},
		{"a table", "id: A\ntable:\n  z: A # z\n  b: B\n", "id: A\ntable:\n  z: C # z\n  a: D\n", func(h *hand) { h.Table = map[string]bom.ID{"z": "C", "a": "D"} }},
		{"other line ends", "id: A\r\nops:\r\n  - number: 10 # a\r\n", "id: A\r\nops:\r\n  - number: 10 # a\r\n  - number: 20\r\n    name: x\r\n",
			func(h *hand) { h.Ops = append(h.Ops, handOp{Number: 20, Name: "x"}) }},
		{"a text over two lines", "id: A\nnote: one\n  two # c\nwords: [ä, b]\n", "id: A\nnote: three # c\nwords: [ä]\n", func(h *hand) { h.Note, h.Words = "three", []string{"ä"} }},
		{"folded", "id: A\nnote: >\n  one\n  two\nwords: [a]\n", "id: A\nnote: three\nwords: [a]\n", func(h *hand) { h.Note = "three" }},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			s, err := schemaOf(typeOfHand)
			d, problem := newDocument([]byte(c.from))
			if err != nil || problem != nil {
				t.Fatal(err, problem)
			}
			read, ok := d.read(s)
			if !ok {
				t.Fatal("cannot be read")
			}
			h := read.Interface().(hand)
			c.change(&h)
			if got, err := Revise([]byte(c.from), h); err != nil || string(got) != c.to {
				t.Errorf("%v\n%s\nwant\n%s", err, got, c.to)
			}
		})
	}
}

// FuzzRevise holds that no text makes the splicing panic: whatever is read is revised to
// what was meant, stays as it is where nothing changes, and its parts make it up.
func FuzzRevise(f *testing.F) {
	for _, seed := range []string{
		"id: A", "{id: A}", "- {id: A, ops: [{number: 1}]}", "- id: A # b\n  ops:\n  - number: 1\n  # c\n  - {number: 2, name: 'x'}\n",
		"id: A\nnote: >\n  a\n\n  b\n", "id: A\nnote: |2-\n   a\n", "? id\n: A\n? note\n: b\n", "---\nid: A\n...\n", "id: A\r\nwords: [a, # b\r\n  c]\r\n", "id: A\rnote: b",
		"\"id\": \"A\\\"\"\nrate: {low: 1, likely: 2, high: 3}\n", "{\"id\": \"A\", \"note\": \"\\u00e9\"}", "id: A\nops: \n - \n   number: 1\n - # x\n   number: 2\n", "table: {a: B, \"c\": 'D'}\nid: A # e", "# a\n\n\nid: A\n\n# b\n", "\uFEFFid: A",
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		if sections, foot, ok := Sections(data); ok {
			var all []byte
			for _, s := range sections {
				all = append(append(all, s.Head...), s.Body...)
				all = append(all, bytes.Join(s.Entries, nil)...)
			}
			if all = append(all, foot...); !bytes.Equal(all, data) {
				t.Fatalf("the sections of %q make up %q", data, all)
			}
		}
		Indented(Outdented(data), data)
		var h hand
		if _, err := DecodeRecord(data, &h); err != nil {
			return
		}
		if _, unusual := newDocument(data); unusual == nil {
			if got, err := Revise(data, h); err != nil || !bytes.Equal(got, data) {
				t.Fatalf("%q becomes %q without a change, %v", data, got, err)
			}
			if _, err := Tidy(data, h); err != nil {
				t.Fatal(err)
			}
		}
		for _, change := range []func(*hand){
			func(h *hand) { h.Ops = append(h.Ops, handOp{Number: 7, Name: "new"}) },
			func(h *hand) { h.Ops = h.Ops[min(1, len(h.Ops)):] },
			func(h *hand) { slices.Reverse(h.Ops) },
			func(h *hand) { h.Note, h.ID, h.Words = "note: # \"", "B", append(h.Words, "w") },
			func(h *hand) { h.Rate, h.Words, h.Note = nil, nil, "" },
			func(h *hand) { n := bom.Whole(9); h.Rate = &n },
			func(h *hand) { h.Table = map[string]bom.ID{"k": "V"} },
		} {
			var changed hand
			if _, err := DecodeRecord(data, &changed); err != nil {
				t.Fatal(err)
			}
			change(&changed)
			got, err := Revise(data, changed)
			if err != nil {
				t.Fatal(err)
			}
			var again hand
			if _, err := DecodeRecord(Outdented(got), &again); err != nil {
				t.Fatalf("%q becomes %q: %v", data, got, err)
			}
			want, _ := Encode(changed)
			if have, _ := Encode(again); !bytes.Equal(have, want) {
				t.Fatalf("%q becomes %q, which says\n%s\nnot\n%s", data, got, have, want)
			}
		}
	})
}
