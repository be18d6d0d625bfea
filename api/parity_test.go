package api

import (
	"bytes"
	"encoding/json"
	"os/exec"
	"path/filepath"
	"testing"
)

// command builds the command line and runs it.
func command(t *testing.T, args ...string) []byte {
	t.Helper()
	bin := filepath.Join(t.TempDir(), "kerfbook")
	build := exec.CommandContext(t.Context(), "go", "build", "-o", bin, "kerfbook/cmd/kerfbook")
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	out, err := exec.CommandContext(t.Context(), bin, args...).Output()
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// TestFiguresAreThoseOfTheCommandLine compares price --json with the stored and
// the stateless price list, figure by figure.
func TestFiguresAreThoseOfTheCommandLine(t *testing.T) {
	t.Parallel()
	want := compact(t, command(t, "price", "demo", "--json", "--day", "2026-11-25", "--quantities", "50,120"))
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
