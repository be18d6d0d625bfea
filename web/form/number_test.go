package form

import (
	"strings"
	"testing"

	"kerfbook/web/frame"
	"kerfbook/web/notation"
)

// TestNumberTellsBesideItsField: what was understood, or what is wrong, stands in the
// field, and in the list of problems under its name.
func TestNumberTellsBesideItsField(t *testing.T) {
	t.Parallel()
	var found frame.Problems
	f := frame.Field{Name: "length", Label: "Length", Value: "1 1/2 in"}
	if plain, ok := Number(notation.Style{Comma: true}, &f, "mm", &found); !ok || plain != "38.1" || f.Understood != "38,1 mm" || f.Error != "" || !found.Empty() {
		t.Errorf("%q, %+v, %v", plain, f, found)
	}
	f = frame.Field{Name: "length", Label: "Length", Value: "12,345"}
	if plain, ok := Number(notation.Style{}, &f, "mm", &found); ok || plain != "" || f.Understood != "" || !strings.Contains(f.Error, "Length: ") || found.Of("length") != f.Error {
		t.Errorf("%q, %+v, %v", plain, f, found)
	}
}

func TestCountsAndChances(t *testing.T) {
	t.Parallel()
	comma := notation.Style{Comma: true}
	for text, want := range map[string]int{"1.500": 1500, "20 000": 20000, "12": 12} {
		if n, err := WholeNumber(comma, text); err != nil || n != want {
			t.Errorf("%s is read as %d, %v", text, n, err)
		}
	}
	for _, text := range []string{"", "many", "1,000", "2,5"} {
		if n, err := WholeNumber(comma, text); err == nil {
			t.Errorf("%q is read as %d", text, n)
		}
	}
	for text, want := range map[string]string{"80": "0.8", "80 %": "0.8", "12,5": "0.125", "12,5 %": "0.125"} {
		if d, err := ReadChance(comma, text); err != nil || d.String() != want {
			t.Errorf("%s is read as %s, %v", text, d, err)
		}
	}
	for text, says := range map[string]string{"0,8": "did you mean 80", "100": "no chance", "0": "no chance", "-5": "no chance", "eighty": "per cent"} {
		if d, err := ReadChance(comma, text); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s is read as %s, %v", text, d, err)
		}
	}
}
