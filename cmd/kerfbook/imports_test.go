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

// room is a group of packages: which rooms below it they may import, and which
// packages of the room each of them may.
type room struct {
	packages []string            // a folder stands for itself and, with "/...", for all below it
	below    []string            // rooms
	arrows   map[string][]string // package → packages of the same room
}

// rooms is the order of the house. A package that is in no room fails, so that a
// new one is thought about; test files may import more.
var rooms = map[string]room{
	"bom": {packages: []string{"bom/..."}, arrows: map[string][]string{"bom/variant": {"bom"}, "bom/solid": {"bom"}}},

	"text":  {packages: []string{"costing/text"}, below: []string{"bom"}},
	"money": {packages: []string{"costing/money"}},
	"graph": {packages: []string{"costing/graph/..."}, below: []string{"bom"}, arrows: map[string][]string{
		"costing/graph/exact":     {"costing/graph"},
		"costing/graph/column":    {"costing/graph", "costing/graph/exact"},
		"costing/graph/proof":     {"costing/graph"},
		"costing/graph/codec":     {"costing/graph"},
		"costing/graph/workbook":  {"costing/graph", "costing/graph/proof"},
		"costing/graph/graphtest": {"costing/graph", "costing/graph/exact"},
	}},
	"reference": {packages: []string{"costing/reference"}, below: []string{"bom", "text"}},
	"rates":     {packages: []string{"costing/rates"}, below: []string{"bom", "money", "reference"}},
	"trade":     {packages: []string{"costing/trade"}, below: []string{"bom", "money", "reference"}},
	"book": {packages: []string{"costing/book/..."}, below: []string{"bom", "money", "text", "rates", "trade"}, arrows: map[string][]string{
		"costing/book/check":  {"costing/book", "costing/book/field", "costing/book/record"},
		"costing/book/record": {"costing/book"},
		"costing/book/field":  {"costing/book", "costing/book/record"},
		"costing/book/rows":   {"costing/book/field", "costing/book/record"},
	}},

	"making": {packages: []string{"costing/making/..."}, below: []string{"bom", "graph", "reference", "rates"}, arrows: map[string][]string{
		"costing/making/machining": {"costing/making/machining/feature", "costing/making/routing"},
		"costing/making/blank":     {"costing/making/blank/layout", "costing/making/purchase"},
	}},
	"selling": {packages: []string{"costing/selling/..."}, below: []string{"bom", "money", "graph", "reference", "rates", "trade"}, arrows: map[string][]string{
		"costing/selling/freight": {"costing/selling/exchange"},
		"costing/selling/landed":  {"costing/selling/exchange", "costing/selling/freight", "costing/selling/price"},
	}},
	"estimate": {packages: []string{"costing/estimate"}, below: []string{"bom", "money", "graph", "rates", "trade", "book", "making", "selling"}},
	"ask": {packages: []string{"costing/ask/..."}, below: []string{"bom", "money", "graph"}, arrows: map[string][]string{
		"costing/ask/simulate": {"costing/ask/shape"},
	}},
	"papers": {packages: []string{"costing/papers/..."}, below: []string{"bom", "money", "graph", "reference", "rates", "trade", "book", "selling", "estimate", "ask"}, arrows: map[string][]string{
		"costing/papers/quote":    {"costing/papers/fonts"},
		"costing/papers/show":     {"costing/papers/quote"},
		"costing/papers/document": {"costing/papers/fonts", "costing/papers/quote", "costing/papers/show"},
		"costing/papers/table":    {"costing/papers/quote", "costing/papers/show", "costing/papers/xlsx"},
		"costing/papers/costbook": {"costing/papers/xlsx"},
	}},

	"answer": {packages: []string{"api/answer/..."}, arrows: map[string][]string{
		"api/answer/change": {"api/answer"},
		"api/answer/study":  {"api/answer", "api/answer/change"},
	},
		below: []string{"bom", "text", "money", "graph", "rates", "trade", "book", "making", "selling", "estimate", "ask", "papers"}},
	"service": {packages: []string{"api/service/..."}, arrows: map[string][]string{"api/service": {"api/service/promise", "api/service/runs"}},
		below: []string{"bom", "text", "money", "graph", "rates", "trade", "book", "making", "selling", "estimate", "ask", "papers", "answer"}},
	"edge":  {packages: []string{"api/edge"}, below: []string{"text", "answer", "service"}},
	"store": {packages: []string{"api/store"}, below: []string{"answer", "service", "migrations"}},
	"api": {packages: []string{"api", "api/schema"}, arrows: map[string][]string{"api": {"api/schema"}},
		below: []string{"bom", "text", "graph", "money", "rates", "trade", "book", "selling", "estimate", "papers", "answer", "service", "edge"}},
	"web": {packages: []string{"web/..."}, below: []string{"bom", "text", "money", "graph", "reference", "rates", "trade", "book", "estimate", "papers", "answer", "service", "edge", "demo"},
		arrows: map[string][]string{
			"web":        {"web/cost", "web/frame", "web/papers", "web/shop", "web/study", "web/trade", "web/whatif"},
			"web/frame":  {"web/notation"},
			"web/form":   {"web/chart", "web/frame", "web/notation"},
			"web/cost":   {"web/chart", "web/form", "web/frame"},
			"web/whatif": {"web/form", "web/form/recordform", "web/frame"},
			"web/study":  {"web/chart", "web/form", "web/frame", "web/notation"},
			"web/trade":  {"web/chart", "web/form", "web/frame"},
			"web/papers": {"web/form", "web/frame"},
			"web/shop":   {"web/chart", "web/form", "web/form/recordform", "web/frame", "web/notation"},

			"web/form/recordform": {"web/chart", "web/form", "web/frame", "web/notation"},
		}},
	"command": {packages: []string{"cmd/kerfbook", "cmd/kerfbook/settings"}, arrows: map[string][]string{"cmd/kerfbook": {"cmd/kerfbook/settings"}},
		below: []string{"bom", "text", "book", "estimate", "papers", "answer", "service", "edge", "store", "api", "web", "demo"}},

	"migrations": {packages: []string{"migrations"}},
	"demo":       {packages: []string{"testdata"}},

	// What only tests import.
	"helpers": {packages: []string{"costing/fractiontest", "costing/book/booktest", "costing/papers/recalctest", "costing/papers/quotetest", "api/store/storetest", "api/store/pgtest", "testdata/peers", "testdata/depth"},
		arrows: map[string][]string{"costing/papers/quotetest": {"costing/book/booktest"}},
		below:  []string{"bom", "text", "graph", "rates", "estimate", "book", "answer", "service", "demo", "papers"}},
}

// roomOf is the room of a package: the one that names it most exactly.
func roomOf(pkg string) (string, bool) {
	best, name := -1, ""
	for r := range rooms {
		for _, p := range rooms[r].packages {
			folder, all := strings.CutSuffix(p, "/...")
			if (pkg == folder || all && strings.HasPrefix(pkg, folder+"/")) && len(p) > best {
				best, name = len(p), r
			}
		}
	}
	return name, best >= 0
}

// mayImport says whether a package may import another of the module.
func mayImport(pkg, other string) bool {
	from, _ := roomOf(pkg)
	to, known := roomOf(other)
	switch {
	case !known:
		return false
	case from == to:
		return slices.Contains(rooms[from].arrows[pkg], other)
	}
	return slices.Contains(rooms[from].below, to)
}

// outside lists what touches the world outside: nothing under bom and costing
// may import it.
var outside = []string{"net", "net/http", "os", "os/exec", "database/sql", "time", "math/rand", "math/rand/v2", "crypto/rand", "syscall", "log", "log/slog"}

// exceptions are files under costing that may import one package of those: each
// with its reason.
var exceptions = map[string]string{
	"bom/date.go:time":                     "checks days and counts them; reads no clock",
	"costing/papers/xlsx:time":             "dates a file with the day it is for; reads no clock",
	"costing/papers/document:time":         "dates a file with the day it is for; reads no clock",
	"costing/book/zone.go:time":            "turns an instant into the day of the shop; reads no clock",
	"costing/papers/recalctest:*":          "runs a spreadsheet engine for tests only",
	"costing/graph/graphtest:math/rand/v2": "seeded generator for tests only",
	"costing/fractiontest:math/rand/v2":    "seeded generator for tests only",
}

const module = "kerfbook/"

func TestImports(t *testing.T) {
	t.Parallel()
	root := moduleRoot(t)
	for path, imports := range sourceImports(t, root) {
		pkg := filepath.ToSlash(filepath.Dir(path))
		if _, known := roomOf(pkg); !known {
			t.Errorf("%s: package %s is in no room of this test", path, pkg)
			continue
		}
		for _, imp := range imports {
			if ours, ok := strings.CutPrefix(imp, module); ok {
				if !mayImport(pkg, ours) {
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
	root := must(filepath.Abs("../.."))(t)
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
		f := must(parser.ParseFile(token.NewFileSet(), filepath.Join(root, path), nil, parser.ImportsOnly))(t)
		out[path] = []string{}
		for _, spec := range f.Imports {
			imp := must(strconv.Unquote(spec.Path.Value))(t)
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

// TestRooms proves that the table refuses what it should.
func TestRooms(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		pkg, other string
		may        bool
	}{
		{"bom/variant", "bom", true},
		{"bom", "bom/variant", false},
		{"costing/making/blank", "costing/making/purchase", true},
		{"costing/making/blank", "costing/making/blank/layout", true},
		{"costing/making/blank/layout", "costing/making/blank", false},
		{"costing/making/purchase", "costing/making/blank", false},
		{"costing/making/blank", "costing/book", false},
		{"costing/selling/landed", "costing/making/finish", false},
		{"web", "api", false},
		{"api", "web", false},
		{"api", "api/store", false},
		{"api", "api/store/pgtest", false},
		{"cmd/kerfbook", "web", true},
		{"web/cost", "web/chart", true},
		{"web/chart", "web", false},
		{"web/cost", "web/trade", false},
		{"web/trade", "web/cost", false},
		{"web/papers", "web/cost", false},
		{"web/shop", "web/papers", false},
		{"web/form", "web/cost", false},
		{"web/frame", "web/form", false},
		{"web", "web/frame", true},
		{"web/frame", "web", false},
		{"nowhere", "bom", false},
	} {
		if mayImport(c.pkg, c.other) != c.may {
			t.Errorf("%s imports %s: want allowed = %t", c.pkg, c.other, c.may)
		}
	}
}
