package web_test

import (
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"kerfbook/costing/book/record"
)

// formOn is what a browser would send of the form of a page, without its buttons.
func formOn(t *testing.T, page string) url.Values {
	t.Helper()
	out := url.Values{}
	nodes(parsed(t, page), func(n *html.Node) {
		inForm := false
		for up := n.Parent; up != nil; up = up.Parent {
			inForm = inForm || attr(up, "id") == "form"
		}
		if n.Type != html.ElementNode || !inForm || attr(n, "name") == "" {
			return
		}
		switch n.Data {
		case "input":
			if attr(n, "type") != "checkbox" || hasAttr(n, "checked") {
				out.Add(attr(n, "name"), attr(n, "value"))
			}
		case "textarea":
			out.Add(attr(n, "name"), strings.TrimPrefix(wholeText(n), "\n"))
		case "select":
			chosen, first := "", true
			nodes(n, func(o *html.Node) {
				if o.Data == "option" && (hasAttr(o, "selected") || first) {
					chosen, first = attr(o, "value"), false
				}
			})
			out.Add(attr(n, "name"), chosen)
		}
	})
	return out
}

// wholeText is the text of an element as it stands.
func wholeText(n *html.Node) string {
	var b strings.Builder
	nodes(n, func(n *html.Node) {
		if n.Type == html.TextNode {
			b.WriteString(n.Data)
		}
	})
	return b.String()
}

// with gives a form with other values.
func with(form url.Values, pairs ...string) url.Values {
	out := maps.Clone(form)
	for i := 0; i < len(pairs); i += 2 {
		out[pairs[i]] = []string{pairs[i+1]}
	}
	return out
}

// Every kind has a form that is a sound page, new and filled. Looking changes nothing in it,
// the text tab is the text that is kept, and back from there it is the same form. A number
// that is none is refused beside its field, and nothing is lost.
func TestEveryKindHasItsForm(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	for _, k := range record.Kinds() {
		list := "/book/" + k.Name
		checkPage(t, k.Name, b.page(list+"/new"))
		all := linksTo(b, list)
		if len(all) == 0 {
			continue
		}
		at := all[0]
		page := b.page(at + "/edit")
		checkPage(t, at, page)
		sent := formOn(t, page)
		code, looked := b.post(at, with(sent, "do", "look"))
		if code != http.StatusOK || !strings.Contains(looked, "No cost or price that is looked at moves.") {
			t.Errorf("%s: looking at it unchanged: %d", at, code)
		}
		checkPage(t, at+" looked at", looked)
		same(t, at+" looked at", sent, formOn(t, looked))
		_, text := b.post(at, with(sent, "do", "text"))
		checkPage(t, at+" as text", text)
		if got, want := formOn(t, text).Get("text"), formOn(t, b.page(at+"/edit?tab=text")).Get("text"); got != want {
			t.Errorf("%s as text is\n%s\nnot\n%s", at, got, want)
		}
		_, again := b.post(at, with(formOn(t, text), "do", "form"))
		same(t, at+" from its text", sent, formOn(t, again))
		for name := range sent {
			if strings.Contains(page, `name="`+name+`" type="text" value="`+sent.Get(name)+`" class="w-num"`) {
				code, refused := b.post(at, with(sent, name, "two or three", "do", "save"))
				checkPage(t, at+" refused", refused)
				if code != http.StatusUnprocessableEntity || !strings.Contains(refused, `value="two or three"`) || !strings.Contains(refused, name+"-error") && !strings.Contains(refused, "-error") {
					t.Errorf("%s: %s is not refused: %d", at, name, code)
				}
				same(t, at+" refused", with(sent, name, "two or three"), formOn(t, refused))
				break
			}
		}
	}
}

func same(t *testing.T, what string, want, got url.Values) {
	t.Helper()
	for _, name := range slices.Sorted(maps.Keys(want)) {
		if want.Get(name) != got.Get(name) {
			t.Errorf("%s: %s is %q, was %q", what, name, got.Get(name), want.Get(name))
		}
	}
}

// What saving would do stands beside the form: which figures move, the largest first, and
// what would be missing.
func TestEffectBesideTheForm(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	page := b.page("/book/work_centres/MILL/edit")
	sent := with(formOn(t, page), "labour_rate_per_h", "41,50", "do", "look")
	code, looked := b.post("/book/work_centres/MILL", sent)
	says(t, "the effect", looked, "If you save", "full cost", `data-key="difference/variant/`, "other figure", ">&#43;")
	if code != http.StatusOK || strings.Contains(b.page("/book/work_centres/MILL"), "41.5") {
		t.Errorf("looking: %d, or it was saved", code)
	}
	_, lacks := b.post("/book/work_centres/MILL", with(sent, "labour_rate_per_h", ""))
	says(t, "what would be missing", lacks, "this is still missing", "wage of MILL is missing")
	part := formOn(t, b.page("/book/parts/HS-010/edit"))
	_, looked = b.post("/book/parts/HS-010", with(part, "blank.length_mm", "64", "do", "look"))
	says(t, "the effect on a part alone", looked, "heat sink at 100, full cost")
}

// A form does not write over what its author wrote beside the values.
func TestFormKeepsComments(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	text := formOn(t, b.page("/book/suppliers/DRUSAVEL/edit?tab=text"))
	if code, _ := b.post("/book/suppliers/DRUSAVEL", with(text, "text", "# paid in ten days\n"+text.Get("text"))); code != http.StatusOK {
		t.Fatalf("a comment: %d", code)
	}
	sent := formOn(t, b.page("/book/suppliers/DRUSAVEL/edit"))
	if _, text := b.post("/book/suppliers/DRUSAVEL", with(sent, "name", "Drusavel e Filhos", "do", "text")); !strings.Contains(text, "# paid in ten days") || !strings.Contains(text, "Drusavel e Filhos") {
		t.Error("the text tab does not have both")
	}
	if code, _ := b.post("/book/suppliers/DRUSAVEL", with(sent, "name", "Drusavel e Filhos", "do", "save")); code != http.StatusOK {
		t.Fatalf("saved: %d", code)
	}
	if text := formOn(t, b.page("/book/suppliers/DRUSAVEL/edit?tab=text")).Get("text"); !strings.HasPrefix(text, "# paid in ten days\n") || !strings.Contains(text, "Drusavel e Filhos") {
		t.Errorf("the text is\n%s", text)
	}
}
