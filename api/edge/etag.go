package edge

import (
	"net/http"
	"strings"
)

// ETag writes a version as a strong entity tag.
func ETag(version string) string { return `"` + version + `"` }

// IfMatch reads the version a change is made to. It is an error of the request
// to leave it out (VersionMissing) and to name several, or a weak one (Invalid):
// a change is made to one state that was seen.
func IfMatch(h http.Header) (version string, err error) {
	text := strings.TrimSpace(strings.Join(h.Values("If-Match"), ","))
	if text == "" {
		return "", &Refusal{Kind: VersionMissing, Detail: "say which version is changed: send If-Match with the ETag that was read, or If-None-Match: * for something new"}
	}
	tag, ok := strongTag(text)
	if !ok || tag == "*" { // which would stand for any version
		return "", &Refusal{Kind: BadRequest, Detail: "If-Match holds one strong entity tag, such as \"v7\" with its quotes"}
	}
	return tag, nil
}

// MustBeNew reports whether a request asks that nothing be there yet.
func MustBeNew(h http.Header) bool {
	return h.Get("If-Match") == "" && strings.TrimSpace(h.Get("If-None-Match")) == "*"
}

// Unchanged reports whether the client already holds what an entity tag names.
func Unchanged(h http.Header, tag string) bool {
	for _, line := range h.Values("If-None-Match") {
		for item := range strings.SplitSeq(line, ",") {
			// Versions hold no comma, so that splitting at commas is safe.
			item = strings.TrimPrefix(strings.TrimSpace(item), "W/")
			if item == tag || item == "*" {
				return true
			}
		}
	}
	return false
}

// strongTag reads exactly one strong entity tag.
func strongTag(text string) (string, bool) {
	if len(text) < 3 || text[0] != '"' || text[len(text)-1] != '"' {
		return "", false
	}
	inner := text[1 : len(text)-1]
	for _, c := range []byte(inner) {
		if c == '"' || c < '!' || c == 0x7F {
			return "", false
		}
	}
	return inner, true
}
