package check

import (
	"fmt"
	"iter"
	"maps"
	"slices"

	"kerfbook/bom"
	"kerfbook/costing/text"
)

// index finds every record by its name and refuses names given twice.
func (c *checker) index() {
	b := c.book
	cards := make([]bom.ID, len(b.RateCards))
	for i := range b.RateCards {
		cards[i] = b.RateCards[i].ID
	}
	c.unique("rate_cards", "id", cards)
	c.known = indexes{
		centres:   c.unique("work_centres", "id", ids(b.WorkCentres, func(i int) bom.ID { return b.WorkCentres[i].ID })),
		materials: c.unique("materials", "id", ids(b.Materials, func(i int) bom.ID { return b.Materials[i].ID })),
		suppliers: c.unique("suppliers", "id", ids(b.Suppliers, func(i int) bom.ID { return b.Suppliers[i].ID })),
		metals:    c.unique("metal_prices", "id", ids(b.MetalPrices, func(i int) bom.ID { return b.MetalPrices[i].ID })),
		stocks:    c.unique("stocks", "id", ids(b.Stocks, func(i int) bom.ID { return b.Stocks[i].ID })),
		tools:     c.unique("tools", "id", ids(b.Tools, func(i int) bom.ID { return b.Tools[i].ID })),
		processes: c.unique("outside_processes", "id", ids(b.Processes, func(i int) bom.ID { return b.Processes[i].ID })),
		parts:     c.unique("parts", "number", ids(b.Parts, func(i int) bom.ID { return b.Parts[i].Number })),
		products:  c.unique("products", "number", ids(b.Products, func(i int) bom.ID { return b.Products[i].Number })),
		channels:  c.unique("channels", "id", ids(b.Channels, func(i int) bom.ID { return b.Channels[i].ID })),
	}
	c.unique("cutting_data", "id", ids(b.CuttingData, func(i int) bom.ID { return b.CuttingData[i].ID }))
	c.unique("factors", "id", ids(b.Factors, func(i int) bom.ID { return b.Factors[i].ID }))
	c.unique("overrides", "id", ids(b.Overrides, func(i int) bom.ID { return b.Overrides[i].ID }))
	for i := range b.Parts {
		if _, both := c.known.stocks[b.Parts[i].Number]; both {
			c.fail(entry("parts", i, "number"), "%s is also the name of a stock; an offer could not tell them apart, so rename one", b.Parts[i].Number)
		}
	}
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
	index := make(map[bom.ID]int, len(names))
	for i, name := range slices.Backward(names) {
		index[name] = i // the first of them stays
	}
	for i, first := range repeats(names, func(name bom.ID) bom.ID { return name }) {
		c.fail(entry(list, i, field), "%s is used twice; %s", names[i], c.firstUse(entry(list, first, field)))
	}
	return index
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

// refer checks that a name stands for a record; what is the word for such
// records. It may be entered later.
func (c *checker) refer(path string, name bom.ID, what string, index map[bom.ID]int) bool {
	return c.named(Gap, path, name, what, index)
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
