package landed_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/money"
)

// Countries and currencies are data. Only the two lists of codes may name them
// in code; packages that serve tests only are not looked at.
func TestNoCountryOrCurrencyInCode(t *testing.T) {
	lists := map[string]bool{"bom/country.go": true}
	root := filepath.Join("..", "..", "..")
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name, _ := filepath.Rel(root, path)
		if d.IsDir() && path != root && (strings.HasPrefix(d.Name(), ".") || strings.HasSuffix(d.Name(), "test")) {
			return filepath.SkipDir
		}
		if d.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") || lists[filepath.ToSlash(name)] {
			return nil
		}
		return codesIn(t, path, name)
	})
	if err != nil {
		t.Fatal(err)
	}
}

func codesIn(t *testing.T, path, name string) error {
	fset := token.NewFileSet()
	file, err := parser.ParseFile(fset, path, nil, parser.SkipObjectResolution)
	if err != nil {
		return err
	}
	ast.Inspect(file, func(n ast.Node) bool {
		lit, ok := n.(*ast.BasicLit)
		if !ok || lit.Kind != token.STRING {
			return true
		}
		text, err := strconv.Unquote(lit.Value)
		if err != nil {
			return true
		}
		if text == "NA" && strings.HasPrefix(filepath.ToSlash(name), "costing/graph/workbook/") {
			return true // the spreadsheet function, not Namibia
		}
		if _, currency := money.Lookup(text); currency || bom.Country(text).Known() {
			t.Errorf("%s:%d: the code %q belongs in a data file", name, fset.Position(lit.Pos()).Line, text)
		}
		return true
	})
	return nil
}
