package estimate

import "testing"

// TestEveryKindHasItsEntry: a kind of cost without a name, or one that looks like
// another, would be a line that nobody can read, without anything failing.
func TestEveryKindHasItsEntry(t *testing.T) {
	t.Parallel()
	keys, labels, lines := map[string]bool{}, map[string]bool{}, map[string]bool{}
	after := "the first kind of cost"
	for _, k := range Kinds() {
		e := kindEntries[k]
		switch {
		case e.key == "" || e.label == "":
			t.Errorf("%s: kindEntries gives it key %q and label %q; it needs both", after, e.key, e.label)
		case keys[e.key] || labels[e.label]:
			t.Errorf("%s: another kind has its key %q or label %q", after, e.key, e.label)
		}
		keys[e.key], labels[e.label] = true, true
		if line := e.operation; line != (operationLine{}) {
			if line.column == "" || line.batch == "" || line.key == "" || line.label == "" || lines[line.batch] || lines[line.key] {
				t.Errorf("%s: its line of an operation is %+v; it needs all four, and keys of its own", after, line)
			}
			lines[line.batch], lines[line.key] = true, true
		}
		after = "the kind of cost after " + e.label
	}
}
