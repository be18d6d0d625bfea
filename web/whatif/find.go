package whatif

import (
	"cmp"
	"maps"
	"net/url"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/bom"
	"kerfbook/costing/book/record"
	"kerfbook/web/form"
	"kerfbook/web/form/recordform"
	"kerfbook/web/frame"
)

// candidate is something of the book that may be changed.
type candidate struct {
	Key, Label, Where, Now string
	Takes                  bool // what it is can only be taken away
	used                   bool // the batch has a number of it
}

// mostCandidates is how many are listed.
const mostCandidates = 12

// naming are fields that name what they stand in, or say how sure a number is.
var naming = []string{"id", "number", "name", "kind", "revision", "for", "low", "high", "shape", "sd"}

// candidates finds what a batch has numbers of, or of whose records it has some, by words
// of it: fields, and entries and records that may be taken away.
func candidates(c *frame.Call, sheet *answer.Sheet, asked string) (out []candidate, more bool) {
	words := strings.Fields(strings.ToLower(asked))
	used := recordsOf(sheet)
	for _, k := range record.Kinds() {
		kind, _ := form.KindOf(k.Name)
		for _, r := range record.All(c.Book, k) {
			if !used[r.Path] {
				continue
			}
			where := kind.One + " " + r.ID
			about := strings.ToLower(where + " " + form.NameOf(r))
			typed := recordform.Of(r.Value, c.Style)
			for _, place := range slices.Concat(slices.Sorted(maps.Keys(typed)), unset(r.Value, typed), entriesOf(typed)) {
				if last := place[strings.LastIndex(place, ".")+1:]; slices.Contains(naming, last) {
					continue
				}
				one := candidate{Key: strings.TrimSuffix("book/"+k.Name+"/"+r.ID+"/"+place, "/"), Label: change.FieldLabel(k.Name, r.Value, place), Where: where, Now: typed[place], Takes: place == "" || strings.HasSuffix(place, "]")}
				said := about + " " + strings.ToLower(one.Label+" "+one.Now)
				if slices.ContainsFunc(words, func(w string) bool { return !strings.Contains(said, w) }) {
					continue
				}
				if f := sheet.Entered(r.Path + "." + place); f.Key != "" {
					one.Key, one.used = f.Key, true
				}
				out = append(out, one)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b candidate) int { return cmp.Compare(rank(a), rank(b)) })
	return out[:min(len(out), mostCandidates)], len(out) > mostCandidates
}

// recordsOf tells the records that a batch has numbers of, by their paths.
func recordsOf(sheet *answer.Sheet) map[string]bool {
	used := map[string]bool{}
	for _, place := range sheet.Entries() {
		if k, position, _, ok := record.Locate(place); ok {
			used[k.Path(position)] = true
		}
	}
	return used
}

// beginnings search for the machines and the stock of a batch, for somebody who has no
// word yet.
func beginnings(c *frame.Call, sheet *answer.Sheet) (out []frame.Link) {
	used := recordsOf(sheet)
	for _, kind := range []string{"work_centres", "stocks"} {
		for _, r := range form.RecordsOf(c.Book, kind) {
			if name := form.NameOf(r); used[r.Path] && len(out) < mostCandidates {
				out = append(out, frame.Link{Label: name, Href: "/change?" + c.View.Query() + "&find=" + url.QueryEscape(name)})
			}
		}
	}
	return out
}

// rank puts numbers of the batch first, then other fields, then what may be taken away.
func rank(c candidate) int {
	switch {
	case c.used:
		return 0
	case c.Takes:
		return 2
	}
	return 1
}

// unset lists what the features of a part may have and do not.
func unset(value reflect.Value, typed recordform.Typed) (out []string) {
	part, _ := value.Interface().(bom.Part) // nothing of any other record
	for i, op := range part.Routing {
		for j, f := range op.Features {
			_, uses := f.Kind.Dimensions()
			for _, name := range uses {
				if place := "routing[" + strconv.Itoa(i) + "].features[" + strconv.Itoa(j) + "]." + name; typed[place] == "" {
					out = append(out, place)
				}
			}
		}
	}
	return out
}

// entriesOf lists the entries of lists that places lead into.
func entriesOf(typed recordform.Typed) []string {
	seen := map[string]bool{"": true} // the whole record
	for place := range typed {
		for at, b := range place {
			if b == ']' {
				seen[place[:at+1]] = true
			}
		}
	}
	maps.DeleteFunc(seen, func(place string, _ bool) bool { return typed[place] != "" })
	return slices.Sorted(maps.Keys(seen))
}
