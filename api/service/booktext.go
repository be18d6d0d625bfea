package service

import (
	"fmt"
	"strings"

	"kerfbook/costing/book"
)

// BookText writes a book. Comments say which stored records it leaves out.
func BookText(b *book.Book) ([]byte, error) {
	var out []byte
	for _, problem := range b.UnreadProblems() {
		out = fmt.Appendf(out, "# %s\n", strings.ReplaceAll(problem.Message, "\n", " "))
	}
	if len(out) > 0 {
		out = append(out, "# It is left out of this text: importing the text over the same book removes it. Its revisions stay.\n\n"...)
	}
	written, err := b.Write()
	return append(out, written...), err
}
