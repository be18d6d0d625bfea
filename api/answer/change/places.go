package change

import (
	"iter"
	"maps"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/book/record"
	"kerfbook/costing/text"
)

// Place is a place of a record that may be changed or taken away.
type Place struct {
	At, Label string
	Now       string // in plain notation
	Takes     bool   // what is there can only be taken away: an entry, or the whole record
	said      string
}

// Says reports whether the label or the value of a place has a word in small letters.
func (p Place) Says(word string) bool { return strings.Contains(p.said, word) }

// Places lists the records of a kind, each with its places, which are found once for each
// revision of a record and only if somebody asks.
func (s *Shelf) Places(k record.Kind) iter.Seq2[record.Record, func() []Place] {
	return func(yield func(record.Record, func() []Place) bool) {
		for i, h := range s.readable(k.Name) {
			if !yield(record.Record{Kind: k, ID: h.ID, Path: k.Path(i), Value: h.value}, h.places) {
				return
			}
		}
	}
}

// naming are fields that name what they stand in, or say how sure a number is.
var naming = []string{"id", "number", "name", "kind", "revision", "for", "low", "high", "shape", "sd"}

// placesOf lists fields, what features may have and do not, and entries.
func placesOf(k record.Kind, value reflect.Value) (out []Place) {
	fields := record.Fields(value, text.Digits)
	for _, at := range slices.Concat(slices.Sorted(maps.Keys(fields)), unset(value, fields), entriesOf(fields)) {
		if slices.Contains(naming, at[strings.LastIndex(at, ".")+1:]) {
			continue
		}
		p := Place{At: at, Label: FieldLabel(k.Name, value, at), Now: fields[at], Takes: at == "" || strings.HasSuffix(at, "]")}
		p.said = strings.ToLower(p.Label + " " + p.Now)
		out = append(out, p)
	}
	return out
}

// unset lists what the features of a part may have and do not.
func unset(value reflect.Value, fields map[string]string) (out []string) {
	part, _ := value.Interface().(bom.Part) // nothing of any other record
	for i, op := range part.Routing {
		for j, f := range op.Features {
			_, uses := f.Kind.Dimensions()
			for _, name := range uses {
				if at := "routing[" + strconv.Itoa(i) + "].features[" + strconv.Itoa(j) + "]." + name; fields[at] == "" {
					out = append(out, at)
				}
			}
		}
	}
	return out
}

// entriesOf lists the entries of lists that places lead into.
func entriesOf(fields map[string]string) []string {
	seen := map[string]bool{"": true} // the whole record
	for at := range fields {
		for end, b := range at {
			if b == ']' {
				seen[at[:end+1]] = true
			}
		}
	}
	maps.DeleteFunc(seen, func(at string, _ bool) bool { return fields[at] != "" })
	return slices.Sorted(maps.Keys(seen))
}
