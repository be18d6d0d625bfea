package booktest

import (
	_ "embed"
	"strings"
	"testing"

	"kerfbook/costing/book"
	"kerfbook/costing/text"
)

// Sample is the book of the fictional Ostrel Workshop, valid on SampleDay but for
// one warning.
//
//go:embed testdata/ostrel.yaml
var Sample string

const SampleDay = "2026-11-25"

// Edit replaces text of the Sample, which must occur. A ‸ in the new text marks
// where a problem is expected; it is taken out.
func Edit(t testing.TB, replacements ...string) (written string, want text.Position) {
	t.Helper()
	written = Replaced(t, Sample, replacements)
	before, after, _ := strings.Cut(written, "‸")
	line := before[strings.LastIndexByte(before, '\n')+1:]
	return before + after, text.Position{Line: strings.Count(before, "\n") + 1, Column: len([]rune(line)) + 1}
}

// Replaced makes replacements in a text, which must have what is replaced.
func Replaced(t testing.TB, text string, replacements []string) string {
	t.Helper()
	for i := 0; i < len(replacements); i += 2 {
		if !strings.Contains(text, replacements[i]) {
			t.Fatalf("the book has no %q", replacements[i])
		}
		text = strings.Replace(text, replacements[i], replacements[i+1], 1)
	}
	return text
}

// Placed reads a text without faults, and where its fields stand.
func Placed(t testing.TB, written string) (*book.Book, text.Places) {
	t.Helper()
	b, places, err := book.Parse([]byte(written))
	if err != nil {
		t.Fatal(err)
	}
	return b, places
}
