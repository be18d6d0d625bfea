package main

import (
	"go/build"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// allowed lists, for every package of the module, what it may import of the
// module. A package that is not listed fails, so that a new one is thought
// about. Test files may import more.
var allowed = map[string][]string{
	"bom":         {},
	"bom/variant": {"bom"},

	"costing/graph":           {"bom"},
	"costing/graph/exact":     {"costing/graph"},
	"costing/graph/column":    {"costing/graph", "costing/graph/exact"},
	"costing/graph/proof":     {"costing/graph"},
	"costing/graph/codec":     {"bom", "costing/graph"},
	"costing/graph/workbook":  {"costing/graph"},
	"costing/graph/graphtest": {"bom", "costing/graph"},

	"costing/ask/shape":    {"bom", "costing/graph"},
	"costing/ask/simulate": {"costing/graph", "costing/graph/column", "costing/graph/exact", "costing/ask/shape"},
	"costing/ask/compare":  {"costing/graph", "costing/graph/column", "costing/graph/exact"},

	"costing/papers/fonts":   {},
	"costing/money":          {},
	"costing/rates":          {"bom", "costing/money", "costing/text"},
	"costing/text":           {"bom"},
	"costing/book":           {"bom", "bom/variant", "costing/money", "costing/rates", "costing/text"},
	"costing/book/worktable": {"bom", "costing/text"},

	"costing/ask/curve":        {"costing/graph", "costing/graph/column", "costing/graph/exact", "costing/money", "costing/selling/price"},
	"costing/selling/exchange": {"costing/graph", "costing/rates"},
	"costing/making/routing":   {"bom", "costing/graph", "costing/rates"},
	"costing/making/machining": {"bom", "costing/graph", "costing/rates"},
	"costing/making/purchase":  {"bom", "costing/graph", "costing/rates"},
	"costing/making/blank":     {"bom", "costing/graph", "costing/graph/exact", "costing/making/purchase", "costing/rates"},
	"costing/making/finish":    {"bom", "costing/graph", "costing/rates"},
	"costing/selling/channel":  {"bom", "costing/graph", "costing/rates"},
	"costing/selling/price":    {"costing/selling/channel", "costing/graph", "costing/rates"},
	"costing/selling/landed":   {"bom", "costing/selling/channel", "costing/selling/exchange", "costing/graph", "costing/money", "costing/rates"},
	"costing/estimate": {"bom", "bom/variant", "costing/graph", "costing/money", "costing/rates", "costing/book", "costing/selling/channel", "costing/selling/exchange",
		"costing/making/routing", "costing/making/purchase", "costing/making/blank", "costing/making/finish", "costing/selling/price", "costing/selling/landed", "costing/making/machining"},

	"costing/papers/quote": {"bom", "bom/variant", "costing/estimate", "costing/book", "costing/selling/exchange", "costing/papers/fonts", "costing/graph", "costing/graph/codec",
		"costing/graph/exact", "costing/selling/landed", "costing/money", "costing/rates"},

	"costing/papers/show":       {"bom", "costing/money", "costing/graph/proof", "costing/papers/quote"},
	"costing/export":            {"bom", "costing/papers/fonts", "costing/graph", "costing/graph/workbook", "costing/papers/quote", "costing/papers/show", "costing/money"},
	"costing/export/recalctest": {},
	"costing/fractiontest":      {"bom"},

	"api/service": {"bom", "bom/variant", "costing/estimate", "costing/making/blank", "costing/book", "costing/text", "costing/book/worktable", "costing/graph", "costing/graph/codec", "costing/graph/exact",
		"costing/graph/proof", "costing/graph/workbook", "costing/selling/landed", "costing/money", "costing/papers/quote", "costing/rates", "costing/papers/show", "costing/export",
		"costing/ask/simulate", "costing/ask/curve", "costing/ask/compare"},
	"api/store":           {"api/service", "migrations"},
	"api/store/storetest": {"api/service", "bom", "costing/estimate", "costing/book", "testdata"},
	"api/store/pgtest":    {},
	"api/edge":            {"api/service", "costing/text"},
	"api": {"api/edge", "api/service", "bom", "costing/estimate", "costing/book", "costing/text", "costing/book/worktable", "costing/export", "costing/graph/proof",
		"costing/selling/landed", "costing/papers/quote", "costing/rates", "costing/papers/show"},
	"web": {"api/edge", "api/service", "web/chart", "bom", "costing/estimate", "costing/book", "costing/text", "costing/book/worktable", "costing/export", "costing/graph/proof",
		"costing/money", "costing/papers/quote", "costing/rates", "costing/papers/show", "testdata"},
	"web/chart":  {"costing/papers/show"},
	"migrations": {},

	"cmd/kerfbook": {"api", "api/edge", "api/service", "api/store", "web", "bom", "costing/estimate", "costing/book", "costing/text", "costing/book/worktable",
		"costing/papers/show", "costing/export", "testdata"},
	"testdata":       {},
	"testdata/peers": {},
}

// outside lists what touches the world outside: nothing under bom and costing
// may import it.
var outside = []string{"net", "net/http", "os", "os/exec", "database/sql", "time", "math/rand", "math/rand/v2", "crypto/rand", "syscall", "log", "log/slog"}

// exceptions are files under costing that may import one package of those: each
// with its reason.
var exceptions = map[string]string{
	"bom/date.go:time":                     "checks days and counts between them; reads no clock",
	"costing/export/meta.go:time":          "dates a file with the day it is for; reads no clock",
	"costing/export/workbook.go:time":      "dates a file with the day it is for; reads no clock",
	"costing/export/quotepages.go:time":    "dates a file with the day it is for; reads no clock",
	"costing/export/zip.go:time":           "dates a file with the day it is for; reads no clock",
	"costing/book/zone.go:time":            "turns an instant into the day of the shop; reads no clock",
	"costing/papers/quote/days.go:time":    "counts days; reads no clock",
	"costing/export/recalctest:*":          "runs a spreadsheet engine for tests only",
	"costing/graph/graphtest:math/rand/v2": "seeded generator for tests only",
}

const module = "kerfbook/"

func TestImports(t *testing.T) {
	t.Parallel()
	root := moduleRoot(t)
	for path, imports := range sourceImports(t, root) {
		pkg := filepath.ToSlash(filepath.Dir(path))
		may, known := allowed[pkg]
		if !known {
			t.Errorf("%s: package %s is not in the table of this test", path, pkg)
			continue
		}
		for _, imp := range imports {
			if ours, ok := strings.CutPrefix(imp, module); ok {
				if !slices.Contains(may, ours) {
					t.Errorf("%s imports %s, which package %s may not", path, ours, pkg)
				}
			} else if isPure(pkg) && slices.Contains(outside, imp) && !excepted(path, pkg, imp) {
				t.Errorf("%s imports %s: nothing under bom or costing touches the outside world", path, imp)
			}
		}
	}
}

func isPure(pkg string) bool {
	return pkg == "bom" || pkg == "costing" || strings.HasPrefix(pkg, "bom/") || strings.HasPrefix(pkg, "costing/")
}

func excepted(path, pkg, imp string) bool {
	for _, key := range []string{path + ":" + imp, pkg + ":" + imp, pkg + ":*"} {
		if exceptions[key] != "" {
			return true
		}
	}
	return false
}

// moduleRoot is the folder of go.mod.
func moduleRoot(t *testing.T) string {
	t.Helper()
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(filepath.Join(root, "go.mod")); err != nil {
		t.Fatal(err)
	}
	return root
}

// sourceImports reads the import clauses of every file that is no test.
func sourceImports(t *testing.T, root string) map[string][]string {
	t.Helper()
	out := map[string][]string{}
	for _, path := range goFiles(t, root) {
		f, err := parser.ParseFile(token.NewFileSet(), filepath.Join(root, path), nil, parser.ImportsOnly)
		if err != nil {
			t.Fatal(err)
		}
		out[path] = []string{}
		for _, spec := range f.Imports {
			imp, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				t.Fatal(err)
			}
			out[path] = append(out[path], imp)
		}
	}
	return out
}

// goFiles lists the Go files of the module that are no tests, by path below its
// root.
func goFiles(t *testing.T, root string) []string {
	t.Helper()
	var out []string
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && strings.HasPrefix(d.Name(), ".") && path != root {
			return filepath.SkipDir
		}
		ours, matchErr := build.Default.MatchFile(filepath.Dir(path), d.Name())
		if matchErr == nil && ours && strings.HasSuffix(path, ".go") && !strings.HasSuffix(path, "_test.go") {
			rel, err := filepath.Rel(root, path)
			if err != nil {
				return err
			}
			out = append(out, filepath.ToSlash(rel))
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}
