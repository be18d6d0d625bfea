package graphtest

import (
	"regexp"
	"strings"
	"testing"
)

func TestCheckFormula(t *testing.T) {
	t.Parallel()
	for _, formula := range []string{
		"_a", "_a+_b*_c", "IF(_b=0,NA(),_a/_b)", "(0-INT(0-ROUND(_x/_s,9)))*_s", "ROUND(_x,0)", "ROUND(_x,1)",
		"MIN(_x)", "1/(1+1)", "IF(AND(_x>=_a,_x<>_b),_1,0)", "IF(ROUND(_a,9)<=ROUND(_b,9),1,0)", "NA()",
		"CHOOSE(1+IF(_a>_b,1,0),_c,_d)", "_a^_b",
	} {
		if err := CheckFormula(formula); err != nil {
			t.Errorf("%s: %v", formula, err)
		}
	}
	for _, formula := range []string{
		"", "=_a", "-_a", "_a*-_b", "(-_a)", "+_a", "2*_a", "_a*1.19", "9", "ROUND(9,9)", "ROUND(_a,9+1)", "ROUND(_a,2)",
		"ROUND(_a,(9))", "SUM(_a,9)", "INT(_a,9)", "10", "0.5", "1e3", "A1", "$A$1", "Sheet!_a", "'x'!_a", "_a:_b", `"text"`, "_a&_b",
		"NOW()", "HYPERLINK(_a)", "cmd|_a", "_a _b", "_a(_b)", "(_a)(_b)", "_a)", "(_a", "SUM(_a", "SUM(,_a)", "SUM(_a,)", "SUM()",
		"_a,_b", "(_a,_b)", "_a+", "_a==_b", "{_a}", "_a%", "TRUE", "xlfn.IFS(_a)", "_a;_b", "INDEX(_a,1,2)", "ä",
		"MAX(" + strings.Repeat("_a,", 254) + "_a)",
	} {
		if CheckFormula(formula) == nil {
			t.Errorf("%.80s passes", formula)
		}
	}
}

// FuzzCheckFormula takes the names and functions out of what passes: nothing but
// the three numbers, operators and brackets may remain.
func FuzzCheckFormula(f *testing.F) {
	f.Add("IF(_b=0,NA(),_a/_b)")
	f.Add("ROUND(_x,9)")
	names := regexp.MustCompile(`_[\w.]*|[A-Z]+\(`)
	rest := regexp.MustCompile(`^[-+*/^<>=(),019]*$`)
	f.Fuzz(func(t *testing.T, formula string) {
		if CheckFormula(formula) == nil && !rest.MatchString(names.ReplaceAllString(formula, "")) {
			t.Errorf("%q passes", formula)
		}
	})
}
