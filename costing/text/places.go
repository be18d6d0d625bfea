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

// Pointer writes a path as a JSON pointer: parts[2].kind becomes /parts/2/kind.
func Pointer(path string) string {
	var b strings.Builder
	escape := strings.NewReplacer("~", "~0", "/", "~1")
	for path != "" {
		cut := lastStep(path)
		step := strings.Trim(strings.TrimPrefix(path[cut:], "."), "[]")
		if text, err := strconv.Unquote(step); err == nil && step[0] == '"' {
			step = text
		}
		rest := b.String()
		b.Reset()
		b.WriteString("/" + escape.Replace(step) + rest)
		path = path[:cut]
	}
	return b.String()
}

func parent(path string) string { return path[:lastStep(path)] }

// lastStep finds where the last step of a path begins. A quoted key may hold
// any character, but its own quotes are escaped.
func lastStep(path string) int {
	if strings.HasSuffix(path, `"]`) {
		for at := strings.LastIndex(path, `["`); at > 0; at = strings.LastIndex(path[:at], `["`) {
			if _, err := strconv.Unquote(path[at+1 : len(path)-1]); err == nil {
				return at
			}
		}
		return 0
	}
	return max(strings.LastIndexAny(path, ".["), 0)
}
