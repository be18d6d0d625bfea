package text

import (
	"bytes"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"
)

// Tidy writes what v says as [Encode] does, with the comments of the text that says it: one
// above what it stood above, one behind on the line of what it stood behind. One empty line
// stays above sections and their entries.
func Tidy(written []byte, v any) ([]byte, error) {
	canonical, err := Encode(v)
	if err != nil {
		return nil, err
	}
	from, problem := newDocument(written)
	if problem != nil {
		return nil, NewErrors([]Error{*problem})
	}
	to, problem := newDocument(canonical)
	if problem != nil {
		return nil, NewErrors([]Error{*problem})
	}
	places := map[string]item{}
	for _, it := range to.items() {
		places[it.path] = it
	}
	lines := make([]margin, len(to.lines)+1)
	for _, r := range from.remarks() {
		it, ok := places[r.path]
		for !ok && r.path != "" { // said without need, so that it is not written
			r.path = parent(r.path)
			it, ok = places[r.path]
		}
		switch {
		case !ok:
			lines[len(to.lines)-1].add(r) // of the empty line behind the last
		case r.place == below:
			lines[it.last].add(r)
		default:
			lines[it.line].add(r)
		}
	}
	var out strings.Builder
	for i, line := range bytes.SplitAfter(canonical, []byte("\n")) {
		lines[i].write(&out, string(line))
	}
	return []byte(strings.ReplaceAll(out.String(), "\n", from.newline())), nil
}

// item is a field or an entry of a list, where its text begins and ends.
type item struct {
	path       string
	start      int
	column     int // counted in bytes
	line, last int // counted from 0
}

// items lists all of a text, those around before those inside.
func (d *document) items() []item {
	var out []item
	var walk func(n *yaml.Node, path string)
	add := func(path string, start int, value *yaml.Node) {
		begin, _ := d.lineStart(start)
		out = append(out, item{path, start, start - begin, d.lineOf(start), d.lineOf(d.end(value))})
		walk(value, path)
	}
	walk = func(n *yaml.Node, path string) {
		switch n.Kind {
		case yaml.SequenceNode:
			for i, entry := range n.Content {
				start := d.starts[entry]
				if begin, _ := d.lineStart(start); !isFlow(n) { // from its dash on
					start = begin + max(bytes.IndexByte(d.data[begin:start], '-'), 0)
				}
				add(Index(path, i), start, entry)
			}
		case yaml.MappingNode:
			for i := 0; i+1 < len(n.Content); i += 2 {
				add(Key(path, n.Content[i].Value), d.starts[n.Content[i]], n.Content[i+1])
			}
		}
	}
	walk(d.root, "")
	return out
}

func (d *document) lineOf(at int) int {
	i, found := slices.BinarySearch(d.lines, at)
	if !found {
		i--
	}
	return i
}

// place is where a remark stands beside what it is about.
type place int

const (
	above place = iota
	behind
	below // set in deeper than what comes next
)

// remark is a comment, or an empty line.
type remark struct {
	path  string // of what it is about; empty at the foot of the text
	place place
	text  string
}

// remarks lists those of a text, in order.
func (d *document) remarks() []remark {
	var out []remark
	items, scalars := d.items(), d.scalars(d.root, nil)
	next, inside := 0, 0 // the first item, and the first scalar, that end behind a line
	for number, begin := range d.lines {
		end := d.lineEnd(begin)
		for inside < len(scalars) && scalars[inside].end <= begin {
			inside++
		}
		at := d.comment(begin, end, scalars[inside:])
		written := strings.TrimSpace(string(d.data[begin:end]))
		if at < 0 && (written != "" || inside < len(scalars) && scalars[inside].start < begin) {
			continue
		}
		for next < len(items) && items[next].start < max(at, begin) {
			next++
		}
		r := remark{}
		if next < len(items) {
			r.path = items[next].path
		}
		if at >= 0 {
			r.text = strings.TrimSpace(string(d.data[at:end]))
			switch column := at - begin; {
			case written != r.text:
				r.path, r.place = items[next-1].path, behind
			case next > 0 && next < len(items) && column > items[next].column:
				r.path, r.place = items[d.beside(items[:next], column)].path, below
			}
		} else if strings.Contains(r.path, ".") || number == len(d.lines)-1 {
			continue
		}
		out = append(out, r)
	}
	return out
}

// beside finds the last item that begins in the column of a comment; the last one at all
// where none does.
func (d *document) beside(items []item, column int) int {
	for i, it := range slices.Backward(items) {
		if it.column == column {
			return i
		}
	}
	return len(items) - 1
}

// scalars lists where single values and names stand.
func (d *document) scalars(n *yaml.Node, out []piece) []piece {
	if n.Kind == yaml.ScalarNode {
		return append(out, piece{d.starts[n], d.end(n)})
	}
	for _, child := range n.Content {
		out = d.scalars(child, out)
	}
	return out
}

// comment finds where one begins on a line, outside of values; -1 for none.
func (d *document) comment(begin, end int, scalars []piece) int {
	for at := begin; at < end; at++ {
		for len(scalars) > 0 && scalars[0].end <= at {
			scalars = scalars[1:]
		}
		if len(scalars) > 0 && scalars[0].start <= at {
			at = scalars[0].end - 1
			continue
		}
		if d.data[at] == '#' {
			return at
		}
	}
	return -1
}

// margin is what stands around a line.
type margin struct {
	above, below []string
	behind       string
}

func (m *margin) add(r remark) {
	switch {
	case r.place == behind && r.text != "":
		m.behind += " " + r.text
	case r.place == below:
		m.below = append(m.below, r.text)
	case r.text != "" || len(m.above) == 0 || m.above[len(m.above)-1] != "":
		m.above = append(m.above, r.text)
	}
}

func (m *margin) write(out *strings.Builder, line string) {
	indent := line[:len(line)-len(strings.TrimLeft(line, " "))]
	remarks := func(list []string) {
		for _, text := range list {
			if text != "" {
				out.WriteString(indent + text + "\n")
			} else if out.Len() > 0 {
				out.WriteString("\n")
			}
		}
	}
	remarks(m.above)
	if m.behind != "" {
		line = strings.TrimRight(line, "\n") + " " + m.behind + "\n"
	}
	out.WriteString(line)
	remarks(m.below)
}
