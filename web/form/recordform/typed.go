package recordform

import (
	"maps"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/costing/book/record"
	"kerfbook/costing/text"
	"kerfbook/web/notation"
)

// Typed is what stands in the fields of a form, by their places in the record, such as
// routing[2].features[0].depth_mm. A range has its likely value at the place of the
// number and low, high, shape and sd below it. An entry of a list has a field of its own,
// routing[2], so that it is there before anything in it is.
type Typed map[string]string

// there stands in the place of a record or an entry that is there and says nothing.
const there = record.There

// Of gives the fields of a record, with numbers as a person writes them.
func Of(value reflect.Value, as notation.Style) Typed {
	return record.Fields(value, func(d decimal.Decimal) string { return as.Text(text.Digits(d)) })
}

func membersOf(t reflect.Type) []text.Member {
	out, _ := text.Members(t) // a type of the book has its text form
	return out
}

// filled are the places at which something is typed, and those above them.
func (t Typed) filled() map[string]bool {
	out := map[string]bool{}
	for at, written := range t {
		if strings.TrimSpace(written) == "" {
			continue
		}
		for end := len(at); end > 0 && !out[at[:end]]; end = strings.LastIndexAny(at[:end], ".[") {
			out[at[:end]] = true
		}
	}
	return out
}

// within says that a place lies below another.
func within(at, place string) bool {
	rest, ok := strings.CutPrefix(at, place)
	return ok && rest != "" && (rest[0] == '.' || rest[0] == '[')
}

// Count says how many entries a list has.
func (t Typed) Count(list string) int {
	count := 0
	for at := range t {
		if i, _, ok := position(at, list); ok {
			count = max(count, i+1)
		}
	}
	return count
}

// mostEntries bounds a list, whatever is sent.
const mostEntries = 5000

// position takes a place in an entry of a list apart.
func position(at, list string) (index int, rest string, ok bool) {
	behind, ok := strings.CutPrefix(at, list+"[")
	if !ok {
		return 0, "", false
	}
	digits, rest, ok := strings.Cut(behind, "]")
	index, err := strconv.Atoi(digits)
	return index, rest, ok && err == nil && index >= 0 && index < mostEntries
}

// Order gives a list the entries of the old one that are named, in that order; one that
// is named twice is copied.
func (t Typed) Order(list string, old []int) Typed {
	out := Typed{}
	for at, written := range t {
		index, rest, ok := position(at, list)
		if !ok {
			out[at] = written
			continue
		}
		for i, from := range old {
			if from == index {
				out[text.Index(list, i)+rest] = written
			}
		}
	}
	return out
}

// keys gives the keys of a table.
func (t Typed) keys(table string) []string {
	found := map[string]bool{}
	for at := range t {
		if !within(at, table) {
			continue
		}
		if way, err := text.Steps(at[len(table):]); err == nil && way[0].Index < 0 {
			found[way[0].Name] = true
		}
	}
	return slices.Sorted(maps.Keys(found))
}
