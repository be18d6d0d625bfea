package graphtest

import (
	"fmt"
	"strconv"

	"kerfbook/costing/graph"
)

// functions a formula may use: all belong to the first set of functions, which
// every spreadsheet program reads without a prefix.
var functions = map[string]bool{
	"ABS": true, "ACOS": true, "AND": true, "CHOOSE": true, "EXP": true, "IF": true, "INDEX": true, "INT": true,
	"LN": true, "MATCH": true, "MAX": true, "MIN": true, "NA": true, "OR": true, "PRODUCT": true, "ROUND": true,
	"SQRT": true, "SUM": true,
}

// CheckFormula verifies that a formula (without a leading "=") is made of names,
// known functions, operators and brackets; that its only numbers are 0, 1 and
// the place count of a ROUND; that no minus is unary; and that brackets pair.
func CheckFormula(formula string) error {
	c := &checker{text: formula}
	for c.at < len(c.text) {
		if err := c.token(); err != nil {
			return err
		}
	}
	switch {
	case len(c.open) > 0:
		return c.fail("a bracket is not closed")
	case !c.operand:
		return c.fail("ends without a value")
	}
	return nil
}

// checker walks over a formula. operand says that the last token ends a value,
// so that an operator may follow and a value may not.
type checker struct {
	text    string
	at      int
	operand bool
	open    []call
}

// call is an open bracket: the function before it, or "", and how many commas
// have passed.
type call struct {
	function string
	commas   int
}

func (c *checker) fail(format string, args ...any) error {
	return fmt.Errorf("formula %q at %d: %s", c.text, c.at, fmt.Sprintf(format, args...))
}

func (c *checker) token() error {
	switch b := c.text[c.at]; {
	case isWord(b):
		return c.word()
	case b == '(':
		return c.bracket("")
	case b == ')':
		return c.close()
	case b == ',':
		return c.comma()
	default:
		return c.operator()
	}
}

func isWord(b byte) bool {
	return b == '_' || b == '.' || b >= '0' && b <= '9' || b >= 'a' && b <= 'z' || b >= 'A' && b <= 'Z'
}

// word reads a name, a number or a function with its bracket.
func (c *checker) word() error {
	if c.operand {
		return c.fail("two values without an operator")
	}
	end := c.at
	for end < len(c.text) && isWord(c.text[end]) {
		end++
	}
	word := c.text[c.at:end]
	if end < len(c.text) && c.text[end] == '(' {
		if !functions[word] {
			return c.fail("function %s", word)
		}
		c.at = end
		return c.bracket(word)
	}
	if word[0] != '_' && word != "0" && word != "1" && !c.isPlaces(word, end) {
		return c.fail("%s is neither a name nor 0 or 1", word)
	}
	c.at, c.operand = end, true
	return nil
}

// isPlaces reports whether a word is the whole second argument of a ROUND.
func (c *checker) isPlaces(word string, end int) bool {
	if word != strconv.Itoa(graph.SnapPlaces) || len(c.open) == 0 {
		return false
	}
	last := c.open[len(c.open)-1]
	return last.function == "ROUND" && last.commas == 1 && c.text[c.at-1] == ',' && end < len(c.text) && c.text[end] == ')'
}

func (c *checker) bracket(function string) error {
	if c.operand {
		return c.fail("two values without an operator")
	}
	c.open = append(c.open, call{function: function})
	c.at++
	if function == "NA" && c.at < len(c.text) && c.text[c.at] == ')' {
		c.operand = true
	}
	return nil
}

func (c *checker) close() error {
	if len(c.open) == 0 || !c.operand {
		return c.fail("bracket closed too early")
	}
	c.open = c.open[:len(c.open)-1]
	c.at++
	return nil
}

func (c *checker) comma() error {
	if len(c.open) == 0 || c.open[len(c.open)-1].function == "" || !c.operand {
		return c.fail("comma outside a function, or without a value before it")
	}
	last := &c.open[len(c.open)-1]
	if last.commas++; last.commas >= 254 {
		return c.fail("more than 254 arguments")
	}
	c.at, c.operand = c.at+1, false
	return nil
}

func (c *checker) operator() error {
	n := 1
	two := c.text[c.at:min(c.at+2, len(c.text))]
	switch {
	case two == "<=" || two == ">=" || two == "<>":
		n = 2
	case c.text[c.at] != '+' && c.text[c.at] != '-' && c.text[c.at] != '*' && c.text[c.at] != '/' &&
		c.text[c.at] != '^' && c.text[c.at] != '<' && c.text[c.at] != '>' && c.text[c.at] != '=':
		return c.fail("character %q", c.text[c.at])
	}
	if !c.operand {
		return c.fail("operator without a value before it")
	}
	c.at, c.operand = c.at+n, false
	return nil
}
