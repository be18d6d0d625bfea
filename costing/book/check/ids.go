package check

import (
	"fmt"
	"iter"
	"maps"
	"slices"

	"kerfbook/bom"
	"kerfbook/costing/book/field"
	"kerfbook/costing/book/record"
	"kerfbook/costing/text"
)

// index finds every record by its name and refuses names given twice. Carriers, offers
// and prices may stand there several times, for other days or channels.
func (c *checker) index() {
	c.known = map[string]map[bom.ID]int{}
	for _, k := range record.Kinds() {
		records, field := k.Take(c.book), ""
		names := ids(records, func(i int) bom.ID {
			all, in := k.Identify(records[i])
			field = in
			return bom.ID(all[0])
		})
		if k.Name == "carriers" || k.Name == "offers" || k.Name == "prices" {
			c.known[k.Name] = indexOf(names)
		} else {
			c.known[k.Name] = c.unique(k.Name, field, names)
		}
	}
	for i := range c.book.Parts {
		number := c.book.Parts[i].Number
		if _, both := c.known["stocks"][number]; both {
			c.fail(entry("parts", i, "number"), "%s is also the name of a stock; an offer could not tell them apart, so rename one", number)
		}
	}
}

// indexOf says where each name stands first.
func indexOf(names []bom.ID) map[bom.ID]int {
	index := make(map[bom.ID]int, len(names))
	for i, name := range slices.Backward(names) {
		index[name] = i
	}
	return index
}

func ids[T any](records []T, id func(i int) bom.ID) []bom.ID {
	list := make([]bom.ID, len(records))
	for i := range list {
		list[i] = id(i)
	}
	return list
}

// unique gives where each name of a list is and refuses repetitions.
func (c *checker) unique(list, field string, names []bom.ID) map[bom.ID]int {
	for i, first := range repeats(names, func(name bom.ID) bom.ID { return name }) {
		c.fail(entry(list, i, field), "%s is used twice; %s", names[i], c.firstUse(entry(list, first, field)))
	}
	return indexOf(names)
}

// repeats gives each place of a list whose key stands before it too, with the first
// place that has it.
func repeats[T any, K comparable](list []T, key func(T) K) iter.Seq2[int, int] {
	return func(yield func(i, first int) bool) {
		seen := make(map[K]int, len(list))
		for i, one := range list {
			if first, twice := seen[key(one)]; !twice {
				seen[key(one)] = i
			} else if !yield(i, first) {
				return
			}
		}
	}
}

// distinct wants the names of a list told apart by the letters their keys keep.
func distinct[T any](c *checker, path string, list []T, name func(T) string) {
	for i, first := range repeats(list, func(one T) string { return bom.Slug(name(one)) }) {
		c.fail(entry(path, i, "name"), "named like another; %s", c.firstUse(text.Index(path, first)))
	}
}

func (c *checker) firstUse(path string) string {
	if at := c.places.Of(path); at.Line > 0 {
		return fmt.Sprintf("the first is on line %d", at.Line)
	}
	return "the first is " + path
}

// refer checks that a name stands for a record of a kind, which may be entered later. No
// name refers to nothing.
func (c *checker) refer(path string, name bom.ID, kind string) bool {
	about, _ := field.KindOf(kind)
	return name != "" && c.named(Gap, path, name, about.One, c.known[kind])
}

// named checks that a name is one of an index.
func (c *checker) named(severity Severity, path string, name bom.ID, what string, index map[bom.ID]int) bool {
	if _, ok := index[name]; ok {
		return true
	}
	c.add(severity, path, fmt.Sprintf("there is no %s %s%s", what, name, nearest(name, slices.Collect(maps.Keys(index)))))
	return false
}

// nearest words a suggestion for a name that stands for nothing.
func nearest(name bom.ID, known []bom.ID) string {
	words := make([]string, len(known))
	for i, id := range known {
		words[i] = string(id)
	}
	slices.Sort(words)
	if near, ok := text.Nearest(string(name), words); ok {
		return "; did you mean " + near + "?"
	}
	return ""
}
