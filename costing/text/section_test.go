package text

import (
	"strings"
	"testing"
)

// TestOutdentedAndBack: an entry becomes a text of its own, and takes its place again.
func TestOutdentedAndBack(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ name, entry, alone, changed, back string }{
		{"fields", "\n  # a\n  - id: A # b\n    # c\n    note: n\n", "# a\nid: A # b\n# c\nnote: n\n", "id: A\nnote: m\n", "\n  - id: A\n    note: m\n"},
		{"at the margin", "-   id: A\n    ops:\n    - number: 1\n", "id: A\nops:\n- number: 1\n", "# x\nid: A\n\nnote: m", "# x\n-   id: A\n\n    note: m\n"},
		{"a line", "  - {id: A,\n     note: n} # b\n", "{id: A,\n note: n} # b\n", "{id: B}\n", "  - {id: B}\n"},
		{"a comment less set in", "  - id: A\n# c\n    note: n\n", "id: A\n# c\nnote: n\n", "id: A\n# c\n", "  - id: A\n    # c\n"},
		{"set in without a dash", "\n  id: A\n  note: n\n", "id: A\nnote: n\n", "id: B\n", "\n  id: B\n"},
		{"alone already", "# a\nid: A\n", "# a\nid: A\n", "id: B\n", "id: B\n"},
		{"other line ends", "  - id: A\r\n    note: n\r\n", "id: A\nnote: n\n", "id: B\nnote: n\n", "  - id: B\r\n    note: n\r\n"},
		{"nothing", "", "", "id: A\n", "id: A\n"},
	} {
		if got := string(Outdented([]byte(c.entry))); got != c.alone {
			t.Errorf("%s: alone it is\n%s\nwant\n%s", c.name, got, c.alone)
		}
		if got := string(Indented([]byte(c.changed), []byte(c.entry))); got != c.back {
			t.Errorf("%s: back in its place it is\n%s\nwant\n%s", c.name, got, c.back)
		}
	}
}

// TestSections: a text is taken apart where its fields stand below one another.
func TestSections(t *testing.T) {
	t.Parallel()
	for _, none := range []string{"", "{id: A}", `{"id": "A"}`, "- id: A\n", "id: &a A\n", "? id\n: A\n", "id: A\nid: B\n"} {
		if found, _, ok := Sections([]byte(none)); ok {
			t.Errorf("%q has the sections %v", none, found)
		}
	}
	sections, foot, ok := Sections([]byte("# h\nid: A # b\n\nops: # c\n# d\n- number: 1\n  # e\n- {number: 2}\n # f\nwords: [a] # g\nnote:\n# end\n"))
	if !ok || string(foot) != "# end\n" || len(sections) != 4 {
		t.Fatalf("%v, foot %q", sections, foot)
	}
	got := []string{}
	for _, s := range sections {
		got = append(got, s.Name, string(s.Head), string(s.Body), string(s.Value))
		for _, e := range s.Entries {
			got = append(got, string(e))
		}
	}
	want := []string{"id", "# h\nid:", " A # b\n", "A", "ops", "\nops:", " # c\n", "", "# d\n- number: 1\n", "  # e\n- {number: 2}\n",
		"words", " # f\nwords:", " [a] # g\n", "[a]", "note", "note:", "\n", ""}
	if strings.Join(got, "|") != strings.Join(want, "|") {
		t.Errorf("%q\nwant\n%q", got, want)
	}
}
