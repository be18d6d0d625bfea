// Package simulate says how sure a figure is and what moves it: it draws the
// ranges of an estimate many times, ranks the inputs by what they do to a figure
// one at a time, and shares the variance of a figure out over them.
//
// Figures are computed by the graph alone, draw by draw, in its column form
// ([Run], [Shares]) or exactly ([Tornado]). What is computed here are statistics
// of those draws.
//
// A block of [column.Block] draws is one Latin hypercube of its own and therefore
// one replicate of the whole experiment; standard errors come from the spread of
// the replicates. What an input is drawn as in a block follows from the seed, the
// number of the block and the key of the input and from nothing else, so that the
// same seed gives the same figures to the last bit on any number of cores.
package simulate
