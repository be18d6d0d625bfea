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
	"regexp"
	"slices"
	"strings"
	"testing"
)

// mayCompute says why something may be computed with, and the files where.
// Everywhere else a cost is a node of the graph. A package stands here only where
// all of it is an evaluator, mathematics, a drawing or a help of tests.
var mayCompute = map[string][]string{
	"the exact evaluator":                           {"costing/graph/exact"},
	"the evaluator of many draws":                   {"costing/graph/column"},
	"distributions of ranges, never a cost":         {"costing/ask/shape"},
	"statistics of draws, each computed by a graph": {"costing/ask/simulate", "api/answer/study/statistic.go"},
	"lengths on the page; the figures beside them come from the graph": {"web/chart", "web/study/curvechart.go",
		"costing/papers/document"},
	"fractions that tests recount figures with":              {"costing/fractiontest"},
	"answers of the suite that holds the evaluators":         {"costing/graph/graphtest"},
	"nominal quantities, no cost":                            {"bom/explosion.go"},
	"compares sizes of lines, tools and features":            {"bom/blankfit.go", "bom/featurefault.go", "bom/guess.go", "bom/fit.go", "bom/shape.go"},
	"sizes of features from what a drawing says":             {"costing/making/guess/core.go", "costing/making/guess/cut.go", "costing/rates/thread.go"},
	"the ends of a number that is typed as about so much":    {"bom/number.go"},
	"a yield from pieces lost of 100":                        {"costing/making/guess/question.go"},
	"compares a size with its limit":                         {"costing/text/scalar.go"},
	"compares as the evaluator does":                         {"costing/graph/proof/rests.go"},
	"places of blanks in units of a sheet, exactly":          {"costing/making/blank/drawsheet.go", "costing/making/blank/sharedlayout.go", "costing/making/blank/steps.go"},
	"differences of figures and shares of them":              {"costing/ask/compare/exactly.go"},
	"places on the way between two sides, averages along it": {"costing/ask/compare/way.go"},
	"finds where figures step, cross and are least; what is shown is evaluated exactly": {"costing/ask/curve/advice.go", "costing/ask/curve/crossing.go", "costing/ask/curve/curve.go",
		"costing/ask/curve/doubt.go", "costing/ask/curve/rerun.go", "costing/ask/curve/least.go", "costing/ask/curve/model.go", "costing/ask/curve/scan.go",
		"costing/ask/curve/step.go", "costing/ask/curve/breaks.go"},
	"geometry of a model file, no cost":             {"bom/solid"},
	"reads per cent as a share":                     {"web/form/number.go", "cmd/kerfbook/batchflags.go"},
	"turns what was typed in one unit into another": {"web/notation"},
	"the relaxed demand that one of a drawing is compared with; both costs come from the graph": {"api/answer/change/callout.go"},
	"rounding for the eye, never computed with":                                                 {"costing/papers/show/number.go"},
	"heights of rows; rounding of cached values, which the formulas beside them replace":        {"costing/papers/xlsx/rows.go", "costing/papers/table/quotesheet.go"},
	"how near a recalculated cell is to the exact figure":                                       {"costing/papers/recalctest"},
	"rounding places and limits printed into a sheet":                                           {"costing/graph/workbook/assemble.go"},
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

// bigArithmetic are those of math/big.
var bigArithmetic = map[string]bool{
	"Add": true, "Sub": true, "Mul": true, "Quo": true, "Div": true, "DivMod": true, "QuoRem": true, "Mod": true, "Rem": true,
	"Neg": true, "Abs": true, "Inv": true, "Exp": true, "Sqrt": true, "MulRange": true, "Lsh": true, "Rsh": true, "GCD": true,
}

const decimalPath = "github.com/shopspring/decimal"

func TestCostArithmeticIsInTheGraph(t *testing.T) {
	t.Parallel()
	computing := map[string]bool{} // places of the list that were met
	for _, places := range mayCompute {
		for _, place := range places {
			computing[place] = false
		}
	}
	m := loadModule(t)
	for _, pkg := range slices.Sorted(maps.Keys(m.files)) {
		for _, found := range m.computations(t, pkg) {
			_, whole := computing[pkg]
			_, named := computing[found.file]
			switch {
			case whole:
				computing[pkg] = true
			case named:
				computing[found.file] = true
			default:
				t.Error(found)
			}
		}
	}
	for place, met := range computing {
		if !met {
			t.Errorf("%s may compute and does not: take it off the list", place)
		}
	}
}

// TestArithmeticIsFound types a small package for each form there is.
func TestArithmeticIsFound(t *testing.T) {
	t.Parallel()
	m := loadModule(t)
	for name, c := range map[string]struct{ code, want string }{
		"decimals":              {`func f(a, b decimal.Decimal) decimal.Decimal { return a.Add(b) }`, "decimal Add"},
		"a function of them":    {`var f = decimal.Max`, "decimal Max"},
		"floats":                {`func f(a, b float64) float64 { return a * b }`, "float arithmetic"},
		"an assignment":         {`func f(a, b float64) float64 { a += b; return a }`, "float arithmetic"},
		"a step":                {`func f(a float64) float64 { a++; return a }`, "float arithmetic"},
		"a sign":                {`func f(a float64) float64 { return -a }`, "float arithmetic"},
		"floats of a name":      {`type euro float64; func f(a, b euro) euro { return a / b }`, "float arithmetic"},
		"their assignment":      {`type euro float32; func f(a, b euro) euro { a *= b; return a }`, "float arithmetic"},
		"fractions":             {`func f(a, b *big.Rat) *big.Rat { return new(big.Rat).Mul(a, b) }`, "big Mul"},
		"large integers":        {`func f(a, b *big.Int) *big.Int { return a.Sub(a, b) }`, "big Sub"},
		"cents cut off":         {`func f(a decimal.Decimal) int64 { return a.Shift(2).IntPart() * 3 }`, "decimal Shift, arithmetic of whole cents"},
		"cents in a variable":   {`func f(a, b decimal.Decimal) int64 { x, y := a.Shift(2).IntPart(), b; _ = y; z := x; z += 7; return z }`, "decimal Shift, arithmetic of whole cents"},
		"cents in a field":      {`type p struct{ x int64 }; func f(a decimal.Decimal) int64 { q := p{x: a.Shift(2).IntPart()}; return q.x / 2 }`, "decimal Shift, arithmetic of whole cents"},
		"cents by their name":   {`func f(cents, n int64) int64 { return cents * n }`, "arithmetic of whole cents"},
		"a type of them":        {`type Minor int64; func f(a, b Minor) Minor { return a - b }`, "arithmetic of whole cents"},
		"cents as another kind": {`func f(priceCents int64, n int) int { return int(priceCents) % n }`, "arithmetic of whole cents"},
		"counting":              {`func f(list []int, n int) int { n += len(list) * 2; n++; return -n }`, ""},
		"a constant":            {`const half = 1.0 / 2; var f = -half`, ""},
		"an order":              {`func f(a, b decimal.Decimal, x, y float64) bool { return a.LessThan(b) && x < y }`, ""},
		"pieces of a decimal":   {`func f(a decimal.Decimal) int64 { return a.IntPart() + 1 }`, ""},
	} {
		fset := token.NewFileSet()
		file, err := parser.ParseFile(fset, "form.go", `package form
import ("math/big"; "github.com/shopspring/decimal")
var ( _ big.Int; _ decimal.Decimal )
`+c.code, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, found := range m.find(t, "form", fset, []*ast.File{file}) {
			got = append(got, found.what)
		}
		slices.Sort(got)
		if want := strings.Split(c.want, ", "); c.want == "" && len(got) > 0 || c.want != "" && !slices.Equal(slices.Compact(got), sorted(want)) {
			t.Errorf("%s: found %q, want %q", name, got, c.want)
		}
	}
}

func sorted(list []string) []string { slices.Sort(list); return list }

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
		f := must(parser.ParseFile(fset, filepath.Join(m.root, name), nil, parser.SkipObjectResolution))(t)
		files = append(files, f)
	}
	return m.find(t, pkg, fset, files)
}

func (m *typedModule) find(t *testing.T, pkg string, fset *token.FileSet, files []*ast.File) []computation {
	t.Helper()
	info := &types.Info{Uses: map[*ast.Ident]types.Object{}, Defs: map[*ast.Ident]types.Object{}, Types: map[ast.Expr]types.TypeAndValue{}}
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

// finder looks through the files of a package.
type finder struct {
	info  *types.Info
	found func(n ast.Node, what string)
	// minor are the variables that hold an amount as a whole number of cents.
	minor map[types.Object]bool
}

func findComputations(root string, fset *token.FileSet, files []*ast.File, info *types.Info) []computation {
	var all []computation
	x := &finder{info: info, minor: map[types.Object]bool{}, found: func(n ast.Node, what string) {
		at := fset.Position(n.Pos())
		file, err := filepath.Rel(root, at.Filename)
		if err != nil {
			file = at.Filename
		}
		all = append(all, computation{filepath.ToSlash(file), at.Line, what})
	}}
	for known := -1; known < len(x.minor); { // one variable may get its cents from another
		known = len(x.minor)
		for _, f := range files {
			ast.Inspect(f, x.learn)
		}
	}
	for _, f := range files {
		ast.Inspect(f, x.look)
	}
	return all
}

// look reports a node that computes.
func (x *finder) look(n ast.Node) bool {
	switch n := n.(type) {
	case *ast.SelectorExpr:
		switch obj := x.info.Uses[n.Sel]; {
		case obj == nil || obj.Pkg() == nil:
		case obj.Pkg().Path() == decimalPath && arithmetic[obj.Name()]:
			x.found(n, "decimal "+obj.Name())
		case obj.Pkg().Path() == "math/big" && bigArithmetic[obj.Name()]:
			x.found(n, "big "+obj.Name())
		}
	case *ast.BinaryExpr:
		if computes[n.Op] && x.info.Types[n].Value == nil {
			x.operation(n, n.X, n.Y)
		}
	case *ast.AssignStmt:
		if n.Tok != token.ASSIGN && n.Tok != token.DEFINE {
			x.operation(n, n.Lhs[0], n.Rhs[0])
		}
	case *ast.UnaryExpr:
		if n.Op == token.SUB && x.info.Types[n].Value == nil {
			x.operation(n, n.X, n.X)
		}
	case *ast.IncDecStmt:
		x.operation(n, n.X, n.X)
	}
	return true
}

func (x *finder) operation(n ast.Node, left, right ast.Expr) {
	switch {
	case x.isFloat(left) || x.isFloat(right):
		x.found(n, "float arithmetic")
	case x.isMinor(left) || x.isMinor(right):
		x.found(n, "arithmetic of whole cents")
	}
}

var computes = map[token.Token]bool{token.ADD: true, token.SUB: true, token.MUL: true, token.QUO: true, token.REM: true}

func (x *finder) isFloat(e ast.Expr) bool {
	t := x.info.Types[e].Type
	if t == nil {
		return false
	}
	b, ok := t.Underlying().(*types.Basic)
	return ok && b.Info()&types.IsFloat != 0
}

func (x *finder) isInteger(e ast.Expr) bool {
	t := x.info.Types[e].Type
	if t == nil {
		return false
	}
	b, ok := t.Underlying().(*types.Basic)
	return ok && b.Info()&types.IsInteger != 0
}

// learn notes a variable or field that is given whole cents.
func (x *finder) learn(n ast.Node) bool {
	note := func(to ast.Expr, from ast.Expr) {
		if name := lastName(to); name != nil && x.isMinor(from) {
			if obj := x.info.ObjectOf(name); obj != nil {
				x.minor[obj] = true
			}
		}
	}
	switch n := n.(type) {
	case *ast.AssignStmt:
		for i := range n.Rhs {
			if len(n.Lhs) == len(n.Rhs) {
				note(n.Lhs[i], n.Rhs[i])
			}
		}
	case *ast.ValueSpec:
		for i := range n.Values {
			if len(n.Names) == len(n.Values) {
				note(n.Names[i], n.Values[i])
			}
		}
	case *ast.KeyValueExpr:
		note(n.Key, n.Value)
	}
	return true
}

func lastName(e ast.Expr) *ast.Ident {
	switch e := e.(type) {
	case *ast.Ident:
		return e
	case *ast.SelectorExpr:
		return e.Sel
	}
	return nil
}

// isMinor says whether an integer is an amount in minor units: by the name of its
// type, variable or function, because a decimal was shifted and cut for it, or
// because it is made of such a one.
func (x *finder) isMinor(e ast.Expr) bool {
	if !x.isInteger(e) {
		return false
	}
	if named, ok := x.info.Types[e].Type.(*types.Named); ok && speaksOfCents(named.Obj().Name()) {
		return true
	}
	switch e := e.(type) {
	case *ast.ParenExpr:
		return x.isMinor(e.X)
	case *ast.Ident, *ast.SelectorExpr:
		name := lastName(e)
		return x.minor[x.info.ObjectOf(name)] || x.info.Types[e].Value == nil && speaksOfCents(name.Name)
	case *ast.BinaryExpr:
		return x.isMinor(e.X) || x.isMinor(e.Y)
	case *ast.CallExpr:
		name := lastName(e.Fun)
		if x.info.Types[e.Fun].IsType() && len(e.Args) == 1 { // int(cents)
			return x.isMinor(e.Args[0])
		}
		return name != nil && (speaksOfCents(name.Name) || wholePart[name.Name] && isShifted(e.Fun))
	}
	return false
}

var centsName = regexp.MustCompile(`(?i)^(cents?|minors?|pennies)$|Cents?$|Minor$|^(cents?|minor)[A-Z]`)

func speaksOfCents(name string) bool { return centsName.MatchString(name) }

// wholePart are the ways a decimal becomes an integer.
var wholePart = map[string]bool{"IntPart": true, "CoefficientInt64": true, "Coefficient": true, "BigInt": true}

// isShifted finds x.Shift(2) or x.Mul(hundred) before a call that cuts.
func isShifted(e ast.Expr) bool {
	shifted := false
	ast.Inspect(e, func(n ast.Node) bool {
		if s, ok := n.(*ast.SelectorExpr); ok && (s.Sel.Name == "Shift" || s.Sel.Name == "Mul") {
			shifted = true
		}
		return !shifted
	})
	return shifted
}
