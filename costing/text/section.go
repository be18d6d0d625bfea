package text

import (
	"bytes"
	"strings"

	"go.yaml.in/yaml/v3"
)

// Section is a field of the outermost mapping as it stands in a text; the sections of a
// text and what is below the last make up the text.
type Section struct {
	Name string
	// Head goes from the comments and empty lines above the field to its colon, and Body
	// from there to the end of its last line. Of a list in block form the body is the
	// rest of the line of the name alone, and each entry is its lines with those above.
	Head, Body []byte
	Entries    [][]byte
	Value      []byte // the field alone, without a comment behind it; of no list in block form
}

// Sections takes a text apart that is written field below field; ok is false for one
// that is not, such as JSON.
func Sections(written []byte) (sections []Section, foot []byte, ok bool) {
	d, problem := newDocument(written)
	if problem != nil || d.root.Kind != yaml.MappingNode || isFlow(d.root) {
		return nil, nil, false
	}
	pieces := d.pieces(d.root)
	pieces[0].start = 0 // a line of --- may stand above
	for i, p := range pieces {
		name, value := d.root.Content[2*i], d.root.Content[2*i+1]
		colon := d.colon(name)
		s := Section{Name: name.Value, Head: d.data[p.start:colon], Body: d.data[colon:p.end]}
		switch entries := d.pieces(value); {
		case value.Kind == yaml.SequenceNode && !isFlow(value):
			s.Body = d.data[colon:entries[0].start]
			for _, e := range entries {
				s.Entries = append(s.Entries, d.data[e.start:e.end])
			}
		case !isNull(value):
			s.Value = d.data[d.starts[value]:d.end(value)]
		}
		sections = append(sections, s)
	}
	sections[0].Head = append(bytes.Clone(written[:len(written)-len(d.data)]), sections[0].Head...) // with the byte order mark
	return sections, d.data[pieces[len(pieces)-1].end:], true
}

// Outdented gives an entry of a list, or what is set in, as a text of its own, from its
// comments on: without dash and indentation, lines ended by \n.
func Outdented(written []byte) []byte {
	lines := strings.SplitAfter(strings.ReplaceAll(string(written), "\r\n", "\n"), "\n")
	first := 0 // that says something
	for first < len(lines)-1 && saysNothing(lines[first]) {
		first++
	}
	rest := strings.TrimLeft(lines[first], " ")
	dash := len(lines[first]) - len(rest)
	indent := dash
	if after, listed := strings.CutPrefix(rest, "- "); listed {
		rest = strings.TrimLeft(after, " ")
		indent = len(lines[first]) - len(rest)
	}
	var out strings.Builder
	for i, line := range lines {
		most := indent
		switch {
		case i < first:
			most = dash
		case i == first:
			line, most = rest, 0
		}
		if most > 0 {
			line = line[min(most, len(line)-len(strings.TrimLeft(line, " "))):]
		}
		if out.Len() > 0 || strings.TrimSpace(line) != "" {
			out.WriteString(line)
		}
	}
	return []byte(out.String())
}

func saysNothing(line string) bool {
	line = strings.TrimSpace(line)
	return line == "" || line[0] == '#'
}

// LineEnd is how lines of a text end.
func LineEnd(written []byte) string {
	if bytes.Contains(written, []byte("\r\n")) {
		return "\r\n"
	}
	return "\n"
}

// Indented puts a text of its own into the place of another, which is an entry of a list
// or set in: behind as many empty lines, with the same dash, indentation and line ends.
func Indented(written, like []byte) []byte {
	end := LineEnd(like)
	lines := strings.Split(strings.ReplaceAll(string(like), "\r\n", "\n"), "\n")
	first := 0
	for first < len(lines)-1 && saysNothing(lines[first]) {
		first++
	}
	rest := strings.TrimLeft(lines[first], " ")
	above := strings.Repeat(" ", len(lines[first])-len(rest))
	begin, indent := above, above
	if after, listed := strings.CutPrefix(rest, "- "); listed {
		begin = lines[first][:len(lines[first])-len(strings.TrimLeft(after, " "))]
		indent = strings.Repeat(" ", len(begin))
	}
	out := emptyLines(string(like))
	before := above // of the first line that says something
	for line := range strings.Lines(strings.Trim(strings.ReplaceAll(string(written), "\r\n", "\n"), "\n")) {
		line = strings.TrimRight(line, "\n")
		switch {
		case strings.TrimSpace(line) == "":
		case before == indent:
			line = indent + line
		case saysNothing(line):
			line = above + line
		default:
			line, before = begin+line, indent
		}
		out += line + end
	}
	return []byte(out)
}
