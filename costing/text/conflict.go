package text

import (
	"bytes"
	"fmt"
	"strings"
)

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
