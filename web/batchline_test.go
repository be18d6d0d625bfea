package web_test

import (
	"net/url"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// TestOneFigureOfABatchLine: cost and price of the same batch line are one figure each
// on every page that shows them: today, what-if, part, landed, how many, how sure and
// the preview of a quote; alone and together are different lines.
func TestOneFigureOfABatchLine(t *testing.T) {
	t.Parallel()
	s := demoShop(t)
	b := s.signIn(t)
	for _, line := range []struct{ mix, as, name string }{{"glow=100", "", "variant/glow"}, {"glow=60", "", "variant/glow"}, {"glow=60,plain=30", "one", "variant/glow"}, {"part:HS-010@0.4=45", "", "variant/HS-010"}} {
		q := url.Values{"mix": {line.mix}, "day": {"2026-11-25"}, "as": {line.as}}.Encode()
		pages := []string{"/?" + q, "/parts/HS-010?" + q, "/landed?" + q, "/spread?" + q, "/change?" + q + "&key=work-centre/MILL/labour-rate&value=41.50"}
		if line.as == "" {
			pages = append(pages, "/curve?"+q)
		}
		wanted := map[string]string{}
		for _, key := range []string{line.name + "/each/full", line.name + "/price/direct/shelf-price"} {
			seen := map[string][]string{}
			for _, path := range pages {
				for _, value := range shownFor(parsed(t, b.anyPage(path)), key, line.mix) {
					seen[value] = append(seen[value], path)
				}
			}
			if len(seen) != 1 {
				t.Errorf("%s of %s is shown as %v", key, line.mix, seen)
			}
			for value, paths := range seen {
				if wanted[key] = value; len(paths) < 2 {
					t.Errorf("%s of %s is only on %v", key, line.mix, paths)
				}
			}
		}
		if line.mix != "glow=100" {
			continue
		}
		quote := demoQuote()
		for name := range quote {
			if strings.HasPrefix(name, "q.") || strings.HasPrefix(name, "b.") {
				delete(quote, name)
			}
		}
		quote.Set("q.glow", "5")
		quote.Set("b.glow", "100")
		_, preview := b.post("/quotes", quote)
		if !strings.Contains(preview, `data-value="`+wanted[line.name+"/each/full"]+`"`) {
			t.Errorf("the preview of a quote over a batch of 100 does not rest on %s", wanted[line.name+"/each/full"])
		}
	}
}

// shownFor gives the values of a figure on a page that lead to the proof of a batch.
func shownFor(doc *html.Node, key, mix string) []string {
	var out []string
	nodes(doc, func(n *html.Node) {
		if attr(n, "data-key") != key || attr(n, "href") == "" {
			return
		}
		address, err := url.Parse(attr(n, "href"))
		if err == nil && address.Query().Get("mix") == mix && address.Query().Get("change") == "" {
			out = append(out, attr(n, "data-value"))
		}
	})
	return out
}
