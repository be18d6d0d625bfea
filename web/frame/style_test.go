package frame

import (
	"net/http"
	"net/http/httptest"
	"testing"

	"kerfbook/api/edge"
	"kerfbook/web/notation"
)

// TestWritten: figures and quantities get the person's marks; names, texts of the book,
// what was typed and every attribute stay.
func TestWritten(t *testing.T) {
	t.Parallel()
	style := notation.Style{Comma: true, Days: notation.Dots}
	for plain, want := range map[string]string{
		`<p>costs <a data-key="a/b" data-value="12.5" href="/proof/a?x=1.5">12.50</a> EUR</p>`:  `<p>costs <a data-key="a/b" data-value="12.5" href="/proof/a?x=1.5">12,50</a> EUR</p>`,
		`<p>a wall of 0.8 mm in <span class="soft name">steel 1.4404, 2.5 mm</span>, 1.5 h</p>`: `<p>a wall of 0,8 mm in <span class="soft name">steel 1.4404, 2.5 mm</span>, 1,5 h</p>`,
		`<td class="name">from <span data-stat="/a" data-value="1.5">1.5</span> 2.5</td>`:       `<td class="name">from <span data-stat="/a" data-value="1.5">1,5</span> 2.5</td>`,
		`<code>1.5 mm</code><pre>2026-11-25</pre><textarea>low: 1.5 mm</textarea>`:              `<code>1.5 mm</code><pre>2026-11-25</pre><textarea>low: 1.5 mm</textarea>`,
		`<time datetime="2026-11-25">2026-11-25</time>`:                                         `<time datetime="2026-11-25">25.11.2026</time>`,
		`<input value="1.5"><p>2.5 mm</p><br>3.5 kg`:                                            `<input value="1.5"><p>2,5 mm</p><br>3,5 kg`,
		`<svg><text x="1.5">0.5</text><rect width="2.5"/></svg>`:                                `<svg><text x="1.5">0,5</text><rect width="2.5"/></svg>`,
		`<option value="1.5">1.5 mm</option>`:                                                   `<option value="1.5">1,5 mm</option>`,
		`<p class="name">a<p>b</p> 1.5 mm</p>`:                                                  `<p class="name">a<p>b</p> 1.5 mm</p>`,
		`<script>let a = 1.5;</script><style>a { top: 1.5em }</style><p>1.5 mm &amp; more`:      `<script>let a = 1.5;</script><style>a { top: 1.5em }</style><p>1,5 mm &amp; more`,
	} {
		if got := string(written([]byte(plain), style)); got != want {
			t.Errorf("%s\nis written\n%s\nwant\n%s", plain, got, want)
		}
		if got := string(written([]byte(plain), notation.Style{})); got != plain {
			t.Errorf("with a point %s becomes %s", plain, got)
		}
	}
}

// TestStyleIsKept: what was chosen goes before what the browser says, and a cookie that
// is none of ours counts as nothing.
func TestStyleIsKept(t *testing.T) {
	t.Parallel()
	for _, tls := range []bool{false, true} {
		w := httptest.NewRecorder()
		c := &Call{W: w, Site: &Site{Edge: &edge.Edge{Config: edge.Config{TLS: tls}}}}
		c.KeepStyle(notation.Style{Comma: true, Days: notation.Slashes})
		kept := w.Result().Cookies()[0]
		if kept.Secure != tls || !kept.HttpOnly || kept.SameSite != http.SameSiteLaxMode || kept.MaxAge <= 0 {
			t.Errorf("the cookie is %+v", kept)
		}
		r := httptest.NewRequest(http.MethodGet, "/", nil)
		r.Header.Set("Accept-Language", "en-US")
		r.AddCookie(kept)
		if got := styleOf(r); got != (notation.Style{Comma: true, Days: notation.Slashes}) {
			t.Errorf("kept %+v", got)
		}
	}
	r := httptest.NewRequest(http.MethodGet, "/", nil)
	r.Header.Set("Accept-Language", "de")
	r.AddCookie(&http.Cookie{Name: styleCookie, Value: "apostrophe.backwards"})
	if got := styleOf(r); got != (notation.Style{Comma: true, Days: notation.Dots}) {
		t.Errorf("a cookie of nobody gives %+v", got)
	}
}
