package field

import (
	"cmp"
	"maps"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"sync"

	"kerfbook/costing/text"
)

// Says puts a word that a field takes as people say it.
func Says(word reflect.Value) string {
	value := word.String()
	if _, ok := word.Interface().(text.Words); !ok {
		return value
	}
	return cmp.Or(sheetOf(wordsFile).Words[word.Type().String()][value], strings.ReplaceAll(value, "_", " "))
}

// Named is the label of a field with its unit, as a head or a name beside its value.
func (e Entry) Named() string {
	unit := strings.TrimPrefix(e.Unit, "money ")
	if unit == "" || unit == "money" || strings.HasSuffix(e.Label, unit) {
		return e.Label
	}
	return e.Label + ", " + unit
}

// Spoken puts the names of fields and the words of the book in a sentence as people say
// them: special_direct becomes the label of that field, copper.end_mill two words.
func Spoken(sentence string) string {
	return names.ReplaceAllStringFunc(sentence, func(name string) string {
		known := false
		parts := strings.Split(name, ".")
		for i, part := range parts {
			if said := called()[part]; said != "" {
				parts[i], known = said, true
			}
		}
		if !known {
			return name
		}
		return strings.Join(parts, ", ")
	})
}

var names = regexp.MustCompile(`[A-Za-z0-9-]+([._][A-Za-z0-9-]+)+`)

// called gives what people say for the names that they would not: fields by their
// labels, between quotes, and words.
var called = sync.OnceValue(func() map[string]string {
	out := map[string]string{}
	types := homes()
	for _, t := range slices.SortedFunc(maps.Keys(types), func(a, b reflect.Type) int { return strings.Compare(a.String(), b.String()) }) {
		for _, e := range All(t) {
			for _, w := range e.Words {
				if strings.Contains(w.Value, "_") {
					out[w.Value] = strings.ReplaceAll(w.Value, "_", " ")
				}
			}
			if strings.Contains(e.Name, "_") && out[e.Name] == "" {
				out[e.Name] = "“" + e.Label + "”"
			}
		}
	}
	return out
})
