package web_test

import (
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"kerfbook/api/answer/change"
	"kerfbook/costing/papers/show"
)

// look finds something to change by words of it, and changes it or takes it away.
func (c *clerk) look(words, button string) {
	c.t.Helper()
	c.fill("#f-find", words)
	c.press("#form .row:last-of-type button")
	c.press(button)
}

// TestScenarioWalk changes a wage, takes a step away and sets a set-up, keeps that, compares
// it with another scenario, and takes that over: in the demo, and in a shop that has one part.
func TestScenarioWalk(t *testing.T) {
	inBrowser(t)
	browser := chrome(t)
	c := &clerk{tab: demoShop(t).openSignedIn(t, browser)}
	c.visit("/?n.plain=100&n.glow=60&n.tune=")
	c.press(`nav a[href^="/change"]`)
	c.look("mill labour rate", ".found button[value='work-centre/MILL/labour-rate']")
	c.fill("#f-value", "41.50")
	c.look("deburr", ".found button[name=take]")
	c.look("mill set-up base", ".found button[name=add]")
	c.fill("#f-value-2", "30")
	c.press("#form .actions button")
	c.expect("#effect", "40 deburr, heat sink")
	c.fill("#f-name", "dearer hours")
	c.press("button[value=keep]")
	c.expect("main", "Kept under its name.")
	c.atMost("three changes with a name", 9, 6, 9)

	c.press("main section a")
	c.press("button[name=drop][value='1']")
	c.fill("#f-name", "hours alone")
	c.press("button[value=keep]")
	c.expect("table thead", "hours alone")
	c.expect("table", "Plain, full cost")
	c.expect("table", "minutes of all operations, over the pieces")
	c.atMost("comparing with a second scenario", 3, 1, 3)

	c.press(`main section a[href$="hours+alone"]`)
	c.press("#effect form button:not([name])")
	c.expect("main", "Undo")
	c.visit("/scenarios")
	c.expect("main", "the book says so already")
	c.atMost("taking it over", 2, 0, 2)
	axe(c.tab, []string{"/scenarios", "/change?scenario=dearer+hours"})

	text := must(os.ReadFile(filepath.Join("testdata", "story", "knob.yaml")))(t)
	alone, _, _ := strings.Cut(string(text), "products:")
	c = &clerk{tab: shopWith(t, []byte(alone)).openSignedIn(t, browser)}
	c.visit("/change")
	c.press(`main a[href^="/change?mix=part"]`)
	c.look("lathe labour", ".found button")
	c.fill("#f-value", "31")
	c.look("turn set-up", ".found button[name=add]")
	c.fill("#f-value-1", "35")
	c.look("turn handling", ".found button[name=add]")
	c.fill("#f-value-2", "0.2")
	c.press("#form .actions button")
	c.fill("#f-name", "slower start")
	c.press("button[value=keep]")
	c.expect("table", "knob, full cost")
	c.atMost("the same of a part alone", 9, 7, 9)
}

// TestWhatIfPageIsTheAnswer: without scripts the page shows the figures of the answer, of
// each trim in its batch, and with a change left out again the former ones; a change that
// applies no longer is named, and another reads what was kept.
// TestWhatIfBegins follows what the page offers to whoever has no word yet: each leads to
// something that can be changed.
func TestWhatIfBegins(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	links := 0
	nodes(parsed(t, b.page("/change?mix=plain%3D40")), func(n *html.Node) {
		if to := attr(n, "href"); n.Data == "a" && strings.Contains(to, "find=") {
			links++
			if found := b.page(to); !strings.Contains(found, "Change<span") || !strings.Contains(to, "mix=plain%3D40") {
				t.Errorf("%s finds nothing", to)
			}
		}
	})
	if links < 6 {
		t.Errorf("%d beginnings", links)
	}
}

func TestWhatIfPageIsTheAnswer(t *testing.T) {
	t.Parallel()
	s := demoShop(t)
	b := s.signIn(t)
	q := url.Values{"mix": {"plain=100,glow=60"}, "day": {"2026-11-25"}, "key": {"work-centre/MILL/labour-rate", "book/parts/HS-010/routing[2]", "book/parts/HS-010/routing[3].work_centre"}, "value": {"41.50"}, "value.1": {""}, "value.2": {"MILL"}}
	page := b.page("/change?" + q.Encode())
	checkPage(t, "three changes", page)
	changes := []change.Change{{Key: q["key"][0], Value: "41.5"}, {Key: q["key"][1], Value: ""}, {Key: q["key"][2], Value: "MILL"}}
	c := s.callAt(t, "/change?"+q.Encode())
	shown := func(page string, changes []change.Change) {
		t.Helper()
		doc := parsed(t, page)
		for _, mix := range c.View.Mixes() {
			what := must(s.svc.WhatIf(t.Context(), mix, c.View.Day, changes))(t)
			for _, m := range what.Moves {
				if m.Trim == "" {
					continue
				}
				rows := rowsOf(doc, "effect-f-"+m.Trim)[1:]
				for i, f := range m.Figures {
					if f.Destination != "" || len(rows) == 0 {
						break
					}
					if f.Label == "full cost" && !strings.Contains(page, `data-value="`+f.After.Value+`"`) {
						t.Errorf("the page lacks %s %s", f.Label, f.After.Value)
					}
					if n, ok := f.After.Number(); ok && f.After.Unit == "EUR/piece" && rows[i][2] != show.Money(n, "EUR") {
						t.Errorf("%s of %s: %v, the answer has %s", f.Label, m.Trim, rows[i], f.After.Value)
					}
				}
			}
		}
	}
	shown(page, changes)
	q.Set("drop", "1")
	shown(b.page("/change?"+q.Encode()), []change.Change{changes[0], changes[2]})
	q.Del("drop")

	q.Set("do", "keep")
	q.Set("name", "no fins")
	if code, kept := b.post("/change", q); code != 200 || !strings.Contains(kept, "no fins") {
		t.Fatalf("%d\n%s", code, kept)
	}
	code, twice := b.post("/change", q)
	if code != 422 || !strings.Contains(twice, "there is such a scenario already") {
		t.Errorf("a name twice: %d", code)
	}
	checkPage(t, "a name twice", twice)
	single := url.Values{"mix": {"plain=100"}, "key": {q["key"][0]}, "value": {"30"}, "version": {hidden(t, page, "version")}}
	if code, _ := b.post("/change", single); code != 200 {
		t.Fatal(code)
	}
	opened := b.page("/change?scenario=no+fins")
	checkPage(t, "opened", opened)
	says(t, "what lapsed", opened, "the book says 30 by now; it was written when that was 26", "Save all 2 in one change", "Scenario <b class=\"name\">no fins</b>")
	proof := regexp.MustCompile(`href="(/proof/variant/plain/each/full\?[^"]*change=[^"]*)"`).FindStringSubmatch(opened)
	if proof == nil {
		t.Fatal("no figure leads to its proof with the changes")
	}
	says(t, "its proof", b.page(unescaped(proof[1])), "book/parts/HS-010/routing[2]=", "book/parts/HS-010/routing[3].work_centre=MILL")
	list := b.page("/scenarios")
	checkPage(t, "scenarios", list)
	form := url.Values{"name": {"no fins"}, "version": {hidden(t, list, "version")}, "do": {"rename.0"}, "rename.0": {"slab"}}
	if code, body := b.post("/scenarios", form); code != 200 || !strings.Contains(body, "slab") || strings.Contains(body, ">no fins<") {
		t.Errorf("renaming: %d", code)
	}
	if code, body := b.post("/scenarios", form); code != 422 || !strings.Contains(body, "there is no scenario no fins") {
		t.Errorf("renaming what is not there: %d", code)
	}
	form = url.Values{"name": {"slab"}, "version": {hidden(t, b.page("/scenarios"), "version")}, "do": {"remove"}}
	if code, body := b.post("/scenarios", form); code != 200 || !strings.Contains(body, "the book stays as it is") {
		t.Errorf("removing: %d", code)
	}
}
