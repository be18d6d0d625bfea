package graphtest

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"kerfbook/costing/graph"
)

// functions a formula may use: all belong to the first set of functions, which
// every spreadsheet program reads without a prefix.
var functions = []string{"ABS", "ACOS", "AND", "CHOOSE", "EXP", "IF", "INDEX", "INT", "LN", "MATCH", "MAX", "MIN", "NA", "OR", "PRODUCT", "ROUND", "SQRT", "SUM"}

var (
	// token is a name or number, a function with its bracket, another bracket, a comma
	// or an operator.
	token  = regexp.MustCompile(`^(?:(_[\w.]*|[0-9]+)|([A-Z]+)\(|[(),]|<=|>=|<>|[-+*/^<>=])`)
	places = strconv.Itoa(graph.SnapPlaces)
)

// call is an open bracket: the function before it, or "", and how many commas
// have passed.
type call struct {
	function string
	commas   int
}

// CheckFormula verifies that a formula (without a leading "=") is made of names,
// known functions, operators and brackets; that its only numbers are 0, 1 and
// the place count of a ROUND; that no minus is unary; and that brackets pair.
func CheckFormula(formula string) error {
	var open []call      // innermost last
	operand := false     // a value has ended, so that an operator may follow and a value may not
	last, rest := "", "" // the token before, and what follows the one looked at
	for left := formula; left != ""; left = rest {
		m := token.FindStringSubmatch(left)
		if m == nil {
			return fmt.Errorf("formula %q: what begins %.20q has no place in a formula", formula, left)
		}
		rest = left[len(m[0]):]
		var in *call
		if len(open) > 0 {
			in = &open[len(open)-1]
		}
		fault := ""
		switch opens := m[2] != "" || m[0] == "("; {
		case (opens || m[1] != "") == operand: // a value begins
			fault = "two values without an operator, or none where one belongs"
		case m[2] != "" && !slices.Contains(functions, m[2]):
			fault = "no function to use"
		case opens:
			open = append(open, call{function: m[2]})
			operand = m[2] == "NA" && strings.HasPrefix(rest, ")")
		case m[1] == places && in != nil && in.function == "ROUND" && in.commas == 1 && last == "," && strings.HasPrefix(rest, ")"):
			operand = true
		case m[1] != "" && m[1][0] != '_' && m[1] != "0" && m[1] != "1":
			fault = "neither a name nor 0 or 1"
		case m[1] != "":
			operand = true
		case m[0] == ")" && in == nil, m[0] == "," && (in == nil || in.function == "" || in.commas == 253):
			fault = "outside a bracket or function, or beyond 254 arguments"
		case m[0] == ")":
			open = open[:len(open)-1]
		case m[0] == ",":
			in.commas++
			operand = false
		default:
			operand = false
		}
		if fault != "" {
			return fmt.Errorf("formula %q: %s: %s", formula, m[0], fault)
		}
		last = m[0]
	}
	if len(open) > 0 || !operand {
		return fmt.Errorf("formula %q ends in the middle", formula)
	}
	return nil
}
