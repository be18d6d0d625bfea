package edge

import (
	"net/http"
	"testing"
)

func TestIfMatch(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]struct {
		version string
		kind    Kind
	}{
		`"v7"`:       {"v7", ""},
		` "v7" `:     {"v7", ""},
		``:           {"", VersionMissing},
		`*`:          {"", BadRequest},
		`"*"`:        {"", BadRequest},
		`v7`:         {"", BadRequest},
		`W/"v7"`:     {"", BadRequest},
		`"v7", "v8"`: {"", BadRequest},
		`""`:         {"", BadRequest},
		"\"a\x01\"":  {"", BadRequest},
	} {
		version, err := IfMatch(http.Header{"If-Match": {text}})
		if version != want.version || kindOf(err) != want.kind {
			t.Errorf("%s: %q, %v", text, version, err)
		}
	}
	if _, err := IfMatch(http.Header{"If-Match": {`"a"`, `"b"`}}); kindOf(err) != BadRequest {
		t.Errorf("two headers: %v", err)
	}
	if !MustBeNew(http.Header{"If-None-Match": {"*"}}) || MustBeNew(http.Header{"If-None-Match": {`"a"`}}) ||
		MustBeNew(http.Header{"If-None-Match": {"*"}, "If-Match": {`"a"`}}) {
		t.Error("something new")
	}
}

func TestUnchanged(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]bool{
		`"a"`: true, `W/"a"`: true, `"b", "a"`: true, `*`: true, `"b"`: false, `a`: false, ``: false,
	} {
		if got := Unchanged(http.Header{"If-None-Match": {text}}, ETag("a")); got != want {
			t.Errorf("%s: %t", text, got)
		}
	}
}

func TestAttachment(t *testing.T) {
	t.Parallel()
	for name, want := range map[string]string{
		"quote-2026-0001.pdf":          `attachment; filename="quote-2026-0001.pdf"`,
		"a\"; filename=\"b\r\nX: y/..": `attachment; filename="afilenamebXy.."`,
	} {
		if got := Attachment(name); got != want {
			t.Errorf("%q: %s", name, got)
		}
	}
}
