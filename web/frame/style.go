package frame

import (
	"net/http"

	"kerfbook/web/notation"
)

// styleCookie keeps how a person writes numbers and days; it is no secret.
const styleCookie = "kerfbook-style"

// styleOf is how a person writes: as chosen, else as the browser suggests.
func styleOf(r *http.Request) notation.Style {
	if kept, err := r.Cookie(styleCookie); err == nil {
		if s, ok := notation.OfWord(kept.Value); ok {
			return s
		}
	}
	return notation.OfLanguages(r.Header.Get("Accept-Language"))
}
