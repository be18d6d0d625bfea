package change

import (
	"slices"
	"testing"

	"kerfbook/costing/book/record"
)

// TestPlacesOfARevision: the places of a record are found once, and a change of another
// record leaves them as they are; they name fields, what a feature may have, and entries.
func TestPlacesOfARevision(t *testing.T) {
	t.Parallel()
	held := demoShelf(t)
	parts, _ := record.KindOf("parts")
	of := func(s *Shelf, id string) []Place {
		for r, places := range s.Places(parts) {
			if r.ID == id {
				return places()
			}
		}
		t.Fatalf("no part %s", id)
		return nil
	}
	edits, err := held.edits([]Change{{Key: "book/parts/HS-020/routing[0].setup_min", Value: "3"}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	drafts, err := held.drafts(edits)
	if err != nil {
		t.Fatal(err)
	}
	after := held.With(drafts)
	was, is := of(held, "HS-010"), of(after, "HS-010")
	if &was[0] != &is[0] {
		t.Error("they are found anew")
	}
	for _, want := range []Place{{At: "routing[0].setup_min", Label: "set-up of 10 saw blanks", Now: "12"}, {At: "routing[3]", Label: "40 deburr", Takes: true}} {
		at := slices.IndexFunc(was, func(p Place) bool { return p.At == want.At })
		if at < 0 || was[at].Label != want.Label || was[at].Now != want.Now || was[at].Takes != want.Takes {
			t.Errorf("want %v, got %v", want, was[max(at, 0)])
		}
	}
	changed := of(after, "HS-020")
	if at := slices.IndexFunc(changed, func(p Place) bool { return p.At == "routing[0].setup_min" }); at < 0 || changed[at].Now != "3" || !changed[at].Says("set-up") || changed[at].Says("Set-up") {
		t.Error("a changed record has its former places")
	}
}
