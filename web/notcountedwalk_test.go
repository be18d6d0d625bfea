package web_test

import (
	"strings"
	"testing"
)

// TestSayingWhatIsNotCounted starts at the trims, goes to what a part has no figure
// for, says in a browser that there is none, and finds it answered.
func TestSayingWhatIsNotCounted(t *testing.T) {
	inBrowser(t)
	s := demoShop(t)
	b := s.signIn(t)
	if start := b.page("/"); !strings.Contains(start, `acrylic light ring</b>: <span class="name">inspection: enter an operation that checks`) {
		t.Error("the trims do not say that the light ring is never inspected")
	}
	c := &clerk{tab: s.openSignedIn(t, chrome(t))}
	c.visit("/parts/SH-ACR")
	c.press(`#not-counted a[href="/book/parts/SH-ACR/edit?say=inspection:none"]`)
	c.press("#form div.actions > button[type=submit]")
	c.expect("h1", "acrylic light ring")
	c.atMost("saying that a part needs no inspection", 2, 0, 3)
	part := b.page("/parts/SH-ACR")
	if strings.Contains(part, "inspection: enter") || !strings.Contains(part, "inspection: none") {
		t.Error("the part does not have the answer")
	}
	if text := b.page("/book/parts/SH-ACR/edit?say=inspection:whatever"); strings.Contains(text, "whatever") {
		t.Error("an answer that is none was written into the text")
	}
}
