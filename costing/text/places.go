package text

import (
	"regexp"
	"strconv"
	"strings"
)

// Position is a place in a text, counted from 1; columns count characters.
type Position struct{ Line, Column int }

// Places maps the path of every value read to its position in the text.
type Places map[string]Position

// Of gives the position of a path, or of the nearest value around it when there
// is nothing at the path itself; zero if nothing is known.
func (p Places) Of(path string) Position {
	for {
		if at, ok := p[path]; ok || path == "" {
			return at
		}
		path = parent(path)
	}
}

// Field gives the path of a field inside the record at path.
func Field(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

// Index gives the path of an entry of the list at path, counted from 0.
func Index(path string, i int) string { return path + "[" + strconv.Itoa(i) + "]" }

var plainKey = regexp.MustCompile(`^[A-Za-z_][A-Za-z0-9_-]*$`)

// Key gives the path of a value under a key of the map at path. A key that could
// be mistaken for other parts of a path is quoted: choices["1.5"].
func Key(path, key string) string {
	if plainKey.MatchString(key) {
		return Field(path, key)
	}
	return path + "[" + strconv.Quote(key) + "]"
}

// Step is one step of a path.
type Step struct {
	Name  string // of a field, or of a key of a table
	Index int    // of an entry of a list; -1 for a name
	At    int    // where it begins in the path
}

// Steps takes a path apart: routing[0].setup_min, choices["1.5"]. On an error it
// gives the steps before it.
func Steps(path string) ([]Step, error) {
	var out []Step
	for at := 0; at < len(path); {
		s := Step{Index: -1, At: at}
		rest := strings.TrimPrefix(path[at:], ".")
		inner, inBrackets := strings.CutPrefix(rest, "[")
		var err error
		switch {
		case !inBrackets:
			end := strings.IndexAny(rest, ".[")
			if end < 0 {
				end = len(rest)
			}
			s.Name, rest = rest[:end], rest[end:]
		case strings.HasPrefix(inner, `"`):
			var key string
			if key, err = strconv.QuotedPrefix(inner); err == nil {
				rest = strings.TrimPrefix(inner[len(key):], "]")
				s.Name, err = strconv.Unquote(key)
			}
		default:
			var digits string
			digits, rest, _ = strings.Cut(inner, "]")
			s.Index, err = strconv.Atoi(digits)
		}
		if err != nil {
			return out, err
		}
		out = append(out, s)
		at = len(path) - len(rest)
	}
	return out, nil
}

// Pointer writes a path as a JSON pointer: parts[2].kind becomes /parts/2/kind.
func Pointer(path string) string {
	var b strings.Builder
	escape := strings.NewReplacer("~", "~0", "/", "~1")
	way, _ := Steps(path) // paths are written by this package
	for _, s := range way {
		if s.Index >= 0 {
			s.Name = strconv.Itoa(s.Index)
		}
		b.WriteString("/" + escape.Replace(s.Name))
	}
	return b.String()
}

// parent takes the last step off a path.
func parent(path string) string {
	way, _ := Steps(path)
	if len(way) == 0 {
		return ""
	}
	return path[:way[len(way)-1].At]
}
