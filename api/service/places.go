package service

import (
	"fmt"
	"strconv"
	"strings"

	"kerfbook/costing/text"
)

func index(list string, i int) string { return text.Index(list, i) }

// step is one step of a path: a field, an entry of a list, or a key of a table.
type step struct {
	name  string // of the field or key
	index int    // of the entry; -1 for a name
}

// steps takes a path apart: routing[0].setup_min, choices["1.5"].
func steps(path string) ([]step, error) {
	var out []step
	for rest := path; rest != ""; {
		var s step
		var err error
		if s, rest, err = firstStep(rest); err != nil {
			return nil, fmt.Errorf("%q is no place in a record: %w", path, err)
		}
		out = append(out, s)
	}
	return out, nil
}

func firstStep(path string) (s step, rest string, err error) {
	if !strings.HasPrefix(path, "[") {
		path = strings.TrimPrefix(path, ".")
		end := strings.IndexAny(path, ".[")
		if end < 0 {
			end = len(path)
		}
		return step{path[:end], -1}, path[end:], nil
	}
	inner := path[1:]
	if strings.HasPrefix(inner, `"`) {
		quoted, err := strconv.QuotedPrefix(inner)
		if err != nil {
			return step{}, "", err
		}
		key, err := strconv.Unquote(quoted)
		return step{key, -1}, strings.TrimPrefix(inner[len(quoted):], "]"), err
	}
	digits, rest, _ := strings.Cut(inner, "]")
	n, err := strconv.Atoi(digits)
	return step{"", n}, rest, err
}

// locate says which record a path of the book is in, by kind and place in the
// list, and the rest of the path. It is not ok for a path to no record, such as
// that of a whole list.
func locate(path string) (k kind, position int, rest string, ok bool) {
	first, rest, err := firstStep(path)
	if err != nil || path == "" {
		return kind{}, 0, "", false
	}
	if memberOf(kinds[0].typ, first.name) >= 0 {
		return kinds[0], 0, path, true
	}
	if k, err = kindOf(first.name); err != nil {
		return kind{}, 0, "", false
	}
	if k.only {
		return k, 0, strings.TrimPrefix(rest, "."), true
	}
	entry, rest, err := firstStep(rest)
	if err != nil || entry.index < 0 || entry.name != "" {
		return kind{}, 0, "", false
	}
	return k, entry.index, strings.TrimPrefix(rest, "."), true
}
