package api

import (
	"bytes"
	"encoding/json"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// command builds the command line, to be run.
func command(t *testing.T) (run func(args ...string) []byte) {
	t.Helper()
	bin := filepath.Join(t.TempDir(), "kerfbook")
	build := exec.CommandContext(t.Context(), "go", "build", "-o", bin, "kerfbook/cmd/kerfbook")
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	return func(args ...string) []byte {
		t.Helper()
		out := must(exec.CommandContext(t.Context(), bin, args...).Output())(t)
		return out
	}
}

// TestFiguresAreThoseOfTheCommandLine compares price --json with the stored and
// the stateless price list, figure by figure.
func TestFiguresAreThoseOfTheCommandLine(t *testing.T) {
	t.Parallel()
	want := compact(t, command(t)("price", "demo", "--json", "--day", "2026-11-25", "--quantities", "50,120"))
	w := newWorld(t)
	query := w.want(t, 200, ask{method: "GET", path: "/api/v1/price-lists?quantities=50,120"})
	body := w.want(t, 200, ask{method: "POST", path: "/api/v1/price-lists", body: `{"day":"2026-11-25","quantities":["50","120"]}`})
	loose := demoWith(t, "kerfbook: 1", "kerfbook: 1")
	loose.body = string(bytes.ReplaceAll([]byte(loose.body), []byte("trims: [plain], quantities: [100]"), []byte("quantities: [50, 120]")))
	for what, got := range map[string][]byte{
		"GET": query.Body.Bytes(), "POST": body.Body.Bytes(), "stateless": w.want(t, 200, loose).Body.Bytes(),
	} {
		if got := compact(t, got); got != want {
			t.Errorf("%s differs from the command line: %d and %d bytes", what, len(got), len(want))
		}
	}
	if len(want) < 20_000 {
		t.Errorf("only %d bytes", len(want))
	}
}

// TestAPartAloneIsThatOfTheCommandLine compares the price list of parts.
func TestAPartAloneIsThatOfTheCommandLine(t *testing.T) {
	t.Parallel()
	want := compact(t, command(t)("price", "demo", "--json", "--day", "2026-11-25", "--quantities", "7", "--part", "HS-010,SH-POM", "--margin", "40"))
	w := newWorld(t)
	for what, a := range map[string]ask{
		"GET":  {method: "GET", path: "/api/v1/price-lists?quantities=7&parts=HS-010,SH-POM&margin=0.4&chances=true"},
		"POST": {method: "POST", path: "/api/v1/price-lists", body: `{"day":"2026-11-25","quantities":["7"],"parts":["HS-010","SH-POM"],"margin":"0.4","chances":true}`},
	} {
		if got := compact(t, w.want(t, 200, a).Body.Bytes()); got != want {
			t.Errorf("%s differs from the command line:\n%.300s\n%.300s", what, got, want)
		}
	}
	for _, bad := range []string{"parts=X", "parts=HS-010&margin=40"} {
		w.want(t, 422, ask{method: "GET", path: "/api/v1/price-lists?quantities=7&" + bad})
	}
	for _, line := range []string{`{"quantity":"7"}`, `{"part":"HS-010","trim":"plain","quantity":"7"}`, `{"product":"LAMP","trim":"plain","margin":"0.4","quantity":"7"}`} {
		w.want(t, 422, ask{method: "POST", path: "/api/v1/estimates", body: `{"mix":[` + line + `]}`})
	}
}

func compact(t *testing.T, data []byte) string {
	t.Helper()
	var out bytes.Buffer
	if err := json.Compact(&out, data); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// TestEveryFigureHasItsProof asks for the proof of every figure of an estimate.
func TestEveryFigureHasItsProof(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	mix := `"mix":[{"product":"LAMP","trim":"glow","quantity":"120"}]`
	var all any
	if err := json.Unmarshal(w.want(t, 200, ask{method: "POST", path: "/api/v1/estimates", body: "{" + mix + "}"}).Body.Bytes(), &all); err != nil {
		t.Fatal(err)
	}
	found := map[string]string{}
	eachFigure(all, func(key, value string) { found[key] = value })
	if len(found) < 150 {
		t.Fatalf("only %d figures", len(found))
	}
	for key, value := range found {
		step := into[struct{ Key, Value string }](t, w.want(t, 200, ask{method: "POST", path: "/api/v1/proofs", body: "{" + mix + `,"depth":1,"key":"` + key + `"}`}))
		if step.Value != value {
			t.Errorf("%s is %s in the estimate and %s in its proof", key, value, step.Value)
		}
	}
}

// TestChangesAreWrittenAsShown asks what a change would do, makes it, and asks
// again.
func TestChangesAreWrittenAsShown(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	body := `{"mix":[{"product":"LAMP","trim":"plain","quantity":"100"}],"changes":[{"key":"work-centre/MILL/labour-rate","value":"27.50"}]}`
	shown := into[struct {
		Version       string
		Before, After json.RawMessage
	}](t, w.want(t, 200, ask{method: "POST", path: "/api/v1/what-ifs", body: body}))
	if bytes.Equal(shown.Before, shown.After) {
		t.Fatal("the change changes nothing")
	}
	q := ask{method: "POST", path: "/api/v1/changes", body: body, header: map[string]string{"If-Match": `"old"`}}
	w.problem(t, 412, q)
	q.header["If-Match"] = `"` + shown.Version + `"`
	w.want(t, 200, q)
	w.problem(t, 412, q)
	after := w.want(t, 200, ask{method: "POST", path: "/api/v1/estimates", body: `{"mix":[{"product":"LAMP","trim":"plain","quantity":"100"}]}`})
	if compact(t, after.Body.Bytes()) != compact(t, shown.After) {
		t.Error("the figures after the change are not those shown before it")
	}
}

// TestSpreadsCurvesAndComparisonsAreThoseOfTheCommandLine compares --json with the
// answer about the same book sent along, byte for byte.
func TestSpreadsCurvesAndComparisonsAreThoseOfTheCommandLine(t *testing.T) {
	t.Parallel()
	w, kerfbook := newWorld(t), command(t)
	for question, c := range map[string]struct {
		request string
		args    []string
	}{
		"spread": {`{` + glow + `,"day":"2026-11-25","seed":5,"draws":12000,"precision":{"quantile":"0.8","relative":"0.0001"},"prices":[{"channel":"direct","price":"249.90"},{"chance":"0.7"}],` +
			`"correlations":[{"a":"cutting/copper.end_mill.carbide/speed","b":"cutting/copper.slitting_saw.carbide/speed","rank":"0.6"}],"changes":[{"key":"exchange/selling/USD-EUR","value":"0.88"}]}`,
			[]string{"--trim", "glow", "--quantity", "250", "--seed", "5", "--draws", "12000", "--precision", "80,0.01", "--price", "direct=249.90", "--chance", "70",
				"--correlate", "cutting/copper.end_mill.carbide/speed,cutting/copper.slitting_saw.carbide/speed,0.6", "--set", "exchange/selling/USD-EUR=0.88"}},
		"curve": {`{"day":"2026-11-25","curves":[{"product":"LAMP","trim":"glow","choices":{}},{"product":"LAMP","trim":"plain","choices":{"mount":"wall"}}],"from":"30","to":"120","quantity":"100","breaks":6}`,
			[]string{"--trim", "glow", "--against", "plain+wall", "--from", "30", "--to", "120", "--quantity", "100", "--breaks", "6"}},
		"comparison": {`{"before":{"day":"2026-11-25","mix":[{"product":"LAMP","trim":"plain","quantity":"100"}]},"after":{"day":"2026-12-01",` + glow + `,"changes":[{"key":"work-centre/MILL/labour-rate","value":"27.50"}]},"most":6}`,
			[]string{"--from", "plain@100", "--to", "glow@250@2026-12-01", "--set", "work-centre/MILL/labour-rate=27.50", "--most", "6"}},
	} {
		name := strings.Replace(question, "comparison", "compare", 1)
		want := compact(t, kerfbook(append([]string{name, "demo", "--json", "--day", "2026-11-25"}, c.args...)...))
		got := w.want(t, 200, statelessWith(t, question, "kerfbook: 1", "kerfbook: 1", c.request))
		if got := compact(t, got.Body.Bytes()); got != want {
			t.Errorf("%s differs from the command line: %d and %d bytes", question, len(got), len(want))
		}
	}
}
