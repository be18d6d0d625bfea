package text

import (
	"slices"
	"testing"

	"kerfbook/bom"
)

// TestDifferences: entries of lists are held against one another by id.
func TestDifferences(t *testing.T) {
	t.Parallel()
	one, two := bom.Whole(1), bom.Whole(2)
	before := hand{ID: "A", Rate: &one, Words: []string{"a"}, Table: map[string]bom.ID{"x": "X", "y": "Y"}, Ops: []handOp{{Number: 10, Name: "saw"}, {Number: 20, Min: &one}, {Number: 30}}}
	after := hand{ID: "A", Rate: &two, Words: []string{"a", "b"}, Table: map[string]bom.ID{"x": "Z", "z": "Y"}, Ops: []handOp{{Number: 30}, {Number: 20, Min: &two}, {Number: 40, Name: "mill"}}, Note: "n"}
	got, err := Differences(before, after)
	want := []FieldDifference{
		{"rate", "1", "2"}, {"words", "[a]", "[a, b]"},
		{"ops[10]", "{number: 10, name: saw}", ""}, {"ops[20].min", "1", "2"}, {"ops[40]", "", "{number: 40, name: mill}"}, {"ops", "20, 30", "30, 20"},
		{"table.x", "X", "Z"}, {`table["y"]`, "Y", ""}, {"table.z", "", "Y"}, {"note", "", "n"},
	}
	want[7].Path = Key("table", "y")
	if err != nil || !slices.Equal(got, want) {
		t.Errorf("%v\n%q\nwant\n%q", err, got, want)
	}
	if none, err := Differences(after, after); err != nil || len(none) > 0 {
		t.Errorf("a value and itself: %v, %v", none, err)
	}
}

// TestConflicts: the marks of a merge are named with their lines, all of them at once.
func TestConflicts(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ text, want string }{
		{"id: A\nnote: \"<<<<<<< no mark\"\n", ""},
		{"<<<<<<< a\nid: A\n||||||| b\nid: C\n=======\nid: B\n>>>>>>> b\r\n", "line 1, column 1: a merge of versions left both sides here: <<<<<<< on line 1, ||||||| on line 3, ======= on line 5, >>>>>>> on line 7; keep what is to hold and delete these lines"},
		{"id: A\n>>>>>>> b\n", "line 2, column 1: a merge of versions left the mark >>>>>>> here; delete the line"},
		{"<<<<<<< a\nid: A\n", "line 1, column 1: a merge of versions left the mark <<<<<<< here, without the >>>>>>> that ends it; keep what is to hold and delete the lines of marks"},
	} {
		_, err := Decode([]byte(c.text), &hand{})
		if got := ""; err != nil || c.want != "" {
			if err != nil {
				got = err.Error()
			}
			if got != c.want {
				t.Errorf("%q: %s", c.text, got)
			}
		}
	}
}
