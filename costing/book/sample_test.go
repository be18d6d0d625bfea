package book_test

import (
	_ "embed"
	"strings"
	"testing"

	"kerfbook/costing/book"
	"kerfbook/costing/text"
)

// sample is the book of the fictional Ostrel Workshop, valid on sampleDay but for
// one warning.
//
//go:embed testdata/ostrel.yaml
var sample string

const sampleDay = "2026-11-25"

// edit replaces text of the sample, which must occur. A ‸ in the new text marks
// where a problem is expected; it is taken out.
func edit(t *testing.T, replacements ...string) (written string, want text.Position) {
	t.Helper()
	written = replaced(t, sample, replacements)
	before, after, _ := strings.Cut(written, "‸")
	line := before[strings.LastIndexByte(before, '\n')+1:]
	return before + after, text.Position{Line: strings.Count(before, "\n") + 1, Column: len([]rune(line)) + 1}
}

// replaced makes replacements in a text, which must have what is replaced.
func replaced(t *testing.T, text string, replacements []string) string {
	t.Helper()
	for i := 0; i < len(replacements); i += 2 {
		if !strings.Contains(text, replacements[i]) {
			t.Fatalf("the book has no %q", replacements[i])
		}
		text = strings.Replace(text, replacements[i], replacements[i+1], 1)
	}
	return text
}

func parse(t *testing.T, written string) (*book.Book, text.Places) {
	t.Helper()
	b, places, err := book.Parse([]byte(written))
	if err != nil {
		t.Fatal(err)
	}
	return b, places
}
