// Package feature tells what one feature of a machining operation takes when one tool
// cuts it: path, speed, time, moves, power and worn edges (formulas M1 to M14), and what
// it takes away from the piece. A kind of feature is a [Kind] in a file of its own and a
// line of the table in kind.go; what kinds share stands in the other files.
package feature
