package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"unicode"

	"kerfbook/api/answer"
	"kerfbook/api/answer/study"
	"kerfbook/costing/book"
	"kerfbook/testdata"
)

var update = flag.Bool("update", false, "rewrite golden files")

// kerfbook runs the command line in this process.
func kerfbook(t *testing.T, stdin string, args ...string) (stdout, stderr string, err error) {
	t.Helper()
	var out, errs bytes.Buffer
	err = run(context.Background(), args, strings.NewReader(stdin), &out, &errs)
	return out.String(), errs.String(), err
}

func mustRun(t *testing.T, args ...string) string {
	t.Helper()
	out, errs, err := kerfbook(t, "", args...)
	if err != nil {
		t.Fatalf("kerfbook %s: %v\n%s", strings.Join(args, " "), err, errs)
	}
	return out
}

func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want := must(os.ReadFile(path))(t)
	if got != string(want) {
		t.Errorf("%s differs; run with -update and look at the change\n%s", path, got)
	}
}

func TestGolden(t *testing.T) {
	t.Parallel()
	for name, args := range map[string][]string{
		"help.txt":       {"help"},
		"curve-help.txt": {"help", "curve"},
		"price.txt":      {"price", "demo", "--day", "2026-11-25", "--quantities", "50,250"},
		"together.txt":   {"price", "demo", "--day", "2026-11-25", "--quantities", "100", "--together", "--trims", "plain,glow"},
		"explain.txt":    {"explain", "demo", "variant/glow/each/stock", "--day", "2026-11-25", "--mix", "glow=120", "--depth", "4"},
		"fields.txt":     {"fields", "stocks"},
		"field.txt":      {"fields", "outside_processes", "area_breaks"},
		"check.txt":      {"check", "demo", "--day", "2026-11-25"},
		"spread.txt": {"spread", "demo", "--day", "2026-11-25", "--mix", "glow=250,plain=100", "--price", "direct=249.90", "--chance", "70",
			"--correlate", "cutting/copper.end_mill.carbide/speed,cutting/copper.slitting_saw.carbide/speed,0.6", "--set", "exchange/selling/USD-EUR=0.88"},
		"curve.txt":   {"curve", "demo", "--day", "2026-11-25", "--trim", "glow", "--against", "plain", "--quantity", "250", "--breaks", "4"},
		"compare.txt": {"compare", "demo", "--day", "2026-11-25", "--from", "plain@250", "--to", "glow@250@2026-12-01", "--set", "work-centre/MILL/labour-rate=27.50"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			golden(t, name, mustRun(t, args...))
		})
	}
}

func TestExportedBookIsTheSame(t *testing.T) {
	t.Parallel()
	first := mustRun(t, "export", "book", "demo", "--day", "2026-11-25")
	second, errs, err := kerfbook(t, first, "export", "book", "-", "--day", "2026-11-25")
	if err != nil {
		t.Fatalf("%v\n%s", err, errs)
	}
	if first != second {
		t.Error("a book that is exported, read and exported again has changed")
	}
	want := mustRun(t, "price", "demo", "--json", "--day", "2026-11-25", "--quantities", "75")
	got, _, err := kerfbook(t, first, "price", "-", "--json", "--day", "2026-11-25", "--quantities", "75")
	if err != nil || got != want {
		t.Errorf("the exported book gives other prices (%v)", err)
	}
}

func TestExportNeverOverwrites(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "cost.xlsx")
	mustRun(t, "export", "workbook", "demo", "--mix", "plain=10", "--day", "2026-11-25", "-o", file)
	before, err := os.ReadFile(file)
	if err != nil || !bytes.HasPrefix(before, []byte("PK")) {
		t.Fatalf("no workbook was written: %v", err)
	}
	if _, _, err := kerfbook(t, "", "export", "workbook", "demo", "--mix", "plain=10", "-o", file); !errors.Is(err, os.ErrExist) {
		t.Errorf("writing over a file: %v", err)
	}
}

func TestExportCSV(t *testing.T) {
	t.Parallel()
	data := mustRun(t, "export", "csv", "demo", "--mix", "plain=10", "--day", "2026-11-25", "--plain")
	if !strings.Contains(data, "\r\nmix/plain,batch quantity of Plain,10,piece,,the mix asked for\r\n") {
		t.Errorf("no row of the quantity in\n%.300s", data)
	}
	sheet := mustRun(t, "export", "csv", "demo", "--mix", "plain=10", "--day", "2026-11-25")
	if !strings.HasPrefix(sheet, "\uFEFF\"key\",") {
		t.Errorf("what people get without a flag begins %.40q", sheet)
	}
}

// TestPriceOfAPartAlone: a part has a price without product and trim, at the margin
// asked; the full cost is that of its curve at the same quantity.
func TestPriceOfAPartAlone(t *testing.T) {
	t.Parallel()
	var list answer.PriceList
	args := []string{"price", "demo", "--json", "--day", "2026-11-25", "--part", "HS-010,SH-POM", "--quantities", "10,100", "--margin", "40"}
	if err := json.Unmarshal([]byte(mustRun(t, args...)), &list); err != nil {
		t.Fatal(err)
	}
	if len(list.Estimates) != 4 || list.Estimates[2].Mix[0].Part != "SH-POM" {
		t.Fatalf("%d estimates: %+v", len(list.Estimates), list.Estimates)
	}
	first := list.Estimates[0].Variants[0]
	if first.Full.Key != "variant/HS-010/each/full" || len(first.Channels) != 2 || !strings.HasPrefix(first.Channels[0].Margin.Value, "0.4") {
		t.Errorf("full cost %+v, prices %+v", first.Full, first.Channels)
	}
	var drawn study.BatchCurves
	if err := json.Unmarshal([]byte(mustRun(t, "curve", "demo", "--json", "--day", "2026-11-25", "--part", "HS-010", "--from", "5", "--to", "20", "--quantity", "10")), &drawn); err != nil {
		t.Fatal(err)
	}
	if c := drawn.Curves[0]; c.Part != "HS-010" || c.Figure.Value != first.Full.Value {
		t.Errorf("the curve has %s at %s, the price list %s", c.Part, c.Figure.Value, first.Full.Value)
	}
	// The margin asked of it goes with the part, and gives what one piece more brings.
	if err := json.Unmarshal([]byte(mustRun(t, "curve", "demo", "--json", "--day", "2026-11-25", "--part", "HS-010@0.4", "--from", "50", "--to", "201")), &drawn); err != nil {
		t.Fatal(err)
	}
	if brings := drawn.Curves[0].Advice.Brings; len(brings) != 2 {
		t.Errorf("a piece of a part with a margin brings %+v", brings)
	}
	for says, args := range map[string][]string{
		"goes with --part":       {"price", "demo", "--margin", "40"},
		"did you mean 40":        {"price", "demo", "--part", "HS-010", "--margin", "0.4"},
		"no margin in per cent":  {"price", "demo", "--part", "HS-010", "--margin", "100"},
		"the book has no part X": {"price", "demo", "--part", "X"},
		"give one":               {"curve", "demo", "--part", "HS-010", "--trim", "plain"},
	} {
		if _, _, err := kerfbook(t, "", args...); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%v: %v", args, err)
		}
	}
}

// TestEveryFigureOnRequest holds price --json --all to the whole graph.
func TestEveryFigureOnRequest(t *testing.T) {
	t.Parallel()
	ask := func(more ...string) answer.Estimate {
		var list answer.PriceList
		args := append([]string{"price", "demo", "--json", "--day", "2026-11-25", "--trims", "plain", "--quantities", "50"}, more...)
		if err := json.Unmarshal([]byte(mustRun(t, args...)), &list); err != nil {
			t.Fatal(err)
		}
		return list.Estimates[0]
	}
	if e := ask(); e.Figures != nil {
		t.Errorf("%d further figures without --all", len(e.Figures))
	}
	e := ask("--all")
	if len(e.Figures) != e.Nodes || e.Nodes == 0 {
		t.Errorf("%d figures of a graph of %d", len(e.Figures), e.Nodes)
	}
	for _, f := range e.Figures {
		if f.Key == e.Variants[0].Full.Key && f.Value != e.Variants[0].Full.Value {
			t.Errorf("%s is %s in one place and %s in the other", f.Key, f.Value, e.Variants[0].Full.Value)
		}
	}
}

// TestBookWithoutATrim prices a book that sells nothing yet: it says what is missing, and is
// not silent.
func TestBookWithoutATrim(t *testing.T) {
	t.Parallel()
	const shop = "kerfbook: 1\nname: Ostrel Workshop\ncountry: PT\ncurrency: EUR\nrate_cards: [{id: \"2026\", from: 2026-01-01}]\n"
	for _, args := range [][]string{{"price", "-"}, {"spread", "-"}, {"explain", "-", "variant/x/each/full", "--mix", "KNOB=100"}} {
		_, _, err := kerfbook(t, shop, append(args, "--day", "2026-11-25")...)
		if err == nil || !strings.Contains(err.Error(), "the book has no product with a trim: ask for the price of a part alone, or add a product") {
			t.Errorf("%s: %v", args, err)
		}
	}
}

func TestUsageErrors(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ args, want string }{
		{"prise demo", `no command "prise"; did you mean price?`},
		{"help prise", `no command "prise"; did you mean price?`},
		{"price", "usage: kerfbook price BOOK"},
		{"price demo --quantities 1e9", "without an exponent"},
		{"price demo --quantities -5", "not more than 0"},
		{"price demo --quantities 010", "leading zero"},
		{"price demo --quantities 1000000000", "--quantities: 1000000000 is above 10000000 pieces, the largest batch that is estimated; ask for fewer"},
		{"price demo --all", "--all goes with --json"},
		{"price demo --quantities 10,50..500", "50..500 is a range, and a batch is made in one quantity; how cost changes with it is what the batch curve shows"},
		{"explain demo variant/plain/each/full --mix plain=50-500", "50-500 is a range"},
		{"price demo --day tomorrow", "is not a day"},
		{"price demo --trims glow,", "is not a name"},
		{"explain demo variant/plain/each/full --mix plain", "write trim=quantity"},
		{"explain demo variant/plain/each/full --mix shiny=5", `no trim "shiny"; it has plain, glow, tune`},
		{"explain demo variant/plain/each/full --mix plain+gold=5", `no choice "gold"`},
		{"explain demo variant/plain/each/full --mix plain=1,plain=2", "twice"},
		{"export picture demo", "there is book, workbook, csv, operations and records"},
		{"--colour", "there is no flag --colour; --help lists them"},
		{"price demo --colour", "price: there is no flag --colour; --help lists them"},
		{"price demo --quantites 5", "price: there is no flag --quantites; did you mean --quantities?"},
		{"price demo -json", "price: there is no flag -json; did you mean --json?"},
		{"curve demo --breaks", "flag needs an argument: --breaks"},
		{"curve demo --to 99999999999999999999", `--to: "99999999999999999999" is out of reach`},
		{"spread", "usage: kerfbook spread BOOK"},
		{"spread demo --draws many", `--draws: "many" is no whole number`},
		{"spread demo --trim shiny", `no trim "shiny"`},
		{"spread demo --quantity 50..70", "is a range, and a batch is made in one quantity"},
		{"spread demo --correlate a,b", "two inputs and their rank correlation"},
		{"spread demo --precision 80", "80,0.1"},
		{"spread demo --precision 0.8,0.001", "did you mean 80?"},
		{"spread demo --chance 0.75", "0.75 % - did you mean 75?"},
		{"spread demo --chance 150", "--chance: 150 % is no chance; give one between 0 and 100, such as 80"},
		{"spread demo --mix plain=10 --quantity 20", "--mix and --quantity"},
		{"spread demo --mix plain=10 --trim plain", "--mix and --trim"},
		{"spread demo --price =10", "channel=price"},
		{"compare demo --from plain@10 --to glow@10 --most -1", "--most -1"},
		{"explain demo mix/plain --depth -3", "--depth -3"},
		{"spread demo --price direct", "channel=price"},
		{"spread demo --set work-centre/MILL/labour-rate", "key=value"},
		{"curve demo --trim plain,glow", "a curve is of one trim"},
		{"compare demo --from plain@10", "--to"},
		{"compare demo --from plain --to glow@10", "such as glow@250"},
		{"compare demo --from plain@10@tomorrow --to glow@10", "is not a day"},
	} {
		t.Run(c.args, func(t *testing.T) {
			t.Parallel()
			_, _, err := kerfbook(t, "", strings.Fields(c.args)...)
			var usage *usageError
			if !errors.As(err, &usage) || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want a usage error with %q", err, c.want)
			} else if strings.HasPrefix(err.Error(), "kerfbook: ") {
				t.Errorf("the program's name, which stands before it, is in %v", err)
			}
		})
	}
}

// TestCompletion: a shell is told commands, words to choose from and flags.
func TestCompletion(t *testing.T) {
	t.Parallel()
	for args, want := range map[string]string{"exp": "explain\t", "export ": "workbook\n", "audit v": "verify\n", "price --qu": "--quantities\t"} {
		if got := mustRun(t, append([]string{"__complete"}, strings.Split(args, " ")...)...); !strings.Contains(got, want) {
			t.Errorf("%q is completed by %q", args, got)
		}
	}
	if script := mustRun(t, "completion", "bash"); !strings.Contains(script, "kerfbook") {
		t.Error("no script for a shell")
	}
}

func TestUnknownKeySuggestsKeys(t *testing.T) {
	t.Parallel()
	_, _, err := kerfbook(t, "", "explain", "demo", "variant/plain/full", "--mix", "plain=10")
	if err == nil || !strings.Contains(err.Error(), "variant/plain/each/full") {
		t.Errorf("got %v", err)
	}
}

// TestFaultsHaveLines changes the demo book one fault at a time and expects the
// fault at its line and column.
func TestFaultsHaveLines(t *testing.T) {
	t.Parallel()
	demo := string(testdata.Demo)
	for _, c := range []struct{ name, from, to, want string }{
		{"unknown field", "    mass_g: 395", "    mas_g: 395", `unknown field`},
		{"wrong unit", "length_mm: 62, kerf_mm", "length_in: 62, kerf_mm", `length_mm`},
		{"number with a unit", "length_mm: 62, kerf_mm", "length_mm: 62 mm, kerf_mm", `unit`},
		{"duplicate key", "    mass_g: 395", "    mass_g: 395\n    mass_g: 396", `given twice`},
		{"dangling part", "children: [{part: HS-010, quantity: 1}]\n    routing:\n      - number: 10\n        name: fly-cut", "children: [{part: HS-099, quantity: 1}]\n    routing:\n      - number: 10\n        name: fly-cut", `HS-099`},
		{"part containing itself", "    children: [{part: HS-011, quantity: 1}]", "    children: [{part: HS-021, quantity: 1}]", `HS-021 > HS-021`},
		{"negative quantity", "{part: LB-27, quantity: 1, fitting_scrap: 0.01}", "{part: LB-27, quantity: -1, fitting_scrap: 0.01}", `0 or more`},
		{"yield 0", "        yield: 0.985\n        features:", "        yield: 0\n        features:", `more than 0`},
		{"huge exponent", "amount: 480.00", "amount: 1e999999999", `exponent`},
		{"a million digits", "amount: 480.00", "amount: " + strings.Repeat("9", 1_000_000), ``},
		{"missing exchange rate", "{from: USD, to: EUR, kind: selling", "{from: USD, to: PLN, kind: selling", `USD`},
		{"NO as a country", `{country: "NO", name`, `{country: NO, name`, `quotes`},
		{"leading zero", "mass_g: 395", "mass_g: 0395", `leading zero`},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			text := strings.Replace(demo, c.from, c.to, 1)
			if text == demo {
				t.Fatal("the demo book has no such text")
			}
			_, errs, err := kerfbook(t, text, "check", "-", "--day", "2026-11-25")
			if err == nil || !strings.Contains(errs, c.want) || !regexp.MustCompile(`(?m)^-:\d+:\d+: `).MatchString(errs) {
				t.Errorf("got %v and\n%.500s", err, errs)
			}
		})
	}
}

// TestPriceThatRanOut: one old offer and one old process stop nothing. They are told
// where they are used, with their age at each figure that rests on them.
func TestPriceThatRanOut(t *testing.T) {
	t.Parallel()
	text := strings.NewReplacer("lead_days: 3, valid_until: 2032-12-31", "lead_days: 3, valid_until: 2026-11-17",
		"load_dm2: 170, lead_days: 6, valid_until: 2032-12-31", "load_dm2: 170, lead_days: 6, valid_until: 2026-11-24").Replace(string(testdata.Demo))
	day := []string{"--day", "2026-11-25"}
	now, _, err := kerfbook(t, string(testdata.Demo), append([]string{"price", "-"}, day...)...)
	old, _, errOld := kerfbook(t, text, append([]string{"price", "-"}, day...)...)
	if err != nil || errOld != nil {
		t.Fatal(err, errOld)
	}
	figures := func(text string) string {
		table, _, _ := strings.Cut(text, "To look at")
		return strings.Join(strings.FieldsFunc(regexp.MustCompile(`\(\d+ d old\)`).ReplaceAllString(table, ""), func(r rune) bool { return unicode.IsSpace(r) || r == '-' }), " ")
	}
	if figures(old) != figures(now) {
		t.Errorf("other figures:\n%s\nwere\n%s", old, now)
	}
	for _, said := range []string{"(8 d old)", "'s price for SC-M3 ran out on 17 November 2026, 8 days ago, and is still used", "'s price for anodising 15 µm black ran out on 24 November 2026, 1 day ago"} {
		if !strings.Contains(old, said) {
			t.Errorf("not said: %s in\n%s", said, old)
		}
	}
	if _, errs, err := kerfbook(t, text, append([]string{"check", "-"}, day...)...); err != nil || !strings.Contains(errs, "the last one goes on being used") {
		t.Errorf("check: %v, %s", err, errs)
	}
	tree, _, err := kerfbook(t, text, append([]string{"explain", "-", "part/SC-M3/each/bought"}, day...)...)
	if err != nil || !strings.Contains(tree, "rests on a price that ran out 8 days ago") || !strings.Contains(tree, "RAN OUT on 17 November 2026, 8 days ago") {
		t.Errorf("explain: %v\n%s", err, tree)
	}
}

func TestAllFaultsAtOnce(t *testing.T) {
	t.Parallel()
	text := strings.Replace(string(testdata.Demo), "mass_g: 395", "mass_g: -1", 1)
	text = strings.Replace(text, "amount: 320.00", "amount: many", 1)
	_, errs, err := kerfbook(t, text, "check", "-", "--day", "2026-11-25")
	if err == nil || err.Error() != "-: 2 faults" || strings.Count(errs, "\n") != 2 {
		t.Errorf("got %v and\n%s", err, errs)
	}
}

func TestHugeFileIsRefused(t *testing.T) {
	t.Parallel()
	huge := strings.Repeat("# nothing but comment\n", 1_000_000)
	if _, _, err := kerfbook(t, huge, "check", "-"); err == nil {
		t.Error("a file of 20 MB was read")
	}
}

func TestDemoWritesItsBook(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "ostrel.yaml")
	if out := mustRun(t, "demo", "--write", file); !strings.Contains(out, file) {
		t.Errorf("demo --write says %q", out)
	}
	if data, err := os.ReadFile(file); err != nil || !bytes.Equal(data, testdata.Demo) {
		t.Errorf("the book written is not the demo: %v", err)
	}
}

func TestJSONIsValid(t *testing.T) {
	t.Parallel()
	out := mustRun(t, "price", "demo", "--json", "--day", "2026-11-25", "--quantities", "50")
	if !json.Valid([]byte(out)) {
		t.Error("price --json writes no JSON")
	}
	if _, _, err := book.Parse([]byte(mustRun(t, "export", "book", "demo"))); err != nil {
		t.Error(err)
	}
}

// must wants a call to work and gives its value.
func must[T any](v T, err error) func(testing.TB) T {
	return func(t testing.TB) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}
