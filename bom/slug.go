package bom

import (
	"cmp"
	"strings"
)

// Slug writes a name with the letters a key may have: "Soft jaws" is soft-jaws.
// Names of which no letter remains are "other".
func Slug(name string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(name) {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
			b.WriteRune(r)
		} else if b.Len() > 0 && !strings.HasSuffix(b.String(), "-") {
			b.WriteByte('-')
		}
	}
	return cmp.Or(strings.TrimSuffix(b.String(), "-"), "other")
}
