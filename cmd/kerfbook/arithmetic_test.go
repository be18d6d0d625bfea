package main

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// mayCompute lists the packages and files where decimals may be computed with,
// and why. Everywhere else a cost is a node of the graph.
var mayCompute = map[string]string{
	"bom/explosion.go":               "nominal quantities, no cost",
	"bom/engraving.go":               "compares the width of a line with what a tool cuts",
	"bom/fit.go":                     "compares sizes of tools and features",
	"bom/shape.go":                   "compares a deviation with the width of its range",
	"costing/ask/shape":              "distributions of ranges: where drawn values lie, never a cost",
	"costing/text/scalar.go":         "compares a size with its limit",
	"costing/graph/proof/rests.go":   "compares as the evaluator does",
	"costing/graph/exact":            "the exact evaluator",
	"costing/graph/column":           "the evaluator of many draws",
	"testdata/peers":                 "one formula written out by hand, to time the evaluators against",
	"costing/ask/simulate":           "statistics of draws; each draw is computed by the graph",
	"costing/ask/compare/exactly.go": "differences of figures and their shares, which add up to the last digit",
	"costing/ask/compare/way.go":     "places on the way between two sides and averages along it",
	"costing/ask/curve":              "finds where figures of the graph step, cross and are least; what is shown is evaluated exactly",
	"costing/fractiontest":           "fractions that tests recount figures with",
	"costing/graph/graphtest":        "answers of the suite that holds the evaluators",
	"web/curvechart.go":              "where open ends of a curve stand on the page",
	"web/percent.go":                 "reads per cent as a share",
	"cmd/kerfbook/percent.go":        "reads per cent as a share",
	"web/chart":                      "lengths on the page; the figures beside them come from the graph",
	"api/service/callout.go":         "the relaxed demand that one of a drawing is compared with; both costs come from the graph",
	"api/service/statistic.go":       "statistics of draws compared with a price; amounts put in order of size",
	"costing/money":                  "minor units as powers of ten",
	"costing/papers/show":            "rounding for the eye, never computed with",
	"costing/export":                 "rounding of cached values, which the formulas beside them replace",
	"costing/graph/workbook":         "rounding places and limits printed into a sheet",
}

// arithmetic are the methods and functions of the decimal library that make new
// numbers.
var arithmetic = map[string]bool{
	"Add": true, "Sub": true, "Mul": true, "Div": true, "DivRound": true, "QuoRem": true, "Mod": true, "Neg": true, "Abs": true,
	"Pow": true, "PowInt32": true, "PowBigInt": true, "PowWithPrecision": true, "ExpHullAbrham": true, "ExpTaylor": true, "Ln": true,
	"Sqrt": true, "Sin": true, "Cos": true, "Tan": true, "Atan": true, "Round": true, "RoundUp": true, "RoundDown": true, "RoundCeil": true,
	"RoundFloor": true, "RoundBank": true, "RoundCash": true, "Floor": true, "Ceil": true, "Truncate": true, "Shift": true,
	"Sum": true, "Avg": true, "Min": true, "Max": true, "InexactFloat64": true, "Float64": true,
}

const decimalPath = "github.com/shopspring/decimal"

func TestCostArithmeticIsInTheGraph(t *testing.T) {
	t.Parallel()
	m := loadModule(t)
	for _, pkg := range slices.Sorted(maps.Keys(m.files)) {
		if mayCompute[pkg] != "" {
			continue
		}
		for _, found := range m.computations(t, pkg) {
			if mayCompute[found.file] == "" {
				t.Error(found)
			}
		}
	}
}

// TestArithmeticIsFound proves that the test above sees what it looks for: the
// explosion does compute.
func TestArithmeticIsFound(t *testing.T) {
	t.Parallel()
	if len(loadModule(t).computations(t, "bom")) == 0 {
		t.Error("no arithmetic found in the explosion, which multiplies quantities")
	}
}

// typedModule is the module's source with what is needed to type it.
type typedModule struct {
	root    string
	files   map[string][]string // package → files
	exports map[string]string   // import path → export data
}

// loadModule asks the go command for export data, and lists the source itself so
// that a changed file is seen by the test cache.
func loadModule(t *testing.T) *typedModule {
	t.Helper()
	m := &typedModule{root: moduleRoot(t), files: map[string][]string{}, exports: map[string]string{}}
	cmd := exec.Command("go", "list", "-deps", "-export", "-f", "{{.ImportPath}} {{.Export}}", "./...", "./testdata")
	cmd.Dir = m.root
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	for line := range bytes.Lines(out) {
		path, file, _ := strings.Cut(strings.TrimSpace(string(line)), " ")
		m.exports[path] = file
	}
	for _, f := range goFiles(t, m.root) {
		pkg := filepath.ToSlash(filepath.Dir(f))
		m.files[pkg] = append(m.files[pkg], f)
	}
	return m
}

// computations types a package and lists where it computes with decimals or
// floats.
func (m *typedModule) computations(t *testing.T, pkg string) []computation {
	t.Helper()
	fset := token.NewFileSet()
	var files []*ast.File
	for _, name := range m.files[pkg] {
		f, err := parser.ParseFile(fset, filepath.Join(m.root, name), nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, f)
	}
	info := &types.Info{Uses: map[*ast.Ident]types.Object{}, Types: map[ast.Expr]types.TypeAndValue{}}
	conf := types.Config{Importer: importer.ForCompiler(fset, "gc", m.open)}
	if _, err := conf.Check(module+pkg, fset, files, info); err != nil {
		t.Fatalf("%s: %v", pkg, err)
	}
	return findComputations(m.root, fset, files, info)
}

// computation is one place where something is computed.
type computation struct {
	file string // below the root
	line int
	what string
}

func (c computation) String() string {
	return fmt.Sprintf("%s:%d: %s outside the graph", c.file, c.line, c.what)
}

func (m *typedModule) open(path string) (io.ReadCloser, error) {
	file := m.exports[path]
	if file == "" {
		return nil, fmt.Errorf("no export data for %s", path)
	}
	return os.Open(file)
}

func findComputations(root string, fset *token.FileSet, files []*ast.File, info *types.Info) []computation {
	var found []computation
	add := func(n ast.Node, what string) {
		at := fset.Position(n.Pos())
		file, err := filepath.Rel(root, at.Filename)
		if err != nil {
			file = at.Filename
		}
		found = append(found, computation{filepath.ToSlash(file), at.Line, what})
	}
	for _, f := range files {
		ast.Inspect(f, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.SelectorExpr:
				obj := info.Uses[n.Sel]
				if obj != nil && obj.Pkg() != nil && obj.Pkg().Path() == decimalPath && arithmetic[obj.Name()] {
					add(n, "decimal "+obj.Name())
				}
			case *ast.BinaryExpr:
				if isFloat(info.Types[n].Type) && info.Types[n].Value == nil {
					add(n, "float arithmetic")
				}
			}
			return true
		})
	}
	return found
}

func isFloat(t types.Type) bool {
	b, ok := t.(*types.Basic)
	return ok && b.Info()&types.IsFloat != 0
}
