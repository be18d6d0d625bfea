package text_test

import (
	"bytes"
	"errors"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"kerfbook/costing/text"
)

func place(e text.Error) string { return fmt.Sprintf("%d:%d %s", e.Line, e.Column, e.Path) }

// FuzzDecode holds that no text makes the reader panic, that errors lie inside
// the text, and that whatever is read can be written and read again, with the
// same bytes the second time.
func FuzzDecode(f *testing.F) {
	for _, seed := range []string{
		head, head + "length_mm: 12.50\nsetup_min: {low: 1, likely: 2, high: 3}\norigin: \"NO\"\n",
		head + "setup_min: {low: 1, likely: 2, high: 3, shape: normal, sd: 0.40}\nlength_mm: {low: 1, likely: 2, high: 3, shape: pert}\n",
		head + "parts:\n- part: A\n  quantity: 2\n- {part: B, quantity: '3'}\nnotes: [a, 'b ''c', \"d\\n\"]\n",
		`{"number": "1", "name": "\u00e9", "when": [{"a": ["b"]}, {}], "choices": {"1": "2"}, "shelf": {"rows": []}}`,
		head + "note: >-\n  folded\n  text\n# end\n", head + "note: |+\n  a\n\n", "---", "? a\n: b\n", "&a [*a]", "!!map {}", "%YAML 1.1\n---\n", "\t", "a:\n- b\n c", "[\"\\x41\"]", "\xEF\xBB\xBF{}", "a: \uFEFFb", "--- a\n...\n--- b", "'", "{", "- - - ?", "a: \r\n  b: c\r d",
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var first lamp
		_, err := text.Decode(data, &first)
		if err != nil {
			checkInside(t, data, err)
			return
		}
		written, err := text.Encode(first)
		if err != nil {
			t.Fatalf("cannot write what was read: %v", err)
		}
		var second lamp
		if _, err := text.Decode(written, &second); err != nil {
			t.Fatalf("cannot read what was written: %v\n%s", err, written)
		}
		again, err := text.Encode(second)
		if err != nil || !bytes.Equal(written, again) {
			t.Fatalf("written twice: %v\n%s\n%s", err, written, again)
		}
		if !reflect.DeepEqual(first, second) {
			t.Fatalf("read twice:\n%+v\n%+v", first, second)
		}
	})
}

func checkInside(t *testing.T, data []byte, err error) {
	t.Helper()
	var found *text.Errors
	if !errors.As(err, &found) || len(found.List) == 0 {
		t.Fatalf("got %v, want *text.Errors", err)
	}
	normal := strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(string(data))
	lines := strings.Split(normal, "\n")
	for _, e := range found.List {
		if e.Line < 1 || e.Line > len(lines) || e.Column < 1 || e.Column > len(lines[e.Line-1])+1 || e.Message == "" {
			t.Fatalf("%v lies outside the text of %d lines", e, len(lines))
		}
	}
}
