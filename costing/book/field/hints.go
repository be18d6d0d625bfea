package field

import (
	"reflect"
	"slices"
	"strings"
	"unicode"

	"kerfbook/costing/text"
)

// Hints are what the dictionary tells the reader of a text.
type Hints struct{}

var _ text.Hints = Hints{}

// Says tells what a field is, with an example.
func (Hints) Says(in reflect.Type, field string) string {
	e, ok := Of(in, field)
	if !ok {
		return ""
	}
	what := []rune(strings.TrimSuffix(e.About, "."))
	what[0] = unicode.ToLower(what[0])
	if e.Example == "" || len(e.Words) > 0 {
		return string(what)
	}
	return string(what) + ", such as " + e.Example
}

// Meant finds the field that a name means which none has: by its label, or as the only
// one whose label and description hold every word of the name.
func (Hints) Meant(in reflect.Type, name string) (field string, ok bool) {
	all := All(in)
	labels, fields := make([]string, len(all)), map[string]string{}
	for i, e := range all {
		labels[i] = strings.ReplaceAll(e.Label, " ", "_")
		fields[labels[i]] = e.Name
	}
	if label, near := text.Nearest(name, labels); near {
		return fields[label], true
	}
	stem, _ := Unit(strings.ToLower(name))
	for _, e := range all {
		if !e.speaksOf(strings.FieldsFunc(stem, notLetter)) {
			continue
		}
		if ok {
			return "", false // either may be meant
		}
		field, ok = e.Name, true
	}
	return field, ok
}

// speaksOf reports whether label or description hold all words, as far as their first
// letters go: weigh of weight.
func (e Entry) speaksOf(words []string) bool {
	const enough = 4 // letters
	said := strings.FieldsFunc(strings.ToLower(e.Label+" "+e.About), notLetter)
	return len(words) > 0 && !slices.ContainsFunc(words, func(w string) bool {
		return !slices.ContainsFunc(said, func(s string) bool {
			return s == w || len(w) > enough && len(s) >= enough && strings.HasPrefix(w, s) || len(w) >= enough && strings.HasPrefix(s, w)
		})
	})
}

func notLetter(r rune) bool { return !unicode.IsLetter(r) }
