package web_test

import (
	"encoding/json"
	"fmt"
	"math/big"
	"net/http/httptest"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/net/html"

	saying "kerfbook/api/answer"
	asking "kerfbook/api/answer/study"
	"kerfbook/bom"
	"kerfbook/costing/estimate"
	"kerfbook/web/cost"
	"kerfbook/web/frame"
	"kerfbook/web/study"
	"kerfbook/web/trade"
)

// answered asks the service what a page about how sure, how much and why asks it,
// and gives the answer as programs get it. It is nil for pages of other kinds,
// and for those that ask nothing.
func (s *shop) answered(t *testing.T, path string) (answer any) {
	t.Helper()
	c := s.callAt(t, path)
	var err error
	switch page, _, _ := strings.Cut(path, "?"); page {
	case "/spread":
		answer, err = spreadAnswer(c)
	case "/book/work_centres/starters":
		answer, err = saying.StarterHours("EUR")
	case "/curve":
		found := c.Faults
		answer, _, err = c.Site.Service.Curve(t.Context(), study.AskCurve(c, &found).Req)
	case "/":
		answer, err = cost.StartChances(c)
	case "/compare":
		found := c.Faults
		before, after := study.Sides(c, &found)
		req, asked := study.DifferenceRequest(c, before, after)
		if asked != nil {
			t.Fatal(asked)
		}
		answer, _, err = c.Site.Service.Difference(t.Context(), req)
	default:
		number, ofPart := strings.CutPrefix(page, "/parts/")
		if !ofPart {
			return nil
		}
		if part, first := strings.CutSuffix(number, "/first"); first {
			answer, _, err = c.Site.Service.Band(t.Context(), asking.BandRequest{Part: bom.ID(part), Pieces: frame.StandardQuantity, Day: c.View.Day})
			break
		}
		if part, priced := strings.CutSuffix(number, "/price"); priced {
			var found frame.Problems
			answer, err = trade.PriceChances(c, trade.AskPlaces(c, bom.ID(part), new([]frame.Field), &found))
			break
		}
		line := estimate.MixLine{Part: bom.ID(number), Quantity: bom.Whole(frame.StandardQuantity)}
		if c.View.Alone() {
			line = c.View.Lines[0]
		}
		if n, err := frame.ReadQuantity(c.Style, c.R.Form.Get("pieces")); err == nil {
			line.Quantity = bom.Exactly(n)
		}
		answer, _, err = c.Site.Service.Curve(t.Context(), cost.AdviceRequest(line, c.View.Day))
	}
	if err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	return asData(t, answer)
}

func spreadAnswer(c *frame.Call) (any, error) {
	found := c.Faults
	_, ask, _, err := study.AskSpread(c, &found)
	if err != nil {
		return nil, err
	}
	run, err := c.Site.Service.Spread(c.R.Context(), ask.Req)
	if err != nil {
		return nil, err
	}
	answer, _, err := run.Wait(c.R.Context())
	return answer, err
}

// callAt reads an address as the pages do.
func (s *shop) callAt(t *testing.T, path string) *frame.Call {
	t.Helper()
	r := httptest.NewRequest("GET", path, nil).WithContext(t.Context())
	if err := r.ParseForm(); err != nil {
		t.Fatal(err)
	}
	b, version, err := s.svc.Book(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	c := &frame.Call{Site: &frame.Site{Service: s.svc}, R: r, Book: b, Version: version}
	c.View, c.Faults = frame.ReadView(b, r.Form, "2026-11-25", c.Style)
	return c
}

// asData writes an answer as JSON and reads it as plain data.
func asData(t *testing.T, answer any) any {
	t.Helper()
	text := must(json.Marshal(answer))(t)
	d := json.NewDecoder(strings.NewReader(string(text)))
	d.UseNumber()
	var out any
	if err := d.Decode(&out); err != nil {
		t.Fatal(err)
	}
	return out
}

// resolve follows a JSON pointer. A list stands for how many it holds.
func resolve(data any, pointer string) (string, error) {
	for _, step := range strings.Split(strings.TrimPrefix(pointer, "/"), "/") {
		switch d := data.(type) {
		case map[string]any:
			data = d[step]
		case []any:
			i, err := strconv.Atoi(step)
			if err != nil || i < 0 || i >= len(d) {
				return "", fmt.Errorf("no entry %s in %s", step, pointer)
			}
			data = d[i]
		default:
			return "", fmt.Errorf("nothing below %s in %s", step, pointer)
		}
	}
	switch d := data.(type) {
	case []any:
		return strconv.Itoa(len(d)), nil
	case string, json.Number:
		return fmt.Sprint(d), nil
	}
	return "", fmt.Errorf("%s is no number", pointer)
}

// statistics holds every number of a page that is no figure of the graph against
// the answer of the service, and gives how many there are.
func (s *shop) statistics(t *testing.T, path string, doc *html.Node) int {
	t.Helper()
	var answer any
	n := 0
	nodes(doc, func(m *html.Node) {
		place := attr(m, "data-stat")
		if place == "" {
			return
		}
		if n++; answer == nil {
			answer = s.answered(t, path)
		}
		value := attr(m, "data-value")
		want, err := expected(answer, place, m)
		if err != nil {
			t.Errorf("%s: %v", path, err)
		} else if value != want {
			t.Errorf("%s: %s shows %s, the answer has %s", path, place, value, want)
		}
		if err := sameNumber(textOf(m), value); err != nil {
			t.Errorf("%s: %s: %v", path, place, err)
		}
	})
	return n
}

// expected gives the number that stands at a place of the answer. What charts work
// out for their tables is worked out again.
func expected(answer any, place string, m *html.Node) (string, error) {
	switch {
	case strings.HasPrefix(place, "/"):
		return resolve(answer, place)
	case place == "lines that stay":
		n := 0
		for i := 0; ; i++ {
			change, err := resolve(answer, fmt.Sprintf("/lines/%d/change", i))
			if err != nil {
				return strconv.Itoa(n), nil
			}
			if change == "stays" {
				n++
			}
		}
	}
	return column(answer, place, m)
}

// column works out a cell of the table of the columns of a histogram.
func column(answer any, place string, m *html.Node) (string, error) {
	row := m
	for row.Data != "tr" {
		row = row.Parent
	}
	i := 0
	for r := row.PrevSibling; r != nil; r = r.PrevSibling {
		if r.Data == "tr" {
			i++
		}
	}
	looked, err := resolve(answer, "/movers/figure/key")
	if err != nil {
		return "", err
	}
	at := ""
	for k := 0; at == ""; k++ {
		key, err := resolve(answer, fmt.Sprintf("/figures/%d/figure/key", k))
		if err != nil {
			return "", err
		}
		if key == looked {
			at = fmt.Sprintf("/figures/%d/histogram/", k)
		}
	}
	switch place {
	case "from":
		return resolve(answer, at+"edges/"+strconv.Itoa(i))
	case "to":
		return resolve(answer, at+"edges/"+strconv.Itoa(i+1))
	case "draws":
		return resolve(answer, at+"counts/"+strconv.Itoa(i))
	case "share":
		return shareOfDraws(answer, at+"counts", i, attr(m, "data-value"))
	}
	return "", fmt.Errorf("%q is no place of the answer", place)
}

// shareOfDraws divides a count by all of them; what is shown may differ by what a
// binary fraction does.
func shareOfDraws(answer any, counts string, i int, shown string) (string, error) {
	all, mine := new(big.Rat), new(big.Rat)
	for k := 0; ; k++ {
		text, err := resolve(answer, counts+"/"+strconv.Itoa(k))
		if err != nil {
			break
		}
		n, _ := new(big.Rat).SetString(text)
		all.Add(all, n)
		if k == i {
			mine = n
		}
	}
	want := new(big.Rat).Quo(mine, all)
	got, ok := new(big.Rat).SetString(shown)
	if ok && new(big.Rat).Abs(got.Sub(got, want)).Cmp(big.NewRat(1, 1_000_000_000_000)) < 0 {
		return shown, nil
	}
	return want.FloatString(15), nil
}

// thousands are set off by a thin space.
var thousands = regexp.MustCompile(`(\d)\s(\d{3})\b`)

// sameNumber looks that what is read is the value, rounded: at most one unit of its
// last digit away.
func sameNumber(text, value string) error {
	if text == "undefined" || !strings.ContainsAny(text, "0123456789") {
		return nil // words stand for the value
	}
	text = thousands.ReplaceAllString(text, "$1$2")
	text, percent := strings.CutSuffix(strings.NewReplacer("−", "-", "+", "").Replace(text), " %")
	if !percent {
		text, percent = strings.CutSuffix(text, " points")
	}
	digits, unitText, _ := strings.Cut(text, " ") // a unit may follow
	got, ok := new(big.Rat).SetString(digits)
	want, known := new(big.Rat).SetString(value)
	if !ok || !known {
		return fmt.Errorf("%q or %q is no number", text, value)
	}
	_, decimals, _ := strings.Cut(digits, ".")
	unit := big.NewRat(1, 1)
	for range decimals {
		unit.Mul(unit, big.NewRat(1, 10))
	}
	in := []*big.Rat{want}
	if unitText == "of 10" {
		in = []*big.Rat{new(big.Rat).Mul(want, big.NewRat(10, 1))}
	}
	if percent { // a share, or a number of per cent
		in = append(in, new(big.Rat).Mul(want, big.NewRat(100, 1)))
	}
	for _, w := range in {
		if new(big.Rat).Abs(new(big.Rat).Sub(got, w)).Cmp(unit) <= 0 {
			return nil
		}
	}
	return fmt.Errorf("reads %s, stands for %s", text, value)
}

// TestStatisticsAreFound proves that the rules above see a wrong number.
func TestStatisticsAreFound(t *testing.T) {
	t.Parallel()
	answer := asData(t, map[string]any{"figures": []any{map[string]any{"mean": map[string]string{"value": "12.345"}}}, "draws": 2048})
	for place, want := range map[string]string{"/figures/0/mean/value": "12.345", "/draws": "2048", "/figures": "1"} {
		if got, err := resolve(answer, place); err != nil || got != want {
			t.Errorf("%s: %s (%v)", place, got, err)
		}
	}
	for _, place := range []string{"/figures/1/mean/value", "/figures/0/mean", "/nothing"} {
		if got, err := resolve(answer, place); err == nil {
			t.Errorf("%s gives %s", place, got)
		}
	}
	for text, value := range map[string]string{"12.35": "12.345", "−12.3": "-12.345", "36.1 %": "0.361132813", "0.2 points": "0.00196", "20 480": "20480", "6.7 min/piece": "6.7", "+9.70": "9.696"} {
		if err := sameNumber(text, value); err != nil {
			t.Error(err)
		}
	}
	for text, value := range map[string]string{"12.37": "12.345", "37.2 %": "0.361132813", "20 480": "20580"} {
		if err := sameNumber(text, value); err == nil {
			t.Errorf("%s is taken for %s", text, value)
		}
	}
}
