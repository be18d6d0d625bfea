package text

import (
	"errors"
	"testing"
)

// TestTidyPlacesComments: a comment stays beside what it is about, wherever that goes.
func TestTidyPlacesComments(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ name, from, to string }{
		{"above what comes earlier", "# note\nnote: n\n# id\nid: A\n", "# id\nid: A\n# note\nnote: \"n\"\n"},
		{"behind what comes earlier", "note: n # note\nid:   A   # id\n", "id: A  # id\nnote: \"n\"  # note\n"},
		{"in a list on lines", "id: A\nwords: [a, # first\n  # second\n  b]\n", "id: A\n# second\nwords: [a, b]  # first\n"},
		{"two behind one line", "id: A\nrate: {low: 1, # l\n  likely: 2, high: 3} # h\n", "id: A\nrate: {low: 1, likely: 2, high: 3}  # l # h\n"},
		{"above an entry and one of its fields", "ops:\n# ten\n- name: saw\n  # its number\n  number: 10\nid: A\n", "id: A\nops:\n  # ten\n  # its number\n  - {number: 10, name: saw}\n"},
		{"below an entry", "id: A\nops:\n- {number: 10, name: saw}\n  # below\nnote: w\n", "id: A\nops:\n  - {number: 10, name: saw}\n  # below\nnote: w\n"},
		{"of what says nothing", "id: A\n# no words\nwords: []\n", "id: A\n# no words\n"},
		{"at the foot", "id: A\n\n# end\n# of all", "id: A\n\n# end\n# of all\n"},
		{"no comment in a text", "id: A\nnote: 'w # x'\n", "id: A\nnote: \"w # x\"\n"},
		{"in a folded text", "id: A\nnote: >\n  w\n  # x\n", "id: A\nnote: \"w # x\"\n"},
		{"empty lines", "\n\nid: A\n\n\nops:\n\n- number: 10\n\n  name: saw\n\n- number: 20\n", "id: A\n\nops:\n\n  - {number: 10, name: saw}\n\n  - {number: 20}\n"},
		{"other line ends", "note: w # n\r\nid: A\r\n", "id: A\r\nnote: w  # n\r\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			var h hand
			if _, err := DecodeRecord([]byte(c.from), &h); err != nil {
				t.Fatal(err)
			}
			got, err := Tidy([]byte(c.from), h)
			if err != nil || string(got) != c.to {
				t.Errorf("%v\n%s\nwant\n%s", err, got, c.to)
			}
		})
	}
	var found *Errors
	if _, err := Tidy([]byte("? id\n: A\n"), hand{ID: "A"}); !errors.As(err, &found) || found.List[0].Line != 1 {
		t.Errorf("a name behind a question mark: %v", err)
	}
}
