// Package column computes a graph for many draws at once, in binary numbers: a
// block of draws for one node after another, so that the cost of finding out what
// to do is paid once per node and block and the arithmetic runs over plain slices.
//
// It means what package exact means: the same domains, the same snapping to nine
// places, a value only where exact has one (NaN stands for none). It differs by
// what 53 binary digits cost: figures agree to about twelve digits, and a figure
// that lies within the rounding of binary numbers of a step, an edge or a tie is
// taken to lie on it. Figures that are quoted are computed by exact, never here.
//
// What does not vary is computed once, by exact.
package column
