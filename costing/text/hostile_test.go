package text_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"kerfbook/costing/text"
)

// hostile are texts meant to keep a reader busy, each about size bytes long. All
// must be refused.
func hostile(size int) map[string]string {
	fill := func(s string) string { return strings.Repeat(s, size/len(s)) }
	return map[string]string{
		"20 MB":               strings.Repeat("name: x\n", 20<<20/8),
		"nested lists":        fill("["),
		"nested mappings":     fill(`{"a":`),
		"nested both":         fill("[{"),
		"nested blocks":       fill("- "),
		"nested keys":         fill("? "),
		"list of numbers":     "notes: [" + fill("1,") + "]",
		"list of lists":       "parts: [" + fill("[],") + "]",
		"list of mappings":    "parts: [" + fill("{},") + "]",
		"JSON list":           `{"parts": [` + fill("1,") + "1]}",
		"JSON nesting":        `{"a":` + fill("[") + fill("]") + "}",
		"unknown JSON fields": `{` + fill(`"a":1,`) + `"a":1}`,
		"digits":              "length_mm: " + fill("1"),
		"quoted digits":       `length_mm: "` + fill("1") + `"`,
		"JSON digits":         `{"length_mm":` + fill("1") + "}",
		"long name":           fill("a") + ": 1",
		"long unknown word":   "kind: " + fill("made"),
		"anchors":             "notes: [" + fill("&a 1,") + "]",
		"aliases":             "note: &a x\nnotes: [" + fill("*a,") + "]",
		"doubling aliases":    "a: &a [x]\nb: &b [*a,*a]\nc: &c [*b,*b]\n" + fill("d: [*c,*c]\n"),
		"tags":                "notes: [" + fill("!a b,") + "]",
		"comments":            fill("a:\n#\n"),
		"entries":             fill("-\n"),
		"empty lines":         fill("\n"),
		"spaces":              fill(" "),
		"tabs":                fill("\t"),
		"documents":           fill("---\n"),
		"open quote":          `name: "` + fill("a"),
		"open escapes":        `name: "` + fill(`\n`),
		"long block text":     "name: |\n" + fill(" a\n"),
		"indentation":         steps(size),
		"same name":           fill("name: x\n"),
		"unknown names":       unknownNames(size),
		"errors":              "parts:\n" + fill("- {part: 'a b', quantity: -1}\n"),
		"bytes":               fill("\xff"),
		"control characters":  fill("\a"),
	}
}

func steps(size int) string {
	var b strings.Builder
	for i := 0; b.Len() < size; i++ {
		b.WriteString(strings.Repeat(" ", i) + "a:\n")
	}
	return b.String()
}

func unknownNames(size int) string {
	var b strings.Builder
	for i := 0; b.Len() < size; i++ {
		fmt.Fprintf(&b, "length_of_part_%d: 1\n", i)
	}
	return b.String()
}

// TestDecodeHostile has a guard far above what any of the texts takes, so that a
// slow machine does not fail it; BenchmarkDecodeHostile measures.
func TestDecodeHostile(t *testing.T) {
	t.Parallel()
	const guard = 5 * time.Second
	for name, written := range hostile(24 << 10) {
		start := time.Now()
		_, err := text.Decode([]byte(written), new(lamp))
		var found *text.Errors
		if !errors.As(err, &found) {
			t.Errorf("%s: got %v, want *text.Errors", name, err)
			continue
		}
		if took := time.Since(start); took > guard {
			t.Errorf("%s: took %v", name, took)
		}
		if len(found.List) > text.MaxListed || len(err.Error()) > 500*text.MaxListed {
			t.Errorf("%s: the message has %d lines and %d bytes", name, len(found.List), len(err.Error()))
		}
	}
}

// Counting allocations does not go with tests in parallel.
func TestDecodeRefusesLargeTextUnread(t *testing.T) {
	large := []byte(strings.Repeat("name: x\n", 20<<20/8))
	into := new(lamp)
	few := testing.AllocsPerRun(10, func() {
		if _, err := text.Decode(large, into); err == nil {
			t.Error("20 MB were read")
		}
	})
	const schemaOnly = 1500
	if few > schemaOnly {
		t.Errorf("refusing 20 MB took %v allocations", few)
	}
	e := decodeErrors(t, string(large)).List[0]
	if e.Line != 1 || e.Column != 1 || !strings.Contains(e.Message, "at most 16777216 (16 MiB)") {
		t.Errorf("got %v", e)
	}
}

// BenchmarkDecodeHostile measures texts of the largest size, which are mostly
// refused unparsed, and of sizes at which the parser has the most to do.
func BenchmarkDecodeHostile(b *testing.B) {
	for _, size := range []int{text.MaxBytes - 100, 2*text.MaxMarks - 1000, text.MaxMarks - 1000} {
		for name, written := range hostile(size) {
			b.Run(fmt.Sprintf("%d/%s", size, name), func(b *testing.B) {
				for b.Loop() {
					if _, err := text.Decode([]byte(written), new(lamp)); err == nil {
						b.Fatal("accepted")
					}
				}
			})
		}
	}
}
