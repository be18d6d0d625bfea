package text

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"
)

// parse turns text into its one document. The parser stops at the first error
// of syntax, so there is at most one.
func parse(data []byte) (*yaml.Node, *Error) {
	if first := bytes.TrimLeft(data, " \r\n"); len(first) > 0 && first[0] == '%' {
		at := positionAt(data, len(data)-len(first))
		return nil, &Error{at.Line, at.Column, "", "leave out lines that begin with %"}
	}
	feed := &feeder{data: data}
	decoder := yaml.NewDecoder(feed)
	document, err := next(decoder)
	switch {
	case errors.Is(err, io.EOF):
		return nil, &Error{1, 1, "", "the text is empty"}
	case err != nil:
		return nil, feed.explain(err)
	}
	second, err := next(decoder)
	switch {
	case errors.Is(err, io.EOF):
		return document.Content[0], nil
	case err != nil:
		return nil, feed.explain(err)
	}
	return nil, &Error{second.Line, second.Column, "", "a second document begins; a text holds one, without --- lines inside"}
}

// next reads one document. The parser panics on events it does not expect; what
// a text holds must never end the program, so that becomes an error here.
func next(decoder *yaml.Decoder) (document *yaml.Node, err error) {
	defer func() {
		if problem := recover(); problem != nil {
			err = fmt.Errorf("yaml: %v", problem)
		}
	}()
	document = new(yaml.Node)
	if err := decoder.Decode(document); err != nil {
		return nil, err
	}
	return document, nil
}

// feeder hands the text to the parser in pieces of at most a line, so that the
// amount handed out tells where the parser stopped: its own errors often name
// the line on which the surrounding list or mapping began.
type feeder struct {
	data         []byte
	begin, given int // the last piece handed out
}

const pieceBytes = 64

func (f *feeder) Read(into []byte) (int, error) {
	rest := f.data[f.given:]
	if len(rest) == 0 {
		return 0, io.EOF
	}
	size := min(len(rest), len(into), pieceBytes)
	if end := bytes.IndexByte(rest[:size], '\n'); end >= 0 {
		size = end + 1
	}
	copy(into, rest[:size])
	f.begin, f.given = f.given, f.given+size
	return size, nil
}

// stopped is the start of the text on the line at which the parser stopped, or
// of the last piece of a long line.
func (f *feeder) stopped() Position {
	at := f.begin
	for at < f.given && (f.data[at] == ' ' || f.data[at] == '\t') {
		at++
	}
	return positionAt(f.data, at)
}

var parserLine = regexp.MustCompile(`^line ([0-9]+): `)

// explain words an error of the parser for people who do not know YAML's terms.
func (f *feeder) explain(err error) *Error {
	message := strings.TrimPrefix(err.Error(), "yaml: ")
	at := f.stopped()
	if found := parserLine.FindStringSubmatch(message); found != nil {
		message = message[len(found[0]):]
		// Only for quotes left open is the parser's line the better one: it is
		// where they begin.
		if line, _ := strconv.Atoi(found[1]); strings.Contains(message, "end of stream") {
			at = f.startOf(line)
		}
	}
	if name, ok := strings.CutPrefix(message, "unknown anchor '"); ok {
		name, _, _ = strings.Cut(name, "'")
		if i := bytes.Index(f.data, []byte("*"+name)); i >= 0 {
			at = positionAt(f.data, i)
		}
	}
	for _, known := range advice {
		if strings.Contains(message, known.fragment) {
			message = known.words
			break
		}
	}
	return &Error{at.Line, at.Column, "", message}
}

func (f *feeder) startOf(line int) Position {
	for n, text := range bytes.Split(f.data, []byte("\n")) {
		if n+1 == line {
			return Position{line, len(text) - len(bytes.TrimLeft(text, " \t")) + 1}
		}
	}
	return f.stopped()
}

var advice = []struct{ fragment, words string }{
	{"mapping values are not allowed", `a second colon, or a line indented too far; put text that holds ": " in quotes`},
	{"tab character", "a tab begins this; indent with spaces"},
	{"cannot start any token", "a tab or a special character begins this; indent with spaces and put the text in quotes"},
	{"end of stream", "quotes that begin here are not closed"},
	{"did not find expected key", "this does not fit the lines above; look at the indentation, and at quotes and colons"},
	{"did not find expected ',' or", "a comma or a closing bracket is missing before this"},
	{"did not find expected node content", "a value is missing before this"},
	{"did not find expected '-' indicator", `this does not fit the list above; entries of a list begin with "- " at the same indentation`},
	{"could not find expected ':'", "a colon is missing after the name of a field"},
	{"block sequence entries are not allowed", "a list begins on the next line, not behind the name of its field"},
	{"exceeded max depth", "nested far too deep"},
	{"unknown anchor", notPlain},
	{"undefined tag handle", notPlain},
	{"expected <document start>", "the text should end before this; look at brackets and indentation"},
	{"escape", `this escape in double quotes is not known; write the character itself, or use single quotes`},
}

const notPlain = "anchors (&), aliases (*) and tags (!) are not read; write the value itself, or put the text in quotes"

// conflicts finds the marks that a merge of versions leaves where both sides changed the
// same lines. They are named before the text is parsed, to which they make no sense.
func conflicts(data []byte) []Error {
	if !bytes.Contains(data, []byte("<<<<<<<")) && !bytes.Contains(data, []byte(">>>>>>>")) {
		return nil
	}
	var out []Error
	ours, parts := 0, ""
	for i, line := range strings.Split(string(data), "\n") {
		line = strings.TrimRight(line, "\r")
		mark := line[:min(7, len(line))]
		if mark == "" || strings.Trim(mark, mark[:1]) != "" || len(mark) < 7 || len(line) > 7 && line[7] != ' ' {
			continue
		}
		switch number := i + 1; mark[0] {
		case '<':
			ours, parts = number, ""
		case '|', '=':
			parts += fmt.Sprintf(", %s on line %d", mark, number)
		case '>':
			if ours == 0 {
				out = append(out, Error{number, 1, "", "a merge of versions left the mark >>>>>>> here; delete the line"})
				continue
			}
			out = append(out, Error{ours, 1, "", fmt.Sprintf("a merge of versions left both sides here: <<<<<<< on line %d%s, >>>>>>> on line %d; keep what is to hold and delete these lines", ours, parts, number)})
			ours = 0
		}
	}
	if ours > 0 {
		out = append(out, Error{ours, 1, "", "a merge of versions left the mark <<<<<<< here, without the >>>>>>> that ends it; keep what is to hold and delete the lines of marks"})
	}
	return out
}
