package api

import (
	"context"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"testing"
	"time"

	"kerfbook/api/edge"
)

// TestSecurityTableNamesRealTests makes sure that every requirement is decided,
// and that every one called met names tests that exist.
func TestSecurityTableNamesRealTests(t *testing.T) {
	t.Parallel()
	text := must(os.ReadFile("security.md"))(t)
	known := testsOfTheModule(t)
	named := regexp.MustCompile(`\bTest[A-Z][A-Za-z]*`)
	rows := 0
	for line := range strings.Lines(string(text)) {
		cells := strings.Split(line, "|")
		if len(cells) < 5 || !strings.HasPrefix(strings.TrimSpace(cells[1]), "V") {
			continue
		}
		rows++
		id, state, tests := strings.TrimSpace(cells[1]), strings.TrimSpace(cells[3]), named.FindAllString(cells[4], -1)
		switch {
		case state == "met" && len(tests) == 0:
			t.Errorf("%s is met, but no test is named", id)
		case state != "met" && len(strings.TrimSpace(cells[4])) < 20:
			t.Errorf("%s: no reason for %q", id, state)
		case state != "met" && state != "not met" && state != "not applicable":
			t.Errorf("%s: %q", id, state)
		}
		for _, name := range tests {
			if !known[name] {
				t.Errorf("%s: there is no test %s", id, name)
			}
		}
	}
	if rows < 50 {
		t.Errorf("only %d rows", rows)
	}
}

func testsOfTheModule(t *testing.T) map[string]bool {
	t.Helper()
	known := map[string]bool{}
	err := filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, "_test.go") {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		for _, decl := range file.Decls {
			if f, ok := decl.(*ast.FuncDecl); ok {
				known[f.Name.Name] = true
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return known
}

// TestCostlyRequestsWaitTheirTurn takes all places for costly work and asks for
// more.
func TestCostlyRequestsWaitTheirTurn(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	var releases []func()
	for range runtime.GOMAXPROCS(0) {
		release := must(w.edge.Place(t.Context()))(t)
		releases = append(releases, release)
	}
	ctx, cancel := context.WithTimeout(t.Context(), 20*time.Millisecond)
	defer cancel()
	_, err := w.edge.Place(ctx)
	if f := edge.FailureOf(err); f.Kind != edge.Busy || f.Wait == 0 {
		t.Errorf("%+v", f)
	}
	releases[0]()
	if release, err := w.edge.Place(t.Context()); err != nil {
		t.Error(err)
	} else {
		release()
	}
	w.want(t, 200, estimateOf(`"100"`))
}
