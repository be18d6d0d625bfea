package text

import (
	"strconv"
	"strings"
)

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
