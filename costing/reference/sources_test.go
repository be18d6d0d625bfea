package reference

import (
	"errors"
	"strings"
	"testing"
)

// TestSources: a source has an id of its own and is cited with everything that
// helps to find it, in characters that a text of a row can hold.
func TestSources(t *testing.T) {
	t.Parallel()
	all, err := Sources()
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for _, s := range all {
		if seen[string(s.ID)] || seen[s.Title+s.Publisher+s.Address] {
			t.Errorf("%s is there twice", s.ID)
		}
		seen[string(s.ID)], seen[s.Title+s.Publisher+s.Address] = true, true
		text, err := cited([]byte("after `" + string(s.ID) + "`, page 3"))
		if want := "after " + s.String() + ", page 3"; err != nil || string(text) != want || strings.ContainsAny(want, "`\"\\;") {
			t.Errorf("%s, %v", text, err)
		}
	}
	var unknown *UnknownSourceError
	if _, err := cited([]byte("`nowhere`")); !errors.As(err, &unknown) || unknown.ID != "nowhere" {
		t.Errorf("%v", err)
	}
}
