package text

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"kerfbook/bom"
)

// reserved are the words that some reader of YAML takes for truth, nothing or a
// number.
var reserved = map[string]bool{
	"y": true, "n": true, "yes": true, "no": true, "on": true, "off": true,
	"true": true, "false": true, "null": true, "nan": true, "inf": true,
}

// Scalar writes text bare if no reader can take it for anything else, and in
// double quotes otherwise.
func Scalar(text string) (string, error) {
	if !utf8.ValidString(text) {
		return "", fmt.Errorf("text: the text %q is not UTF-8", bom.Shorten(text))
	}
	if isPlain(text) {
		return text, nil
	}
	return Quoted(text), nil
}

// isPlain wants a letter first, so that numbers, dates and special characters
// never come first, and harmless characters after it.
func isPlain(text string) bool {
	if text == "" || reserved[strings.ToLower(text)] || strings.HasSuffix(text, " ") {
		return false
	}
	for i, r := range text {
		harmless := unicode.IsLetter(r) || i > 0 && (unicode.IsDigit(r) || strings.ContainsRune(" _-./()+%&'=°·×–", r))
		if !harmless {
			return false
		}
	}
	return true
}

// Quoted writes text in double quotes, as JSON would.
func Quoted(text string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range text {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r > 0xFFFF && !unicode.IsPrint(r):
			fmt.Fprintf(&b, `\U%08X`, r)
		case r != ' ' && !unicode.IsPrint(r):
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// Canonical writes a JSON string in the one way RFC 8785 allows.
func Canonical(text string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range text {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r >= ' ':
			b.WriteRune(r)
		case strings.ContainsRune("\b\t\n\f\r", r):
			b.WriteString(map[rune]string{'\b': `\b`, '\t': `\t`, '\n': `\n`, '\f': `\f`, '\r': `\r`}[r])
		default:
			b.WriteString(`\u00` + strconv.FormatInt(int64(r)+0x100, 16)[1:])
		}
	}
	b.WriteByte('"')
	return b.String()
}
