package graph

import (
	"fmt"
	"slices"
	"strings"
)

// widest is how many terms a person reads as one sum.
const widest = 60

// term is what a sum takes as one: an argument, two that are multiplied, or a partial
// sum. First and last are the things it is of.
type term struct {
	args        []ID
	place       string
	first, last string
}

// gather adds a sum, a smallest or a largest of any number of terms, each of so many
// arguments. Where they are more than a person reads at once, they are taken together
// in partial figures that say from where to where they go. They go by key: each partial
// sum is rounded, and no figure may depend on the place of a record in its list.
func (s Scope) gather(name, label string, op Op, size int, args []ID) ID {
	if len(args) <= widest*size || slices.ContainsFunc(args, func(a ID) bool { return !s.b.has(a) }) {
		return s.compute(name, label, op, args...)
	}
	var terms []term
	for pair := range slices.Chunk(slices.Clone(args), size) {
		t := term{args: pair, first: s.b.at(pair[size-1]).of}
		t.last = t.first
		for _, a := range pair {
			t.place += byNumber(s.b.at(a).key()) + " "
		}
		terms = append(terms, t)
	}
	slices.SortStableFunc(terms, func(x, y term) int { return strings.Compare(x.place, y.place) })
	for level := 1; len(terms) > widest; level++ {
		part := name + strings.Repeat("-part", level)
		parts := make([]term, (len(terms)+widest-1)/widest)
		for i := range parts {
			of := terms[i*len(terms)/len(parts) : (i+1)*len(terms)/len(parts)]
			t := term{first: of[0].first, last: of[len(of)-1].last}
			t.args = []ID{s.compute(fmt.Sprintf("%s-%d", part, i+1), label+", "+t.words(i+1, len(parts)), op, together(of)...)}
			parts[i] = t
		}
		if terms = parts; op == SumProducts {
			op = Add
		}
	}
	return s.compute(name, label, op, together(terms)...)
}

// words say which terms of a sum a part of it takes.
func (t term) words(number, of int) string {
	if t.first == t.last || t.first == "" || t.last == "" {
		return fmt.Sprintf("part %d of %d", number, of)
	}
	return "from " + t.first + " to " + t.last
}

func together(terms []term) []ID {
	var args []ID
	for _, t := range terms {
		args = append(args, t.args...)
	}
	return args
}

// byNumber writes a key so that operation 20 comes before operation 100: each number
// behind the count of its digits.
func byNumber(key string) string {
	var out strings.Builder
	for i := 0; i < len(key); {
		digits := len(key[i:]) - len(strings.TrimLeft(key[i:], "0123456789"))
		if digits > 0 {
			out.WriteByte(byte(digits))
		}
		out.WriteString(key[i : i+max(digits, 1)])
		i += max(digits, 1)
	}
	return out.String()
}
