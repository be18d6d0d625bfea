package web_test

import (
	"math"
	"net/http"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// The keystroke-level model in seconds: a key of an average typist, pointing, a hand that
// moves between mouse and keys, and making up one's mind. Card, Moran and Newell, "The
// keystroke-level model for user performance time with interactive systems", 1980.
const (
	keying, pointing, homing, minding = 0.28, 1.1, 0.4, 1.35
)

// takes is how long filling fields with so many characters and pressing so often takes: for
// each a mind made up, a way there, and a hand on keys or mouse.
func takes(characters, fields, presses int) float64 {
	return float64(characters)*keying + float64(fields)*(minding+pointing+2*homing) + float64(presses)*(minding+pointing+keying)
}

// TestFirstPrice is the walk: from an empty database to the band of a knob, then what is
// cut into it, which is cut at once with tools that the shop has none of yet, then what is
// left; and the same of a milled plate in the shop that there is then.
func TestFirstPrice(t *testing.T) {
	inBrowser(t)
	s := newShop(t)
	c := &clerk{tab: s.openSignedIn(t, chrome(t))}
	c.visit("/")
	c.press(`main a[href="/parts/first"]`)
	if got := eval[string](c.tab, `["#f-currency", "#f-country"].map(f => document.querySelector(f).value).join()`); got != "USD,US" {
		t.Errorf("the browser says en-US, and the shop is guessed at %s", got)
	}
	shown := `["#f-diameter", "#f-length", "#f-width", "#f-thickness"].filter(f => document.querySelector(f).checkVisibility()).join()`
	if got := eval[string](c.tab, shown); got != "#f-diameter,#f-length" {
		t.Errorf("of a turned part is asked %s", got)
	}
	c.fill("#f-name", "brass knob")
	c.choose("#f-material", "brass")
	c.fill("#f-length", "22")
	c.fill("#f-diameter", "20")
	c.fill("#f-hour", "58")
	c.fill("#f-pieces", "100")
	c.press("#form .actions button[type=submit]")
	if seconds := takes(len("brass knob"+"22"+"20"+"58"+"100"), c.fields, c.presses+1); seconds > 60 { // a choice is two presses
		t.Errorf("the first band takes %.0f s", seconds)
	}
	c.expect("main", "100 at once cost between 2.")
	c.atMost("the first band of a knob", 3, 5, 2)
	c.fits("the first band of a knob")
	width := func() float64 {
		return eval[float64](c.tab, `(n => n("/high/value") - n("/low/value"))(at => +document.querySelector("#answer ~ p [data-stat='"+at+"']").dataset.value)`)
	}
	was := width()
	narrower := func(after string) {
		t.Helper()
		if now := width(); now >= was {
			t.Errorf("after %s the band is %g wide, and was %g", after, now, was)
		} else {
			was = now
		}
	}
	c.fill("#f-cut-hole-diameter", "5")
	c.fill("#f-cut-hole-depth", "20")
	c.fill("#f-cut-thread-name", "M6")
	c.fill("#f-cut-thread-depth", "12")
	c.fill("#f-cut-knurl-depth", "12")
	c.press("#form .actions button[type=submit]")
	c.expect("main", "thread M6, pitch 1")
	c.expect("main", "at first")
	c.expect("main", "with the program, not yours yet")
	narrower("a hole, a thread and a knurl")
	c.do(chromedp.Click(chromedp.CSS(`input[name="cut-all"]`)))
	c.presses++
	c.press("#form .actions button[type=submit]")
	c.expect("main", "Nothing else is cut")
	narrower("nothing else")
	c.atMost("what is cut into it", 3, 5, 2)
	c.fits("the band of a knob that is cut")
	c.fill("#f-rest_min", "0.5")
	c.fill("#f-setup_min", "45")
	c.fill("#f-hand_min", "0.4")
	c.fill("#f-check_min", "0.5")
	c.fill("#f-price_per_kg", "8.20")
	c.do(chromedp.Click(chromedp.CSS(`input[name="in-my-hour"]`)))
	c.presses++
	c.press("#form .actions button[type=submit]")
	c.expect("main", "Good enough to quote; what is left is the spread of")
	narrower("the rest")
	c.atMost("the rest of it, and what is not counted", 2, 5, 1)
	sell(c, true)
	c.atMost("from the band of a knob to its quote", 7, 6, 6) // in all 15 presses and 21 fields
	b := s.signIn(t)
	if start := b.page("/"); !strings.Contains(start, "brass knob") || !strings.Contains(start, ">full cost<") {
		t.Error("the start page has no cost of the knob")
	}
	if paper, _, _ := strings.Cut(b.page("/quotes/2026-0001"), "</article>"); !strings.Contains(paper, "edges broken") || strings.Contains(paper, "Ra 1.6") {
		t.Error("the buyer is promised a roughness that nobody said")
	}
	says(t, "the tool that came", b.page("/book/tools/DRILL-5"), "starter set drills")

	c.visit("/parts/first")
	c.presses++ // of a link that leads there
	c.fill("#f-name", "cover plate")
	c.choose("#f-way", "milled")
	if got := eval[string](c.tab, shown); got != "#f-length,#f-width,#f-thickness" {
		t.Errorf("of a milled part is asked %s", got)
	}
	c.fill("#f-length", "80")
	c.fill("#f-width", "50")
	c.fill("#f-thickness", "10")
	c.fill("#f-hour", "62")
	c.fill("#f-pieces", "50")
	c.press("#form .actions button[type=submit]")
	c.expect("main", "50 at once cost between ")
	c.atMost("the first band of a plate", 3, 6, 1)
	was = width()
	c.fill("#f-cut-hole-diameter", "5.3")
	c.fill("#f-cut-hole-depth", "10")
	c.fill("#f-cut-hole-count", "4")
	c.fill("#f-cut-pocket-length", "40")
	c.fill("#f-cut-pocket-width", "25")
	c.fill("#f-cut-pocket-depth", "6")
	c.do(chromedp.Click(chromedp.CSS(`input[name="cut-all"]`)))
	c.presses++
	c.press("#form .actions button[type=submit]")
	c.expect("main", "4 × hole 5.3")
	narrower("four holes and a pocket")
	c.atMost("what is cut into the plate", 2, 6, 1)
	if got := eval[string](c.tab, `[...document.querySelectorAll("#f-finish option")].map(o => o.value).filter(v => v.includes("anod") || v.includes("-tin")).join()`); got != "finish-anodising,finish-hard-anodising" {
		t.Errorf("aluminium is offered %s", got)
	}
	c.choose("#f-finish", "finish-anodising")
	c.press("#form .actions button[type=submit]")
	c.expect("main", "Finish: anodising. Its prices come with the program")
	was = width()
	c.fill("#f-least_charge", "60")
	c.press("#form .actions button[type=submit]")
	narrower("the least charge of the finisher")
	c.do(chromedp.Click(chromedp.CSS(`input[name="keep"]`)))
	c.presses++
	c.press("#form .actions button[type=submit]")
	if eval[bool](c.tab, `(d => [...document.querySelectorAll("main .tick.fine")].some(t => t.textContent === d("low") + " to " + d("high")))(e => document.querySelector("#answer ~ p [data-stat='/" + e + "/value']").textContent)`) {
		t.Error("the band is drawn twice, though keeping prices moves nothing")
	}
	if left := eval[string](c.tab, `document.querySelector("main").innerText`); strings.Contains(left, "come with the program: say yours") || strings.Contains(left, "Price of anodising") {
		t.Error("prices that are kept are asked again")
	}
	c.atMost("the finish of the plate", 5, 1, 3)
	sell(c, false)
	c.atMost("from the band of a plate to its quote", 6, 4, 5)
	says(t, "the finish", b.page("/book/outside_processes/finish-anodising"), "kept: starter finish-anodising", "60")
	says(t, "its supplier", b.page("/book/suppliers/FINISHER"), "a finisher, none chosen yet")
	axe(c.tab, []string{"/parts/first", "/parts/COVER-PLATE/first?pieces=50"})
	says(t, "a drill of no starter set", b.page("/book/tools/DRILL-5.3"), "made to size after DRILL-")
}

// TestFirstPriceOfADrawing walks through all that a drawing of a knob and its maker say: a
// second side, a hole across, its finest surface, a layer by the piece in a barrel, programming
// and packing; then as a doubter: another hour, and no thread.
func TestFirstPriceOfADrawing(t *testing.T) {
	inBrowser(t)
	s := newShop(t)
	c := &clerk{tab: s.openSignedIn(t, chrome(t))}
	set, tick := "#form .actions button[type=submit]", func(selector string) {
		c.do(chromedp.Click(chromedp.CSS(selector)))
		c.presses++
	}
	fill := func(said ...string) {
		for i := 0; i < len(said); i += 2 {
			c.fill("#f-"+said[i], said[i+1])
		}
	}
	c.visit("/parts/first")
	c.choose("#f-material", "brass")
	fill("name", "knob", "length", "18", "diameter", "24", "hour", "46", "pieces", "96")
	c.press(set)
	fill("cut-hole-diameter", "5", "cut-hole-depth", "15", "cut-thread-name", "M6", "cut-thread-depth", "12", "cut-knurl-depth", "12", "ra", "0.8", "layer", "5")
	tick(`input[name="cut-second"]`)
	tick(`input[name="cut-all"]`)
	c.choose("#f-finish", "finish-nickel-barrel")
	c.press(set)
	for _, said := range []string{"second face", "Finished to Ra 0.8", "takes 20 µm off the pitch diameter", "nickel plating in a barrel"} {
		c.expect("main", said)
	}
	c.fits("the band of a drawing, with its finish asked")
	for _, field := range []string{"cut-hole-depth", "ra", "hour", "price_per_kg", "hand_min", "setup_min", "minutes-scrap"} { // typed and not counted, as nobody needs to
		eval[bool](c.tab, `(document.querySelector("#f-`+field+`").value = "x") !== ""`)
	}
	c.tab.press(set)
	c.expect("#problems", "Set-up: enter a number")
	c.fits("the band of a drawing, with seven errors")
	c.visit("/parts/KNOB/first?pieces=96")
	tick(".cuts details summary")
	fill("cut-hole-diameter", "3", "cut-hole-depth", "9", "least_charge", "60", "price_per_dm2", "0.35", "price_per_kg", "8.20", "check_min", "0.5", "setup_min", "40", "minutes-programming", "30", "minutes-packing", "1")
	c.choose("#f-cut-hole-side", "across:DRILL-PRESS")
	c.choose("select[name='per-price_per_dm2']", "piece_price")
	tick(`input[name="in-my-hour"]`)
	c.press(set)
	c.expect("main", "hole 3 across")
	c.fits("the band of a drawing")
	rests := func() float64 {
		return eval[float64](c.tab, `+document.querySelector("#answer ~ p b [data-value]").dataset.value`)
	}
	before := rests()
	c.fill("#f-hour", "60")
	c.tab.fill("#f-margin", "35") // of the next step, which is not gone to yet
	c.press(set)
	c.expect("main", "at the lathe, and of you at the drill press")
	if margin := eval[string](c.tab, `document.querySelector("#f-margin").value`); margin != "35" {
		t.Errorf("after an answer the margin typed is %s", margin)
	}
	if after := rests(); after < before*1.1 {
		t.Errorf("an hour at 60 in place of 46 moves the cost from %.2f to %.2f", before, after)
	}
	before = rests()
	c.press(`button[aria-label="take away thread M6, pitch 1"]`)
	c.expect("main", "hole 5")
	if after := rests(); after >= before {
		t.Errorf("without the thread it costs %.2f, with it %.2f", after, before)
	}
	c.fill("#f-margin", "35")
	c.press("#sell button[type=submit]")
	c.expect("main", "35.0 %")
	c.atMost("from nothing to the price of a drawing, and its doubts", 14, 23, 6)
}

// TestFirstPriceByKeyboard walks to the band of a knob without a mouse.
func TestFirstPriceByKeyboard(t *testing.T) {
	inBrowser(t)
	c := &clerk{tab: newShop(t).openSignedIn(t, chrome(t))}
	c.visit("/")
	keys := func(text string) { c.do(chromedp.KeyEvent(text)) }
	to := func(selector string) {
		t.Helper()
		for range 40 {
			if eval[bool](c.tab, `document.activeElement.matches("`+selector+`")`) {
				return
			}
			keys(kb.Tab)
		}
		t.Fatalf("no number of tabs leads to %s", selector)
	}
	to("main a[href='/parts/first']")
	keys(kb.Enter)
	c.do(chromedp.WaitVisible(chromedp.CSS("#f-name")))
	for _, f := range [][2]string{{"#f-name", "brass knob"}, {"#f-material", "free-cutting b"}, {"#f-diameter", "20"}, {"#f-length", "22"}, {"#f-hour", "58"}, {"#f-pieces", "100"}} {
		to(f[0])
		keys(f[1])
	}
	keys(kb.Enter)
	c.do(chromedp.WaitVisible(chromedp.CSS("#answer")))
	c.expect("main", "100 at once cost between 2.")
}

// TestFirstPriceWithoutScripts walks by forms alone: a knob to its band, what is cut into
// it, answers, what is not counted, and the workbook to take away.
func TestFirstPriceWithoutScripts(t *testing.T) {
	t.Parallel()
	s := newShop(t)
	b := s.signIn(t)
	code, band := b.post("/parts/first", url.Values{"name": {"knob"}, "way": {"turned"}, "material": {"brass"}, "length": {"22"}, "diameter": {"20"}, "width": {""}, "thickness": {""}, "hour": {"58"}, "pieces": {"100"}, "country": {"portugal"}, "currency": {"EUR"}})
	checkPage(t, "band", band)
	if code != http.StatusOK || !strings.Contains(band, "What would narrow it most") || !strings.Contains(band, `name="minutes-programming"`) {
		t.Fatalf("the band: %d", code)
	}
	says(t, "the band", band, `name="not-counted-packing" value="none"`, `name="not-counted-packing" value="in_rate"`, `name="minutes-packing"`)
	if strings.Contains(band, "Check:") {
		t.Error("a page about a first guess warns of one")
	}
	answer := func(typed url.Values) (int, string) {
		typed.Set("version", hidden(t, band, "version"))
		typed.Set("pieces", "100")
		typed.Add("was", hidden(t, band, "was"))
		code, text := b.post("/parts/KNOB/first", typed)
		checkPage(t, "answered", text)
		return code, text
	}
	refused := func(typed url.Values, want ...string) {
		t.Helper()
		code, text := answer(typed)
		if code != http.StatusUnprocessableEntity {
			t.Errorf("%v: %d", typed, code)
		}
		says(t, "the refusal", text, want...)
		if strings.Contains(text, "line ") && strings.Contains(text, "column ") {
			t.Error("a refusal tells a line and a column of what nobody wrote")
		}
	}
	refused(url.Values{}, "Nothing is said yet")
	refused(url.Values{"piece_min": {"long"}, "setup_min": {"70"}, "cut-hole-diameter": {"5"}, "cut-thread-name": {"M7"}}, "enter a number such as 4.5", `value="70"`,
		"Drilled holes, depth: enter a number above 0", "enter what the drawing calls it, such as M6", "Threads, length: enter a number")
	refused(url.Values{"ra": {"0"}}, "Surface, Ra (else 1.6): enter a number above 0")
	refused(url.Values{"ra-face": {"0.8"}, "cut-second": {"yes"}}, "no face turned first is finished yet", `name="cut-second" value="yes" checked`)
	refused(url.Values{"ra": {"0.8"}}, "nothing is finished yet")
	refused(url.Values{"cut-hole-diameter": {"25"}, "cut-hole-depth": {"40"}, "cut-second": {"yes"}, "cut-all": {"yes"}}, "25 has no room in the finished part",
		`name="cut-second" value="yes" checked`, `name="cut-all" value="yes" checked`, `name="programs-over"`)
	if tools := b.page("/book/tools"); strings.Contains(tools, "DRILL-25") {
		t.Error("a tool came for a hole that was refused")
	}
	says(t, "the second side", band, `name="cut-second"`, "counted as it was parted off", "no finish and no second side and no hole across is counted")
	code, text := answer(url.Values{"cut-second": {"yes"}, "cut-hole-diameter": {"5"}, "cut-hole-depth": {"20"}, "cut-thread-name": {"m6"}, "cut-thread-depth": {"12"}, "cut-thread-side": {"outside"}, "cut-knurl-depth": {"8"}, "cut-all": {"yes"}, "setup_min": {"1 h 10"}})
	if code != http.StatusOK {
		t.Fatalf("what is cut into it: %d", code)
	}
	says(t, "the band come back to", b.page("/parts/KNOB/first?pieces=100"), `name="said" value="so far"`)
	says(t, "the band", text, "at first", "tool wear", "second face", "Loading, second side", "Set-up, second side", "Entered: ", "which is assumed where you say none", "turned down for M6", "thread M6, pitch 1", "knurl", "Moves, tool changes and loading", "Checking", "Built on", `href="/book/tools/`, "starter set small-lathe", "reference material brass")
	if strings.Contains(text, `name="cut-second"`) || strings.Contains(text, "Not a whole cost yet") || strings.Contains(text, "Minutes on the machine") {
		t.Error("what was entered is not cut, or is guessed beside it")
	}
	refused(url.Values{"hand_min": {"2"}}, "Somebody else changed the part")
	band = text
	refused(url.Values{"minutes-scrap": {"100"}}, "enter how many of 100 pieces are lost")
	code, text = answer(url.Values{"not-counted-edges": {"in_rate"}, "minutes-scrap": {"3"}, "rest_min": {"0.4"}, "rest_min-15": {"0.4"}, "setup_min-15": {"20"}, "hand_min": {"2"}, "check_min": {"0.3"}, "price_per_kg": {"6.5"}})
	if code != http.StatusOK || strings.Contains(text, `name="not-counted-edges"`) || !strings.Contains(text, "2 matters have no word yet") || strings.Contains(text, "Good enough") {
		t.Errorf("the rest: %d", code)
	}
	says(t, "the record", b.page("/book/parts/KNOB"), "70", "6.5", "0.97", "an hour rate or overhead contains it")
	before := bandMiddle(t, b, "KNOB")
	band = text
	if code, band = answer(url.Values{"minutes-packing": {"1"}}); code != http.StatusOK || strings.Contains(band, `name="minutes-packing"`) {
		t.Errorf("packing: %d", code)
	}
	packed := bandMiddle(t, b, "KNOB")
	if rise := packed - before; math.Abs(rise-58./60) > 0.03 { // a minute of the hour, in bands drawn anew
		t.Errorf("a minute of packing adds %.3f", rise)
	}
	before = packed
	refused(url.Values{"layer": {"10"}}, "choose the finish that leaves it")
	refused(url.Values{"layer": {"10"}, "finish": {"finish-blasting"}}, "leaves no layer")
	refused(url.Values{"minutes-programming": {"60"}}, "enter over how many pieces it is spread", `value="60"`)
	refused(url.Values{"programs-over": {"500"}}, "Programming: enter what it takes for the part")
	code, text = answer(url.Values{"minutes-programming": {"60"}, "programs-over": {"500"}})
	if code != http.StatusOK || strings.Contains(text, `name="minutes-programming"`) {
		t.Errorf("programming: %d", code)
	}
	if rise := bandMiddle(t, b, "KNOB") - before; math.Abs(rise-58./500) > 0.02 { // an hour at 58 an hour over 500 pieces, in bands drawn anew
		t.Errorf("programming adds %.3f", rise)
	}
	says(t, "the part", b.page("/parts/KNOB"), "packing", "Delivery is no cost of the part")
	if strings.Contains(b.page("/"), "packing of knob") {
		t.Error("Today asks for a packing that is entered")
	}
	if code, _ := b.post("/book/products", url.Values{"tab": {"form"}, "do": {"save"}, "name": {"pair"}, "positions[0].part": {"KNOB"}, "positions[0].quantity": {"2"}, "trims[0].name": {"plain"}}); code != http.StatusOK {
		t.Fatalf("a pair: %d", code)
	}
	says(t, "the band of a part of a product", b.page("/parts/KNOB/first"), "packs knob as it is sold by itself, and counts in pair too")
	edit := b.page("/book/parts/KNOB/edit?tab=text")
	_, look := b.post("/book/parts/KNOB", url.Values{"version": {hidden(t, edit, "version")}, "tab": {"text"}, "pieces": {"60"}, "do": {"look"}, "text": {strings.Replace(typedText(t, edit), "setup_min: 70", "setup_min: 90", 1)}})
	if strings.Count(look, "knob at 60, full cost") != 1 {
		t.Errorf("the effect is not told of 60 pieces once:\n%s", look)
	}
	if _, sorted := b.post("/book/parts", url.Values{"tab": {"form"}, "do": {"save"}, "number": {"SORTED"}, "name": {"sorted"}, "kind": {"made"}, "routing[0].number": {"20"}, "routing[0].name": {"done second"},
		"routing[0].kind": {"manual"}, "routing[1].number": {"10"}, "routing[1].name": {"done first"}, "routing[1].kind": {"manual"}}); strings.Index(sorted, "done first") > strings.Index(sorted, "done second") || !strings.Contains(sorted, "Saved in your book.") {
		t.Error("operations stand in the order that they were typed in, not by their numbers")
	}
	_, second := b.post("/parts/first", url.Values{"name": {"pin"}, "way": {"turned"}, "material": {"brass"}, "length": {"30"}, "diameter": {"8"}, "hour": {"58"}, "pieces": {"100"}})
	if text := textOf(parsed(t, second)); !strings.Contains(text, "Material: 6.5 EUR a kilogram, as for knob.") || strings.Contains(second, `name="price_per_kg"`) {
		t.Error("what a kilogram of the first part costs is asked again of a second one")
	}
	if file := b.page("/parts/KNOB/cost.xlsx?pieces=100"); !strings.HasPrefix(file, "PK") {
		t.Error("the workbook is none")
	}
}

// bandMiddle is the middle of the band of 100 of a part, as its page has it.
func bandMiddle(t *testing.T, b *browser, part string) float64 {
	t.Helper()
	found := regexp.MustCompile(`in the middle <b><span[^>]* data-value="([^"]*)"`).FindStringSubmatch(b.page("/parts/" + part + "/first?pieces=100"))
	if found == nil {
		t.Fatalf("the page of %s has no middle", part)
	}
	return must(strconv.ParseFloat(found[1], 64))(t)
}

// TestFirstPriceAcrossTheAxis: how a hole lies is asked; across the axis it brings a clamping
// of its own, whose loading and set-up are in the cost and asked, at a drill press that is a
// starter row; taken away in place it goes with
// its operation.
func TestFirstPriceAcrossTheAxis(t *testing.T) {
	t.Parallel()
	s := emptyShop(t)
	b := s.signIn(t)
	_, band := b.post("/parts/first", url.Values{"name": {"knob"}, "way": {"turned"}, "material": {"brass"}, "length": {"22"}, "diameter": {"20"}, "hour": {"58"}, "pieces": {"100"}, "country": {"PT"}, "currency": {"EUR"}})
	says(t, "the band", band, "across the axis, at a drill press (comes with the program)", "across the axis, in the same clamping")
	say := func(typed url.Values) (int, string) {
		typed.Set("version", hidden(t, band, "version"))
		typed.Set("pieces", "100")
		code, text := b.post("/parts/KNOB/first", typed)
		checkPage(t, "answered", text)
		return code, text
	}
	across := url.Values{"cut-hole-diameter": {"4"}, "cut-hole-depth": {"20"}, "cut-hole-side": {"across:NOWHERE"}, "cut-all": {"yes"}}
	if code, text := say(across); code != http.StatusUnprocessableEntity || !strings.Contains(text, "say how it lies") {
		t.Errorf("across at no machine: %d", code)
	}
	across.Set("cut-hole-side", "across:DRILL-PRESS")
	code, text := say(across)
	if band = text; code != http.StatusOK {
		t.Fatalf("across: %d", code)
	}
	says(t, "the band", text, "hole 4 across", "Loading, drilling across", "Set-up, drilling across", "starter machine-drill-press", "across the axis, at the drill press", "at a mill (comes with the program)",
		`name="away" value="15/1-hole-4-across" aria-label="take away hole 4 across"`, "brings its core hole", "If every guess is right, a piece costs ", "A price rests on ", "minutes of loading and unloading by hand")
	for _, row := range rowsOf(parsed(t, b.page("/parts/KNOB?pieces=100")), "minutes-table")[1:] {
		sum := 0.
		for _, cell := range row[1 : len(row)-1] {
			minutes, _ := strconv.ParseFloat(cell, 64) // a dash is none
			sum += minutes
		}
		if all := must(strconv.ParseFloat(row[len(row)-1], 64))(t); all == 0 || math.Abs(sum-all) > 0.03 { // each is rounded to a hundredth
			t.Errorf("minutes of %v add up to %.2f", row, sum)
		}
	}
	cost := func() float64 { return bandMiddle(t, b, "KNOB") }
	with := cost()
	hourOfAPart(t, b, &band)
	if code, band = say(url.Values{"rest_min-15": {"0.5"}, "about-rest_min-15": {"yes"}, "setup_min-15": {"15"}, "rest_min": {"0.4"}}); code != http.StatusOK || strings.Contains(band, "drilling across") {
		t.Errorf("what the clamping takes, answered: %d", code)
	}
	for _, covered := range []string{"moves", "loading", "tool_changes"} {
		if strings.Contains(band, `name="not-counted-`+covered) {
			t.Errorf("%s are asked, and contained in what was answered", covered)
		}
	}
	kept := must(s.svc.Record(t.Context(), "parts", "KNOB", 0))(t)
	if text := string(kept.Text); !strings.Contains(text, "handling_min: {low: 0.4, likely: 0.5, high: 0.6}") || !strings.Contains(text, "setup_min: 15") {
		t.Errorf("about half a minute, and a set-up of 15: %s", text)
	}
	if code, band = say(url.Values{"away": {"15/1-hole-4-across"}}); code != http.StatusOK || cost() >= with || strings.Contains(band, "take away hole 4") || !strings.Contains(band, "without hole 4 across") {
		t.Errorf("taken away: %d, the cost is %g and was %g", code, cost(), with)
	}
	log := b.page("/changes")
	says(t, "the log", log, "hole 4 across, drill, depth 20, diameter 4 → nothing", "handling 0.5, between 0.4 and 0.6")
	if strings.Contains(log, "{low") || strings.Contains(log, "id: ") {
		t.Error("the log tells a value as the text of a book has it")
	}
}

// hourOfAPart changes the hour of a knob in place, where the drill press follows it, and that of
// the lathe alone by its record, which the page tells; a page that was not touched changes none.
func hourOfAPart(t *testing.T, b *browser, band *string) {
	t.Helper()
	says(t, "the hour", *band, `name="hour" type="text" value="58"`, "at the lathe, and of you at the drill press")
	say := func(typed url.Values) int {
		typed.Set("version", hidden(t, *band, "version"))
		typed.Set("pieces", "100")
		code, text := b.post("/parts/KNOB/first", typed)
		checkPage(t, "the hour", text)
		*band = text
		return code
	}
	rates := func(want string) {
		t.Helper()
		for _, centre := range []string{"LATHE", "DRILL-PRESS"} {
			if !strings.Contains(b.page("/book/work_centres/"+centre), want) {
				t.Errorf("an hour at %s is not %s", centre, want)
			}
		}
	}
	before := bandMiddle(t, b, "KNOB")
	if code := say(url.Values{"hour": {"62.5"}, "hour-was": {"58"}}); code != http.StatusOK || bandMiddle(t, b, "KNOB") <= before {
		t.Errorf("a dearer hour: %d", code)
	}
	rates("62.5")
	if say(url.Values{"hour": {"58"}, "hour-was": {"58"}, "about-hour": {"yes"}}) != http.StatusUnprocessableEntity {
		t.Error("an hour that nobody touched says something")
	}
	if say(url.Values{"hour": {"much"}, "hour-was": {"62.5"}}) != http.StatusUnprocessableEntity || !strings.Contains(*band, `value="much"`) {
		t.Error("an hour of much is taken")
	}
	rates("62.5")
	edit := b.page("/book/work_centres/LATHE/edit?tab=text")
	if code, _ := b.post("/book/work_centres/LATHE", url.Values{"version": {hidden(t, edit, "version")}, "tab": {"text"}, "do": {"save"}, "text": {strings.Replace(typedText(t, edit), "62.5", "70", 1)}}); code != http.StatusOK {
		t.Fatalf("the record of the lathe: %d", code)
	}
	const differ = "counts as 62.5 at the drill press and as 70 at the lathe"
	says(t, "the band", b.page("/parts/KNOB/first"), differ)
	if code := say(url.Values{"hour": {"58"}, "hour-was": {"70"}}); code != http.StatusOK || !strings.Contains(*band, "62.5 at the drill press and as 58") {
		t.Errorf("a machine at another hour follows: %d", code)
	}
	edit = b.page("/book/work_centres/DRILL-PRESS/edit?tab=text")
	if code, _ := b.post("/book/work_centres/DRILL-PRESS", url.Values{"version": {hidden(t, edit, "version")}, "tab": {"text"}, "do": {"save"}, "text": {strings.Replace(typedText(t, edit), "62.5", "58", 1)}}); code != http.StatusOK {
		t.Fatalf("the record of the drill press: %d", code)
	}
	if *band = b.page("/parts/KNOB/first"); strings.Contains(*band, "drill press and as") {
		t.Error("both are the same and told to differ")
	}
}

// TestFirstPriceWithAGap: where something is missing the band is told as a lower bound,
// and no likely sum beside it as "withheld".
func TestFirstPriceWithAGap(t *testing.T) {
	t.Parallel()
	s := emptyShop(t)
	b := s.signIn(t)
	code, band := b.post("/parts/first", url.Values{"name": {"plate"}, "way": {"milled"}, "material": {"aluminium-6082"}, "length": {"60"}, "width": {"40"}, "thickness": {"20"}, "hour": {"58"}, "pieces": {"100"}, "country": {"PT"}, "currency": {"EUR"}})
	if code != http.StatusOK || strings.Contains(band, "Not a whole cost yet") {
		t.Fatalf("a whole guess: %d, or told as lacking something", code)
	}
	stored := must(s.svc.Record(t.Context(), "parts", "PLATE", 0))(t)
	text := string(stored.Text) + "routing: [{number: 10, name: mill, kind: machining, work_centre: MILL}, {number: 20, name: drill, kind: machining, work_centre: MILL, features: [{id: H, name: holes, kind: drill, count: 2, diameter_mm: 5, depth_mm: 10}]}]\n"
	page := b.page("/book/parts/PLATE/edit")
	if code, answer := b.post("/book/parts/PLATE", url.Values{"version": {hidden(t, page, "version")}, "tab": {"text"}, "text": {text}, "do": {"save"}}); code != http.StatusOK {
		t.Fatalf("saving: %d\n%s", code, answer)
	}
	band = b.page("/parts/PLATE/first")
	checkPage(t, "lacking", band)
	says(t, "the band", band, "at least between", "Not a whole cost yet", "take it into your book")
	if strings.Contains(band, "withheld") {
		t.Error("a sum is told as withheld")
	}
	say := func(name, value string) string {
		t.Helper()
		code, text := b.post("/parts/PLATE/first", url.Values{"version": {hidden(t, band, "version")}, "pieces": {"100"}, name: {value}})
		checkPage(t, name, text)
		if code != http.StatusOK {
			t.Errorf("%s: %d", name, code)
		}
		band = text
		return text
	}
	if strings.Contains(say("begin", "yes"), "Not a whole cost yet") || !strings.Contains(band, "tool drill 5") {
		t.Error("what is cut already got no starter tools")
	}
	if strings.Contains(say("minutes-hand_work", "1.5"), `name="minutes-hand_work"`) {
		t.Error("work by hand is asked again")
	}
	says(t, "the part", b.page("/parts/PLATE"), "work by hand", "Rests on a first guess", `href="/parts/PLATE/first?pieces=100"`)
	for _, product := range []string{"pair of plates", "row of plates"} {
		if code, saved := b.post("/book/products", url.Values{"tab": {"form"}, "do": {"save"}, "name": {product}, "positions[0].part": {"PLATE"}, "positions[0].quantity": {"2"}, "trims[0].name": {"plain"}}); code != http.StatusOK {
			t.Fatalf("%s: %d\n%s", product, code, saved)
		}
	}
	for _, path := range []string{"/", "/trims"} {
		page := b.page(path)
		checkPage(t, path, page)
		says(t, path, page, "Rests on a first guess", `href="/parts/PLATE/first"`, "pair of plates, plain", "row of plates, plain")
	}
}

// TestFirstPriceRefuses: what is wrong stands beside its field, what was typed is kept,
// and nothing is written.
func TestFirstPriceRefuses(t *testing.T) {
	t.Parallel()
	s := emptyShop(t)
	b := s.signIn(t)
	checkPage(t, "form", b.page("/parts/first"))
	right := url.Values{"name": {"plate"}, "way": {"milled"}, "material": {"aluminium-6082"}, "length": {"60"}, "width": {"40"}, "thickness": {"20"}, "hour": {"58"}, "pieces": {"100"}, "country": {"PT"}, "currency": {"EUR"}}
	for field, c := range map[string]struct{ value, says string }{
		"name":      {"", "enter what you call it"},
		"material":  {"", "Of what: choose a material"},
		"length":    {"400", "up to 300 mm"},
		"thickness": {"", "enter a number above 0"},
		"hour":      {"much", "enter a number above 0"},
		"pieces":    {"2.5", "enter a whole number"},
		"currency":  {"EURO", "Currency: enter its three letters"},
		"country":   {"Lampland", "Your country: enter its name in English, such as Germany, or its two letters, such as DE; &#34;Lampland&#34; is neither"},
	} {
		wrong := url.Values{}
		for k, v := range right {
			wrong[k] = v
		}
		wrong.Set(field, c.value)
		code, text := b.post("/parts/first", wrong)
		checkPage(t, field, text)
		if code != http.StatusUnprocessableEntity || !strings.Contains(text, c.says) || !strings.Contains(text, `value="58"`) && field != "hour" {
			t.Errorf("%s %q: %d, want 422 and %q", field, c.value, code, c.says)
		}
	}
	if start := b.page("/parts"); !strings.Contains(start, "No parts yet") {
		t.Error("something was written")
	}
	if code, _ := b.post("/parts/first", right); code != http.StatusOK {
		t.Errorf("%d", code)
	}
	code, text := b.post("/parts/first", right)
	if code != http.StatusUnprocessableEntity || !strings.Contains(text, "there is a part PLATE already") {
		t.Errorf("the same again: %d", code)
	}
	gone := url.Values{"text": {"number: PLATE\nname: plate\nkind: made\n"}, "version": {hidden(t, b.page("/book/parts/PLATE/edit"), "version")}}
	if code, text := b.post("/book/parts/PLATE", gone); code != http.StatusOK || !strings.Contains(text, "without its first guess") || !strings.Contains(text, "or a “first guess” that stands for it") {
		t.Errorf("the first guess is dropped without a word: %d", code)
	}
	right.Set("name", "second plate")
	right.Set("centre", "MILL")
	if code, _ := b.post("/parts/first", right); code != http.StatusOK {
		t.Errorf("a second part at the machine that is there: %d", code)
	}
}
