package text

import (
	"bytes"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"
)

// document is a text with the place in its bytes of all it says.
type document struct {
	data   []byte
	root   *yaml.Node
	lines  []int // where each begins
	starts map[*yaml.Node]int
}

func newDocument(data []byte) (*document, *Error) {
	data, problem := scan(data)
	if problem != nil {
		return nil, problem
	}
	root, ok := parseJSON(data)
	if !ok {
		if root, problem = parse(data); problem != nil {
			return nil, problem
		}
	}
	plain := &decoder{}
	if plain.inspect(root, "", 1); len(plain.errors) > 0 { // anchors and the like, which no record has
		return nil, &plain.errors[0]
	}
	d := &document{data: data, root: root, lines: []int{0}, starts: map[*yaml.Node]int{}}
	for i, c := range data {
		if c == '\n' || c == '\r' && !bytes.HasPrefix(data[i+1:], []byte("\n")) {
			d.lines = append(d.lines, i+1)
		}
	}
	d.place(root, &cursor{1, 1, 0})
	return d, d.unusual(root)
}

// cursor is a place in a text, counted in both ways.
type cursor struct{ line, column, at int }

// place notes where a node begins and all that is in it. Nodes come in the order of the
// text, so that a long line is walked along once.
func (d *document) place(n *yaml.Node, c *cursor) {
	if n.Line != c.line || n.Column < c.column {
		*c = cursor{n.Line, 1, d.lines[min(n.Line, len(d.lines))-1]}
	}
	for ; c.column < n.Column && c.at < len(d.data); c.column++ {
		_, size := utf8.DecodeRune(d.data[c.at:])
		c.at += size
	}
	d.starts[n] = c.at
	for _, child := range n.Content {
		d.place(child, c)
	}
}

// unusual finds what takes up no lines that can be told: a name without its colon behind
// it on its line, as after a ?, and no value at all, but for a field of the whole text.
func (d *document) unusual(n *yaml.Node) *Error {
	for i, child := range n.Content {
		if n.Kind == yaml.MappingNode && i%2 == 0 && !bytes.HasPrefix(bytes.TrimLeft(d.data[d.end(child):], " \t"), []byte(":")) {
			return &Error{child.Line, child.Column, "", "write this name with its colon behind it on the same line"}
		}
		if isNull(child) && child.Value == "" && (n != d.root || n.Kind != yaml.MappingNode) {
			return &Error{child.Line, child.Column, "", "no value is given; write one"}
		}
		if found := d.unusual(child); found != nil {
			return found
		}
	}
	return nil
}

func isFlow(n *yaml.Node) bool { return n.Style&yaml.FlowStyle != 0 }

// end is where the text of a node ends.
func (d *document) end(n *yaml.Node) int {
	at := d.starts[n]
	switch {
	case n.Kind == yaml.ScalarNode:
		return d.scalarEnd(n, at)
	case len(n.Content) > 0:
		at = d.end(n.Content[len(n.Content)-1])
	default:
		at++ // past the bracket
	}
	if !isFlow(n) {
		return at
	}
	for ; at < len(d.data); at++ {
		switch d.data[at] {
		case '#':
			at = d.lineEnd(at) - 1
		case ']', '}':
			return at + 1
		}
	}
	return at
}

// scalarEnd looks for closing quotes; a value without them ends where as many letters
// have been passed as it has, since only blanks and line ends are written otherwise.
func (d *document) scalarEnd(n *yaml.Node, at int) int {
	switch {
	case n.Style&yaml.DoubleQuotedStyle != 0:
		for at++; at < len(d.data) && d.data[at] != '"'; at++ {
			if d.data[at] == '\\' {
				at++
			}
		}
		return min(at+1, len(d.data))
	case n.Style&yaml.SingleQuotedStyle != 0:
		for at++; at < len(d.data) && (d.data[at] != '\'' || bytes.HasPrefix(d.data[at:], []byte("''"))); at++ {
			if d.data[at] == '\'' {
				at++
			}
		}
		return min(at+1, len(d.data))
	}
	letters := 0
	for _, word := range strings.Fields(n.Value) {
		letters += len(word)
	}
	if n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0 {
		if letters == 0 {
			return at + 1
		}
		at = d.lineEnd(at)
	}
	for letters > 0 && at < len(d.data) {
		if !isBlank(d.data[at]) {
			letters--
		}
		at++
	}
	return at
}

func isBlank(c byte) bool { return c == ' ' || c == '\t' || c == '\r' || c == '\n' }

// lineEnd is behind the end of the line that a place is on.
func (d *document) lineEnd(at int) int {
	if at > 0 && at == len(d.data) {
		return at
	}
	for at < len(d.data) && d.data[at] != '\n' && d.data[at] != '\r' {
		at++
	}
	switch {
	case bytes.HasPrefix(d.data[at:], []byte("\r\n")):
		return at + 2
	case at < len(d.data):
		return at + 1
	}
	return at
}

// lineStart is where the line of a place begins, and whether nothing but blanks stands
// before the place.
func (d *document) lineStart(at int) (start int, first bool) {
	start = at
	for start > 0 && d.data[start-1] != '\n' && d.data[start-1] != '\r' {
		start--
	}
	return start, len(bytes.TrimLeft(d.data[start:at], " ")) == 0
}

// piece is an entry of a list, or a field with its name. In block form it is whole lines,
// with the comments and empty lines above; only the first may begin within a line.
type piece struct{ start, end int }

// pieces lists those of a list or mapping.
func (d *document) pieces(n *yaml.Node) []piece {
	step := 1
	if n.Kind == yaml.MappingNode {
		step = 2
	}
	var out []piece
	for i := 0; i+step <= len(n.Content); i += step {
		p := piece{d.starts[n.Content[i]], 0}
		if last := n.Content[i+step-1]; isNull(last) && last.Value == "" {
			p.end = d.colon(n.Content[i])
		} else {
			p.end = d.end(last)
		}
		if !isFlow(n) {
			p.end = d.lineEnd(p.end)
			if len(out) > 0 {
				p.start = out[len(out)-1].end
			} else {
				p.start = d.above(d.starts[n])
			}
		}
		out = append(out, p)
	}
	return out
}

// colon is behind the one that ends the name of a field.
func (d *document) colon(name *yaml.Node) int {
	at := d.end(name)
	return at + bytes.IndexByte(d.data[at:], ':') + 1
}

// above is where the comments and empty lines above a place begin; the place itself if
// something else stands before it on its line.
func (d *document) above(at int) int {
	start, first := d.lineStart(at)
	if !first {
		return at
	}
	for start > 0 {
		before, _ := d.lineStart(start - 1)
		if bytes.HasSuffix(d.data[:start], []byte("\r\n")) {
			before, _ = d.lineStart(start - 2)
		}
		if line := bytes.TrimSpace(d.data[before:start]); len(line) > 0 && line[0] != '#' {
			break
		}
		start = before
	}
	return start
}

// newline is how the text ends its lines.
func (d *document) newline() string {
	if at := bytes.IndexByte(d.data, '\n'); at > 0 && d.data[at-1] == '\r' {
		return "\r\n"
	}
	return "\n"
}

// splice is a piece of text in the place of another.
type splice struct {
	start, end int
	text       string
}

// spliced gives what stands between two places with splices, which are in order, made.
func (d *document) spliced(start, end int, splices []splice) string {
	var out strings.Builder
	for _, s := range splices {
		out.Write(d.data[start:s.start])
		out.WriteString(s.text)
		start = s.end
	}
	out.Write(d.data[start:end])
	return out.String()
}
