package papers

import (
	"maps"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"kerfbook/api/service/promise"
	"kerfbook/costing/book"
	"kerfbook/costing/papers/quote"
	"kerfbook/web/form"
)

// askedAs begins the name of the hidden field that keeps which product and which
// choices a line was asked for with.
const askedAs = "as."

// formLine is one line of goods of the form. Its key is the trim; a quote that
// has the trim more than once, with other choices, has keys such as glow~2: no id
// of the book has that character.
type formLine struct {
	key, product, trim, name string
	choices                  map[string]string
	part                     string // by itself, in the place of product and trim
}

// partKey is the key of the line of a part: no id of the book begins like it.
func partKey(number string) string { return "~" + number }

// partLines lists the parts by themselves that are on the form.
func partLines(b *book.Book, values map[string]string) []formLine {
	var out []formLine
	for i := range b.Parts {
		p := &b.Parts[i]
		if _, asked := values[askedAs+partKey(string(p.Number))]; asked {
			out = append(out, formLine{key: partKey(string(p.Number)), name: p.Name, part: string(p.Number)})
		}
	}
	return out
}

// addPart puts a line for a part on the form.
func addPart(values map[string]string, number, quantity, margin string) {
	key := partKey(number)
	values[askedAs+key], values["q."+key], values["m."+key] = "part", quantity, margin
}

// formLines lists the parts by themselves that are asked for; or else every trim of the
// book, each followed by the further lines that were asked for of it.
func formLines(b *book.Book, values map[string]string) []formLine {
	if parts := partLines(b, values); len(parts) > 0 {
		return parts
	}
	var out []formLine
	for _, p := range b.Products {
		for _, t := range p.Trims {
			for _, key := range keysOf(string(t.ID), values) {
				product, choices := askedWith(values[askedAs+key])
				if product != "" && product != string(p.Number) {
					continue
				}
				out = append(out, formLine{key: key, product: string(p.Number), trim: string(t.ID), name: lineName(b.TrimName(&p, &t), choices), choices: choices})
			}
		}
	}
	return out
}

// keysOf gives the keys of the lines of a trim.
func keysOf(trim string, values map[string]string) []string {
	keys := []string{trim}
	for n := 2; ; n++ {
		key := trim + "~" + strconv.Itoa(n)
		if _, ok := values[askedAs+key]; !ok {
			return keys
		}
		keys = append(keys, key)
	}
}

// lineKeys gives the keys of the lines that are asked for, in their order in the
// request.
func lineKeys(b *book.Book, values map[string]string) []string {
	var keys []string
	for _, l := range formLines(b, values) {
		if strings.TrimSpace(values["q."+l.key]) != "" {
			keys = append(keys, l.key)
		}
	}
	return keys
}

// fillLines fills the form with lines that were asked for.
func fillLines(values map[string]string, lines []quote.RequestLine) {
	count := map[string]int{}
	for _, l := range lines {
		if l.Part != "" {
			addPart(values, l.Part, l.Quantity, form.PercentText(l.Margin))
			values["b."+partKey(l.Part)] = l.Batch
			continue
		}
		key := l.Trim
		if count[l.Trim]++; count[l.Trim] > 1 {
			key += "~" + strconv.Itoa(count[l.Trim])
		}
		kept := url.Values{"product": {l.Product}}
		for option, choice := range l.Choices {
			kept.Set("choice."+option, choice)
		}
		values["q."+key], values["b."+key], values[askedAs+key] = l.Quantity, l.Batch, kept.Encode()
	}
}

// askedWith reads the hidden field of a line.
func askedWith(kept string) (product string, choices map[string]string) {
	fields, err := url.ParseQuery(kept)
	if err != nil {
		return "", nil
	}
	for name := range fields {
		if option, ok := strings.CutPrefix(name, "choice."); ok {
			if choices == nil {
				choices = map[string]string{}
			}
			choices[option] = fields.Get(name)
		}
	}
	return fields.Get("product"), choices
}

// lineName tells lines of one trim apart by what was chosen.
func lineName(trim string, choices map[string]string) string {
	var chosen []string
	for _, option := range slices.Sorted(maps.Keys(choices)) {
		chosen = append(chosen, option+" "+choices[option])
	}
	if len(chosen) == 0 {
		return trim
	}
	return trim + " with " + strings.Join(chosen, ", ")
}

// daysOf counts the days a quote was good for, 0 if its days cannot be read.
func daysOf(d promise.Quote) int {
	from, err := time.Parse(time.DateOnly, string(d.IssuedOn))
	if err != nil {
		return 0
	}
	until, err := time.Parse(time.DateOnly, string(d.ValidUntil))
	if err != nil {
		return 0
	}
	return int(until.Sub(from) / (24 * time.Hour))
}
