package web_test

import (
	"bytes"
	"context"
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"kerfbook/testdata"
	"kerfbook/web/form"
)

// featureShop serves the book whose parts are described by features.
func featureShop(t testing.TB) *shop {
	t.Helper()
	return shopWith(t, testdata.Features)
}

const sinkMix = "?mix=bare%3D100&day=2026-11-25"

// featurePages are pages of that book, each with something of its own.
var featurePages = []string{
	"/parts/HS-110" + sinkMix, "/parts/CO-120" + sinkMix, "/parts/DISC-130" + sinkMix, "/parts/PLATE-140" + sinkMix, "/parts/HS-110",
	"/change" + sinkMix + "&key=book/parts/HS-110/routing[0].features[1].fin_width_mm&value=0.6",
	"/change" + sinkMix + "&key=book/parts/HS-110/routing[0].features[5].rz_um&value=",
	"/change" + sinkMix + "&key=book/parts/HS-110/routing[0].features[1].tools&value=EM1",
	"/change" + sinkMix + "&key=book/parts/HS-110/routing[3].treatment.class&value=SC9",
	"/change" + sinkMix + "&key=part/HS-110/op/20/feature/FINS/fin-width&value=0.6",
}

// TestFiguresOfFeatures recomputes every figure of the pages, those with a change
// that is not saved included.
func TestFiguresOfFeatures(t *testing.T) {
	t.Parallel()
	b := featureShop(t).signIn(t)
	c := newCrawler(t, b)
	for _, path := range featurePages {
		text := b.anyPage(path)
		checkPage(t, path, text)
		c.readFigures(path, parsed(t, text))
	}
	if c.figures < 300 || len(c.verified) < 1500 {
		t.Errorf("%d figures were seen, %d recomputed", c.figures, len(c.verified))
	}
}

// rowsOf gives the rows of the table with a caption of an id, as texts of cells.
func rowsOf(doc *html.Node, id string) [][]string {
	var out [][]string
	nodes(doc, func(n *html.Node) {
		if n.Data != "tr" {
			return
		}
		table := n
		for table.Data != "table" {
			table = table.Parent
		}
		if attr(table.FirstChild, "id") != id {
			return
		}
		var row []string
		for cell := n.FirstChild; cell != nil; cell = cell.NextSibling {
			if cell.Type == html.ElementNode {
				row = append(row, textOf(cell))
			}
		}
		out = append(out, row)
	})
	return out
}

// featuresOf gives the rows of what an operation cuts, those of the tool chosen with
// what holds it back behind them.
func featuresOf(doc *html.Node, id string) [][]string {
	out := rowsOf(doc, id)
	for i, held := range rowsOf(doc, id+"-held") {
		out[i] = append(out[i], held[1:]...)
	}
	return out
}

func TestPartPageShowsHowItIsMade(t *testing.T) {
	t.Parallel()
	b := featureShop(t).signIn(t)
	doc := parsed(t, b.page("/parts/HS-110"+sinkMix))
	features := featuresOf(doc, "features-20")
	if len(features) != 7 {
		t.Fatalf("%d rows of features: %v", len(features), features)
	}
	for name, want := range map[int][]string{
		1: {"top face", "face mill 50", "spindle torque"}, 2: {"fins", "slitting saw 1", "end mill 1"},
		3: {"seat", "end mill 3", "highest spindle speed"}, 6: {"mirror", "fly cutter 70", "roughness"},
	} {
		text := strings.Join(features[name], " | ")
		says(t, fmt.Sprint("row ", name), text, want...)
	}
	callOuts := rowsOf(doc, "call-outs")
	text := ""
	for _, row := range callOuts {
		text += strings.Join(row, " | ") + "\n"
	}
	says(t, "the table of call-outs", text, "Rz 1 µm of mirror, operation 20 | Rz 2 µm, twice as rough", "corner radius 1.5 mm of seat", "flatness measured, operation 40 | not measured",
		"class SC2, operation 50 | class SC1, the next thinner one", "masks, operation 50 | without masks")
	if len(withClass(doc, "sheet")) != 1 || !strings.Contains(textOf(doc), "36 blanks on a piece of stock") {
		t.Error("no picture of the bar")
	}
	words := textOf(doc)
	says(t, "the page", words, "mass of stock bought by mass of good pieces", "chips, trims and remnants", "growth of a surface", "change of the diameter of a hole")
	if n := strings.Count(words, "Cutting data are starting values"); n != 1 {
		t.Errorf("the caution about cutting data stands %d times", n)
	}
}

// TestFeatureTableWithoutWearOrMoves: tool, spindle speed, feed and power stand in the
// table also where tools have no life, and a machine neither rapid rate nor change
// time nor limits, since nothing of that is needed to cut.
func TestFeatureTableWithoutWearOrMoves(t *testing.T) {
	t.Parallel()
	unneeded := regexp.MustCompile(`, (life_min|edge_cost|edge_change_min|rapid_mm_min|tool_change_s|tap_reversal_s|spindle_[a-z_]+): [0-9.]+`)
	for name, text := range map[string][]byte{"as it is": testdata.Features, "bare": unneeded.ReplaceAll(testdata.Features, nil)} {
		b := shopWith(t, text).signIn(t)
		for part, table := range map[string]string{"HS-110": "features-20", "CO-120": "features-10"} {
			rows := featuresOf(parsed(t, b.page("/parts/"+part+sinkMix)), table)
			if len(rows) < 3 {
				t.Fatalf("rows of features: %v", rows)
			}
			for _, row := range rows[1:] {
				for i, head := range rows[0] {
					needed := slices.Contains([]string{"Tool", "Spindle, 1/min", "Speed, m/min", "Feed, mm/min or mm", "Cutting, min", "Cost"}, head) ||
						head == "At the cut, kW" && !strings.HasPrefix(row[0], "mirror") && !strings.HasPrefix(row[0], "threads")
					if needed && strings.HasPrefix(row[i], "—") {
						t.Errorf("%s: %s has no %s", name, row[0], head)
					}
				}
			}
		}
	}
}

// TestPowerAtTheMotor: the power at the cut ÷ the efficiency of the spindle, 0.8.
func TestPowerAtTheMotor(t *testing.T) {
	t.Parallel()
	rows := featuresOf(parsed(t, featureShop(t).signIn(t).page("/parts/HS-110"+sinkMix)), "features-20")
	if cut, motor := rows[1][10], rows[1][11]; cut != "1.20" || motor != "1.50" { // held back by the power
		t.Errorf("a face that takes all the power: %s kW at the cut, %s kW at the motor", cut, motor)
	}
}

// TestLineOfAnEngraving: the width that the tool cuts stands with the engraving, and
// that none was entered.
func TestLineOfAnEngraving(t *testing.T) {
	t.Parallel()
	for width, want := range map[string]string{"": "logo engrave, a line of 1.873 mm in a pass; no width entered", ", width_mm: 0.4": "logo engrave, a line of 0.300 mm in a pass"} {
		text := bytes.Replace(testdata.Features, []byte("parts:\n"), []byte("  - {id: BALL, name: ball mill 6, kind: ball_mill, diameter_mm: 6, teeth: 2}\n  - {id: TIP, name: engraver, kind: engraver, diameter_mm: 0.3}\nparts:\n"), 1)
		text = bytes.Replace(text, []byte("          - {id: MIRROR"), []byte("          - {id: LOGO, name: logo, kind: engrave, path_mm: 200, depth_mm: 0.15"+width+"}\n          - {id: MIRROR"), 1)
		row := rowsOf(parsed(t, shopWith(t, text).signIn(t).page("/parts/HS-110"+sinkMix)), "features-20")[6]
		if row[0] != want {
			t.Errorf("got %q, want %q", row[0], want)
		}
	}
}

// TestSpotsAndHandsOnThePage: a spot shows the spindle speed at its own diameter, midway
// to the point, and what is done by hand its minutes by metre in the place of a tool.
func TestSpotsAndHandsOnThePage(t *testing.T) {
	t.Parallel()
	text := bytes.Replace(testdata.Features, []byte("parts:\n"), []byte("  - {id: SPOT, name: spot drill, kind: spot_drill, diameter_mm: 40}\nparts:\n"), 1)
	text = bytes.Replace(text, []byte("          - {id: MIRROR"), []byte("          - {id: MARKS, name: marks, kind: spot, diameter_mm: 8, tools: [SPOT], speed_m_min: 40}\n          - {id: EDGES, name: edges, kind: deburr, path_mm: 250}\n          - {id: MIRROR"), 1)
	rows := featuresOf(parsed(t, shopWith(t, text).signIn(t).page("/parts/HS-110"+sinkMix)), "features-20")
	if spot := rows[6]; spot[0] != "marks spot" || spot[2] != "3183" || spot[9] != "40.0" {
		t.Errorf("%q", spot)
	}
	if edges := rows[7]; edges[1] != "no tool; 2.000 min a metre" || edges[6] != "0.500" {
		t.Errorf("%q", edges)
	}
}

// TestWhatIfOfAFieldIsNotSaved tries a dimension and a demand, and then saves one.
func TestWhatIfOfAFieldIsNotSaved(t *testing.T) {
	t.Parallel()
	s := featureShop(t)
	b := s.signIn(t)
	const key = "book/parts/HS-110/routing[0].features[5].rz_um"
	path := "/change" + sinkMix + "&key=" + key
	doc := parsed(t, b.page(path+"&value=2"))
	part := rowsOf(doc, "effect-part")
	if len(part) < 4 || part[3][0] != "20 mill, min/piece" || !strings.HasPrefix(part[3][3], "−") {
		t.Errorf("the part before and after: %v", part)
	}
	if rows := rowsOf(doc, "effect-f-bare"); len(rows) < 4 || !strings.HasPrefix(rows[len(rows)-1][3], "−") {
		t.Errorf("the trim before and after: %v", rows)
	}
	record, err := s.svc.Record(context.Background(), "parts", "HS-110", 0)
	if err != nil || record.Revision != 1 {
		t.Fatalf("revision %d, %v", record.Revision, err)
	}
	if text := b.anyPage("/change" + sinkMix + "&key=book/parts/HS-110/routing[0].features[1].slot_width_mm&value=0.5"); !strings.Contains(text, "no tool can cut") {
		t.Error("a slot that is too narrow for every tool is not refused")
	}
	form := url.Values{"mix": {"bare=100"}, "day": {"2026-11-25"}, "key": {key}, "value": {""}, "version": {attrOf(doc, "version")}}
	code, body := b.post("/change", form)
	if code != http.StatusOK || !strings.Contains(body, "Saved as the next revision") {
		t.Errorf("saving gives %d", code)
	}
	if record, err = s.svc.Record(context.Background(), "parts", "HS-110", 0); err != nil || record.Revision != 2 || strings.Contains(string(record.Text), "rz_um: 1}") || strings.Contains(string(record.Text), "rz_um: 1\n") {
		t.Errorf("the roughness is still there in revision %d, %v", record.Revision, err)
	}
}

// attrOf is the value of a hidden input.
func attrOf(doc *html.Node, name string) (value string) {
	nodes(doc, func(n *html.Node) {
		if n.Data == "input" && attr(n, "name") == name {
			value = attr(n, "value")
		}
	})
	return value
}

// TestSharedSheetIsDrawn shows the blanks of both parts that are cut together.
func TestSharedSheetIsDrawn(t *testing.T) {
	t.Parallel()
	b := featureShop(t).signIn(t)
	doc := parsed(t, b.page("/parts/STRIP-150"+sinkMix))
	if len(withClass(doc, "sheet")) == 0 || len(withClass(doc, "blank-other")) < 2 {
		t.Errorf("%d sheets, %d areas of the other part", len(withClass(doc, "sheet")), len(withClass(doc, "blank-other")))
	}
	disc := parsed(t, b.page("/parts/DISC-130"+sinkMix))
	found := false
	nodes(disc, func(n *html.Node) { found = found || n.Data == "path" && strings.Contains(attr(n, "d"), "a35 35") })
	if !found {
		t.Error("no discs are drawn")
	}
}

// TestANumberInThePlaceOfAFigure begins an override from the proof of a figure, saves
// it, and sees it wherever the figure stands.
func TestANumberInThePlaceOfAFigure(t *testing.T) {
	t.Parallel()
	s := featureShop(t)
	b := s.signIn(t)
	const proof = "/proof/part/HS-110/op/20/feature/FINS/cutting" + sinkMix
	doc := parsed(t, b.page(proof))
	href := ""
	nodes(doc, func(n *html.Node) {
		if n.Data == "a" && strings.HasPrefix(attr(n, "href"), "/book/overrides/new?") {
			href = attr(n, "href")
		}
	})
	form := b.page(href)
	checkPage(t, href, form)
	if !strings.Contains(form, `name="figure" type="text" value="part/HS-110/op/20/feature/FINS/cutting"`) || !strings.Contains(form, `name="unit" type="text" value="min"`) || !strings.Contains(form, `name="from" type="date" value="2026-11-25"`) {
		t.Errorf("the form of an override is\n%s", form)
	}
	record := "id: timed\nfigure: \"part/HS-110/op/20/feature/FINS/cutting\"\nvalue: 12.5\nunit: \"min\"\nreason: timed on the first ten\nfrom: 2026-11-25\n"
	if code, _ := b.post("/book/overrides", url.Values{"text": {record}}); code != http.StatusOK {
		t.Fatalf("saving gives %d", code)
	}
	text := b.page(proof)
	checkPage(t, proof, text)
	says(t, "the proof", text, "entered in place of the computed figure", "timed on the first ten, since 2026-11-25", "It was entered in place of the computed figure, which is")
	if strings.Contains(text, "/book/overrides/new") {
		t.Error("a figure that is overridden is offered to be so again")
	}
	c := newCrawler(t, b)
	page := b.page("/parts/HS-110" + sinkMix)
	c.readFigures("/parts/HS-110", parsed(t, page))
	if n := strings.Count(page, `title="Entered in place of the computed figure"`); n != 1 {
		t.Errorf("%d figures of the page say that they were entered", n)
	}
	if start := b.page("/" + sinkMix); !strings.Contains(start, "timed on the first ten (12.5 min in place of ") {
		t.Error("the page of the trims has no finding about it")
	}
	for _, path := range []string{"/book/overrides", "/book/overrides/timed", "/book/tools", "/book/cutting_data", "/book/factors", "/book/tools/FLY70"} {
		checkPage(t, path, b.page(path))
	}
}

// TestWordsOfMotion: the unit of an acceleration is not that of a time.
func TestWordsOfMotion(t *testing.T) {
	t.Parallel()
	for name, want := range map[string]string{"acceleration_m_s2": "acceleration, m/s²", "settling_s": "settling, s", "spacing_mm": "spacing, mm"} {
		if got := form.Words(name); got != want {
			t.Errorf("%s is shown as %q, want %q", name, got, want)
		}
	}
}
