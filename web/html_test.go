package web_test

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// nodes walks a document in order.
func nodes(n *html.Node, visit func(*html.Node)) {
	visit(n)
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		nodes(c, visit)
	}
}

func attr(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

func hasAttr(n *html.Node, name string) bool {
	return slices.ContainsFunc(n.Attr, func(a html.Attribute) bool { return a.Key == name })
}

func hasClass(n *html.Node, name string) bool {
	return slices.Contains(strings.Fields(attr(n, "class")), name)
}

func textOf(n *html.Node) string {
	var b strings.Builder
	nodes(n, func(n *html.Node) {
		if n.Type == html.TextNode {
			b.WriteString(n.Data)
		}
	})
	return strings.Join(strings.Fields(b.String()), " ")
}

func parsed(t testing.TB, text string) *html.Node {
	t.Helper()
	doc := must(html.Parse(strings.NewReader(text)))(t)
	return doc
}

// checkedPage is a page under the rules every page keeps.
type checkedPage struct {
	ids     map[string]int
	labels  map[string]bool // ids that a label names
	faults  []string
	heading int
}

// faultsOfPage lists where a page breaks a rule.
func faultsOfPage(doc *html.Node) []string {
	p := &checkedPage{ids: map[string]int{}, labels: map[string]bool{}}
	nodes(doc, p.collect)
	nodes(doc, p.check)
	for id, n := range p.ids {
		if n > 1 {
			p.fail("id %q stands %d times", id, n)
		}
	}
	if p.heading == 0 {
		p.fail("there is no heading")
	}
	return p.faults
}

func (p *checkedPage) fail(format string, args ...any) {
	p.faults = append(p.faults, fmt.Sprintf(format, args...))
}

func (p *checkedPage) collect(n *html.Node) {
	if id := attr(n, "id"); id != "" {
		p.ids[id]++
	}
	if n.Data == "label" {
		p.labels[attr(n, "for")] = true
	}
}

func (p *checkedPage) check(n *html.Node) {
	switch n.Type {
	case html.TextNode:
		p.number(n)
	case html.ElementNode:
		p.policy(n)
		p.references(n)
		p.element(n)
	}
}

// policy refuses what the content policy would block.
func (p *checkedPage) policy(n *html.Node) {
	for _, a := range n.Attr {
		if a.Key == "style" || strings.HasPrefix(a.Key, "on") {
			p.fail("<%s> has the attribute %s", n.Data, a.Key)
		}
		if (a.Key == "src" || a.Key == "href" || a.Key == "action") && strings.Contains(a.Val, "//") && !strings.HasPrefix(a.Val, "data:image/png;base64,") {
			p.fail("<%s> leads outside: %s", n.Data, a.Val)
		}
	}
	if n.Data == "style" || n.Data == "script" && attr(n, "src") == "" {
		p.fail("<%s> inside the page", n.Data)
	}
}

// references checks that what an element is named by is there.
func (p *checkedPage) references(n *html.Node) {
	for _, name := range []string{"aria-labelledby", "aria-describedby", "for"} {
		for _, id := range strings.Fields(attr(n, name)) {
			if p.ids[id] == 0 {
				p.fail("<%s %s=%q> names nothing", n.Data, name, id)
			}
		}
	}
	if target, ok := strings.CutPrefix(attr(n, "href"), "#"); ok && target != "" && p.ids[target] == 0 && !strings.HasPrefix(target, "f-") {
		p.fail("link to #%s leads nowhere", target)
	}
}

func (p *checkedPage) element(n *html.Node) {
	switch n.Data {
	case "input", "select", "textarea":
		if attr(n, "type") != "hidden" && !hasAttr(n, "hidden") && !p.labels[attr(n, "id")] && !inside(n, "label") {
			p.fail("<%s name=%q> has no label", n.Data, attr(n, "name"))
		}
	case "h1", "h2", "h3", "h4":
		level := int(n.Data[1] - '0')
		if level > p.heading+1 || level == 1 && p.heading != 0 {
			p.fail("heading %s %q comes after h%d", n.Data, textOf(n), p.heading)
		}
		p.heading = level
	case "a", "button":
		if textOf(n) == "" {
			p.fail("<%s href=%q> has no words", n.Data, attr(n, "href"))
		}
	case "table":
		if n.FirstChild == nil || textOf(n.FirstChild) == "" || n.FirstChild.Data != "caption" {
			p.fail("a table has no caption: %.60s", textOf(n))
		}
	case "th":
		if attr(n, "scope") == "" {
			p.fail("a head cell has no scope: %s", textOf(n))
		}
	case "svg":
		if attr(n, "aria-hidden") != "true" && attr(n, "role") != "img" && !inside(n, "svg") {
			p.fail("a drawing has no role")
		}
	}
	if hasClass(n, "figure") && (attr(n, "data-key") == "" || !hasAttr(n, "data-value")) {
		p.fail("a figure has no key: %s", textOf(n))
	}
}

func inside(n *html.Node, tag string) bool {
	for a := n.Parent; a != nil; a = a.Parent {
		if a.Data == tag {
			return true
		}
	}
	return false
}

var digit = regexp.MustCompile(`[0-9]`)

// nameTags hold names and what people typed, whose digits are no figures.
var nameTags = []string{"h1", "h2", "h3", "h4", "th", "dt", "caption", "figcaption", "label", "legend", "option", "title", "desc", "code", "time", "pre", "textarea", "summary", "script"}

// nameClasses are the same by class; ticks are the marks of a scale.
var nameClasses = []string{"name", "findings", "problems", "said", "mark", "bar-label", "hint", "error", "tick"}

// number refuses digits that stand for no figure and no statistic, and are part of
// no name.
func (p *checkedPage) number(n *html.Node) {
	if !digit.MatchString(n.Data) {
		return
	}
	for a := n.Parent; a != nil; a = a.Parent {
		if hasAttr(a, "data-key") || hasAttr(a, "data-stat") && hasAttr(a, "data-value") || slices.Contains(nameTags, a.Data) || slices.ContainsFunc(nameClasses, func(c string) bool { return hasClass(a, c) }) {
			return
		}
		if a.Data == "li" && hasClass(a.Parent, "faults") {
			return
		}
	}
	p.fail("a number without a key: %q in <%s class=%q>", strings.TrimSpace(n.Data), n.Parent.Data, attr(n.Parent, "class"))
}

func checkPage(t testing.TB, name, text string) {
	t.Helper()
	for _, f := range faultsOfPage(parsed(t, text)) {
		t.Errorf("%s: %s", name, f)
	}
}

// says wants words in a text, which is that of what.
func says(t testing.TB, what, text string, words ...string) {
	t.Helper()
	for _, w := range words {
		if !strings.Contains(text, w) {
			t.Errorf("%s lacks %q", what, w)
		}
	}
}

// TestCheckerFinds proves that the rules above can fail.
func TestCheckerFinds(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]string{
		`<h1>A</h1><p>costs 12.50</p>`:                    "number without a key",
		`<h1>A</h1><h3>B</h3>`:                            "comes after",
		`<h1>A</h1><p id="x"></p><p id="x"></p>`:          "stands 2 times",
		`<h1>A</h1><input name="q">`:                      "has no label",
		`<h1>A</h1><p style="color:red">a</p>`:            "attribute style",
		`<h1>A</h1><script>1</script>`:                    "inside the page",
		`<h1>A</h1><a class="figure" href="/">twelve</a>`: "has no key",
		`<h1>A</h1><table><tr><td>a</td></tr></table>`:    "no caption",
		`<h1>A</h1><p aria-labelledby="none">a</p>`:       "names nothing",
		`<p>A</p>`: "no heading",
	} {
		if got := faultsOfPage(parsed(t, text)); !slices.ContainsFunc(got, func(f string) bool { return strings.Contains(f, want) }) {
			t.Errorf("%s: found %q, want something with %q", text, got, want)
		}
	}
}

// withClass lists the elements that have a class.
func withClass(doc *html.Node, name string) []*html.Node {
	var out []*html.Node
	nodes(doc, func(n *html.Node) {
		if hasClass(n, name) {
			out = append(out, n)
		}
	})
	return out
}

// typedText is what the text form of a page holds.
func typedText(t *testing.T, page string) string {
	t.Helper()
	m := regexp.MustCompile(`(?s)<textarea[^>]* name="text"[^>]*>\n?(.*?)</textarea>`).FindStringSubmatch(page)
	if m == nil {
		t.Fatal("no text form")
	}
	return html.UnescapeString(m[1])
}
