// Package peers holds one formula of the demo written out in other ways, for
// comparison: the full cost of one lamp of trim glow in a batch of 250, with every
// range of it drawn. The loops of go, c and python stand here; the formula they call
// is printed from the graph by the tests, one line per figure that varies, with what
// does not vary worked out beforehand: as a person would write it who had to write
// some four hundred lines. The lines are not joined any further, as the column
// evaluator joins them by algebra; that is part of what is compared. Nothing here is
// used by the program.
package peers
