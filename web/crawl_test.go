package web_test

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"math/big"
	"net/http"
	"net/url"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/bom"
	"kerfbook/costing/book/record"
	"kerfbook/costing/fractiontest"
	"kerfbook/costing/graph/proof"
	"kerfbook/costing/trade"
	"kerfbook/web"
)

// crawler follows every link of the pages and recomputes every figure it meets.
type crawler struct {
	t        *testing.T
	b        *browser
	seen     map[string]bool
	queue    []string
	views    map[string]int
	proofs   int             // pages of proofs that were opened
	verified map[string]bool // figures that were recomputed, by batch and key
	figures  int
	stats    int             // numbers that are no figures of the graph
	quotes   map[string]step // what quotes explained, by number, revision and key
	batch    sheetOfBatch    // the last one met: the links of a page lead to the same
}

func newCrawler(t *testing.T, b *browser) *crawler {
	return &crawler{t: t, b: b, seen: map[string]bool{}, verified: map[string]bool{}, quotes: map[string]step{}, views: map[string]int{}}
}

// mostProofs bounds how many pages of proofs are opened; the figures behind all
// others are recomputed all the same.
const mostProofs = 60

// mostViews bounds how often one page is opened with another query.
const mostViews = 4

func TestEveryFigureIsRecomputed(t *testing.T) {
	t.Parallel()
	s := demoShop(t)
	b := s.signIn(t)
	issueDemoQuote(t, b)
	c := newCrawler(t, b)
	c.queue = slices.Concat(costPagePaths, demoPages, []string{"/quotes/2026-0001/proof/quote/total", "/parts/HS-010/operations.csv"}) // the last two are behind forms
	for len(c.queue) > 0 {
		path := c.queue[0]
		c.queue = c.queue[1:]
		c.visit(path)
	}
	c.everyAddress()
	t.Logf("%d pages, %d figures shown, %d distinct ones recomputed with all they rest on, %d numbers held against answers", len(c.seen), c.figures, len(c.verified), c.stats)
	if c.stats < 1000 {
		t.Errorf("only %d numbers of answers were seen", c.stats)
	}
	if len(c.seen) < 400 || c.figures < 4000 || len(c.verified) < 15_000 {
		t.Errorf("the crawler saw %d pages with %d figures; it should see far more", len(c.seen), c.figures)
	}
}

// everyAddress wants a page, or a file, of every address of the rooms among those seen.
func (c *crawler) everyAddress() {
	name := regexp.MustCompile(`\{[a-z]+\}`)
	for _, a := range slices.Concat(web.Rooms()...) {
		page := regexp.MustCompile("^" + strings.ReplaceAll(name.ReplaceAllString(a.Pattern, "[^/?]+"), "*", ".+") + `(\?.*)?$`)
		if a.Method == http.MethodGet && !slices.ContainsFunc(slices.Collect(maps.Keys(c.seen)), page.MatchString) {
			c.t.Errorf("no page of %s was seen: link one from another page, or name one in demoPages or costPagePaths", a.Pattern)
		}
	}
}

// visit reads a page, its figures and its links.
func (c *crawler) visit(path string) {
	path, _, _ = strings.Cut(path, "#")
	if c.seen[path] || path == "" {
		return
	}
	page, _, _ := strings.Cut(path, "?")
	if c.views[page]++; c.views[page] > mostViews {
		return
	}
	if strings.Contains(path, "/proof/") {
		if c.proofs++; c.proofs > mostProofs {
			return
		}
	}
	c.seen[path] = true
	r, err := c.b.Get(c.b.shop.URL + path)
	code, text := c.b.read(r, err)
	for err == nil && r.Header.Get("Refresh") != "" { // not there yet
		r, err = c.b.Get(c.b.shop.URL + path)
		code, text = c.b.read(r, err)
	}
	if code != http.StatusOK && code != http.StatusUnprocessableEntity {
		c.t.Errorf("%s: %d", path, code)
		return
	}
	if !strings.HasPrefix(r.Header.Get("Content-Type"), "text/html") {
		return
	}
	checkPage(c.t, path, text)
	doc := parsed(c.t, text)
	if !strings.HasPrefix(path, "/book/overrides/") { // which name a figure by its key
		speaks(c.t, path, doc)
	}
	c.readFigures(path, doc)
	c.stats += c.b.shop.statistics(c.t, path, doc)
	nodes(doc, func(n *html.Node) {
		if n.Data == "a" && strings.HasPrefix(attr(n, "href"), "/") {
			c.queue = append(c.queue, attr(n, "href"))
		}
	})
}

// notSaid are names of fields, places in records and texts, and keys of figures.
var notSaid = regexp.MustCompile(`\b[a-z0-9]+_[a-z0-9_]+\b|\b[a-z_]+\[\d+\]|\b(variant|part|book|work-centre|offer|rate-card)/[a-z0-9]|\bline \d+, column \d+|\bpert\b`)

// speaks looks that what a page shows before anything is opened has no names that only
// programs use. Texts that are shown or typed as such are left out.
func speaks(t *testing.T, path string, n *html.Node) {
	t.Helper()
	switch {
	case n.Data == "details" && !hasAttr(n, "open"), slices.Contains([]string{"head", "textarea", "pre", "code", "select"}, n.Data):
		return
	case n.Type == html.TextNode && notSaid.MatchString(n.Data):
		t.Errorf("%s says %q in %q", path, notSaid.FindString(n.Data), strings.TrimSpace(n.Data))
	}
	for child := n.FirstChild; child != nil; child = child.NextSibling {
		speaks(t, path, child)
	}
}

// readFigures recomputes the figures of a page. A mark of a chart must stand as a
// linked figure on the same page.
func (c *crawler) readFigures(path string, doc *html.Node) {
	linked := map[string]bool{}
	var marks []*html.Node
	nodes(doc, func(n *html.Node) {
		key := attr(n, "data-key")
		switch {
		case key == "":
		case n.Data == "a":
			c.figures++
			linked[key+"="+attr(n, "data-value")] = true
			c.figure(path, n, key)
		case attr(n, "data-part") != "":
			c.part(path, n, key)
		default:
			marks = append(marks, n)
		}
	})
	if strings.HasPrefix(path, "/changes") {
		marks = nil // what it was in another book
	}
	for _, n := range marks {
		c.figures++
		if !linked[attr(n, "data-key")+"="+attr(n, "data-value")] {
			c.t.Errorf("%s: the mark %s of a chart has no figure in a table", path, attr(n, "data-key"))
		}
	}
}

// figure recomputes one linked figure.
func (c *crawler) figure(path string, n *html.Node, key string) {
	value := attr(n, "data-value")
	switch {
	case strings.HasPrefix(key, "difference/"):
		c.difference(path, n, value)
	case strings.HasPrefix(key, "book/"):
		c.entered(path, key, value)
	default:
		e, err := c.explainer(attr(n, "href"))
		if err != nil {
			c.t.Errorf("%s: %s: %v", path, key, err)
			return
		}
		if got := c.proven(path, e, key); got != value {
			c.t.Errorf("%s: %s shows %s, its proof gives %s", path, key, value, got)
		}
	}
}

// proven recomputes a figure with all it rests on. On a curve, whose batches are
// many and of one structure, it is recomputed from what it rests on directly.
func (c *crawler) proven(path string, e explained, key string) string {
	if !strings.HasPrefix(path, "/curve") {
		return c.verify(e, key)
	}
	s, err := e.step(key)
	if err != nil {
		c.t.Errorf("%s: %v", key, err)
	}
	c.recomputed(key, s)
	return s.Value
}

// sheetOfBatch is a batch, changed or not, by the query of its address.
type sheetOfBatch struct {
	query string
	sheet *answer.Sheet
}

type step = proof.Step

// explained is a batch or quote that figures are explained in.
type explained struct {
	name string
	step func(key string) (step, error)
}

// explainer reads from the address of a proof what is to be explained.
func (c *crawler) explainer(href string) (explained, error) {
	address, err := url.Parse(href)
	if err != nil {
		return explained{}, err
	}
	ctx, svc, q := context.Background(), c.b.shop.svc, address.Query()
	if rest, ok := strings.CutPrefix(address.Path, "/quotes/"); ok {
		number, _, _ := strings.Cut(rest, "/")
		revision, _ := strconv.Atoi(q.Get("revision"))
		return explained{number + "?" + q.Get("revision"), func(key string) (step, error) {
			return c.quoted(number, revision, key)
		}}, nil
	}
	b, _, err := svc.Book(ctx)
	if err != nil {
		return explained{}, err
	}
	mix, err := answer.ParseMix(b, q.Get("mix"))
	if err != nil {
		return explained{}, err
	}
	day := bom.Date(q.Get("day"))
	if c.batch.query != address.RawQuery {
		var sheet *answer.Sheet
		if altered := q["change"]; len(altered) > 0 {
			var changes []change.Change
			for _, one := range altered {
				key, value, _ := strings.Cut(one, "=")
				changes = append(changes, change.Change{Key: key, Value: value})
			}
			sheet, err = svc.SheetWith(ctx, mix, day, changes)
		} else {
			sheet, _, err = svc.Sheet(ctx, mix, day)
		}
		if err != nil {
			return explained{}, err
		}
		c.batch = sheetOfBatch{address.RawQuery, sheet}
	}
	sheet := c.batch.sheet
	return explained{address.RawQuery, func(key string) (step, error) { return sheet.Explain(key, 1) }}, nil
}

// quoted explains a figure of a quote. A quote opens its whole graph each time,
// so everything is asked for at once.
func (c *crawler) quoted(number string, revision int, key string) (step, error) {
	name := fmt.Sprint(number, "@", revision, " ")
	if s, ok := c.quotes[name+key]; ok {
		return s, nil
	}
	whole, err := c.b.shop.svc.ExplainQuote(context.Background(), number, revision, key, -1)
	if err != nil {
		return whole, err
	}
	var keep func(step)
	keep = func(s step) {
		if !s.Again {
			c.quotes[name+s.Key] = s
		}
		for _, sub := range s.Steps {
			keep(sub)
		}
	}
	keep(whole)
	return whole, nil
}

// verify recomputes a figure and everything it rests on, and gives its value.
func (c *crawler) verify(e explained, key string) string {
	s, err := e.step(key)
	if err != nil {
		c.t.Errorf("%s: %v", key, err)
		return ""
	}
	if c.verified[e.name+" "+key] {
		return s.Value
	}
	c.verified[e.name+" "+key] = true
	c.recomputed(key, s)
	for _, a := range s.Arguments {
		if !c.verified[e.name+" "+a] {
			c.verify(e, a)
		}
	}
	return s.Value
}

// recomputed holds the value of a step against what its arguments come to.
func (c *crawler) recomputed(key string, s step) {
	if len(s.Arguments) == 0 {
		return
	}
	args := make([]*big.Rat, len(s.Steps))
	for i, sub := range s.Steps {
		args[i] = fractiontest.Value(sub.Value)
	}
	if want, err := fractiontest.Recompute(s, args); err != nil || !fractiontest.Agrees(fractiontest.Value(s.Value), want) {
		c.t.Errorf("%s: is %q, recomputed %v from %v, %v", key, s.Value, want, s.Arguments, err)
	}
}

// difference checks the last column of a comparison against the two before it.
func (c *crawler) difference(path string, n *html.Node, value string) {
	row := n
	for row.Data != "tr" {
		row = row.Parent
	}
	var values []*big.Rat
	nodes(row, func(n *html.Node) {
		if n.Data == "a" && attr(n, "data-key") != "" {
			v, _ := new(big.Rat).SetString(attr(n, "data-value"))
			values = append(values, v)
		}
	})
	got, _ := new(big.Rat).SetString(value)
	if len(values) != 3 || new(big.Rat).Sub(values[1], values[0]).Cmp(got) != 0 && !fractiontest.Near(got, new(big.Rat).Sub(values[1], values[0])) {
		c.t.Errorf("%s: the difference %s does not follow from %v", path, value, values)
	}
}

// entered reads a number of the book from the record as data.
func (c *crawler) entered(path, key, value string) {
	got, err := c.stored(key)
	if err != nil || got != value {
		c.t.Errorf("%s: %s shows %s, the book has %s (%v)", path, key, value, got, err)
	}
}

// stored reads a number at its place by its key: book/kind/id/place.
func (c *crawler) stored(key string) (string, error) {
	parts := strings.SplitN(key, "/", 4)
	if parts[1] == "reference" {
		reference, err := trade.Reference()
		if err != nil {
			return "", err
		}
		n, ok := record.Number(reflect.ValueOf(reference), parts[2]+"."+parts[3])
		if !ok {
			return "", fmt.Errorf("no such row")
		}
		return n.Likely.String(), nil
	}
	record, err := c.b.shop.svc.Record(context.Background(), parts[1], parts[2], 0)
	if err != nil {
		return "", err
	}
	var data any
	if err := json.Unmarshal(record.JSON, &data); err != nil {
		return "", err
	}
	for _, step := range strings.FieldsFunc(parts[3], func(r rune) bool { return r == '.' || r == '[' || r == ']' }) {
		switch d := data.(type) {
		case map[string]any:
			data = d[step]
		case []any:
			i, err := strconv.Atoi(step)
			if err != nil || i >= len(d) {
				return "", fmt.Errorf("no entry %s", step)
			}
			data = d[i]
		}
	}
	if ranged, ok := data.(map[string]any); ok {
		data = ranged["likely"]
	}
	want, ok := new(big.Rat).SetString(fmt.Sprint(data))
	if !ok {
		return "", fmt.Errorf("%v is no number", data)
	}
	return bomText(want), nil
}

// bomText writes a number without trailing zeros.
func bomText(r *big.Rat) string {
	text := r.FloatString(20)
	if strings.Contains(text, ".") {
		text = strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
	}
	return text
}

// part checks the low or high end of a range, or its deviation.
func (c *crawler) part(path string, n *html.Node, key string) {
	if strings.HasPrefix(key, "book/") {
		return // its likely value was read from the record, beside it
	}
	href := ""
	nodes(n.Parent.Parent, func(m *html.Node) {
		if m.Data == "a" && attr(m, "data-key") == key {
			href = attr(m, "href")
		}
	})
	e, err := c.explainer(href)
	if err != nil {
		c.t.Errorf("%s: %s: %v", path, key, err)
		return
	}
	s, err := e.step(key)
	want := map[string]string{"low": s.Low, "high": s.High, "sd": s.SD}[attr(n, "data-part")]
	if err != nil || want != attr(n, "data-value") {
		c.t.Errorf("%s: the %s of %s shows %s, the proof has %s", path, attr(n, "data-part"), key, attr(n, "data-value"), want)
	}
}
