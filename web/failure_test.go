package web_test

import (
	"net/http"
	"regexp"
	"strings"
	"testing"

	"kerfbook/api/edge"
	"kerfbook/web/frame"
)

func TestErrorPagesSpeakToPeople(t *testing.T) {
	t.Parallel()
	talk := regexp.MustCompile(`If-Match|ETag|Idempotency|header|Retry-After|JSON|pointer`)
	for _, k := range edge.Kinds() {
		text, own := frame.Advices[k]
		if !own || text == "" || talk.MatchString(text) {
			t.Errorf("%s: %q is no advice to a person", k, text)
		}
	}
}

func TestErrorPageLeadsBack(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	for from, want := range map[string]string{
		b.shop.URL + "/book/parts/HS-010?levels=2": `href="/book/parts/HS-010?levels=2"`,
		"https://elsewhere.example/page":           "",
	} {
		req := must(http.NewRequest(http.MethodPost, b.shop.URL+"/book/parts/NONE/remove", strings.NewReader("")))(t)
		req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		req.Header.Set("Sec-Fetch-Site", "same-origin")
		req.Header.Set("Referer", from)
		code, body := b.read(b.Do(req))
		checkPage(t, from, body)
		leads := strings.Contains(body, "Look at what is there now</a>")
		if code < http.StatusBadRequest || leads != (want != "") || !strings.Contains(body, want) {
			t.Errorf("from %s: %d, leads back %t\n%s", from, code, leads, body)
		}
	}
}
