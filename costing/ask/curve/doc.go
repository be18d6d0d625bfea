// Package curve draws a figure of a graph against the batch quantity, piece by
// piece, and finds where it steps, is least and crosses another.
//
// A cost curve is no smooth line. Bars, sheets, loads, set-ups and lots are
// bought or run in whole numbers, a price holds from a quantity on, a minimum
// charge is left behind, another offer becomes the cheaper one. [Sweep] evaluates
// the figure at every whole quantity of a range and finds each place between q
// and q+1 where something steps; [Curve.Breaks] names what steps there and what
// it costs; [Curve.Runs] gives the stretches between; [Crossings] says which of
// two curves is the lower one where; [Curve.Least] finds the cheapest quantity;
// [PayBack] the price, and the pieces sold, that pay a batch back (P4).
//
// # What steps
//
// Steps are found from the operations of the graph, whatever they stand for:
// floor, ceiling and rounding (another multiple), band (another cell), choose
// (the other arm), least (another index), minimum and maximum (another argument),
// check. A minimum or maximum of equal arguments stays with the one it had: the
// new one begins with the first quantity at which the old one no longer serves.
// All others step where the graph says so, closed and open ends included.
//
// A step that changes at more than a third of the quantities, of the whole range
// or of any 30 in a row, is not a break but the grain of the curve: it is
// reported in [Curve.Counted] as counted piece by piece, and so is the rounding
// of an amount of money to less than a thousandth of it. A range of fewer than 64
// quantities is judged by the 64 from its beginning.
//
// # What is a break
//
// Of several steps at one place only the root causes are named. A step is a cause
// if it happens even while all causes before it (arguments before results) are
// held as they were: the count at its old value, the choice on its old arm. Those
// that then no longer happen follow from them. The effect of a cause is the batch
// cost at q+1 less the batch cost at q+1 with it held as it was as well; the
// effects of several causes add up to that of the break. What would step only
// because something is held (a count held too small made up for by another, a step
// on an arm that was left) is held with it. So the effect is what the batch costs
// beyond what the stretch below, drawn on by one piece, would have given.
//
// A step that makes no difference to the figure, at the first and at the second
// quantity after it, is no break.
//
// # Which evaluator
//
// The curve comes from the column evaluator, the quantities in blocks. Wherever a
// comparison or a rounding is so near to turning that binary numbers could be
// wrong about it, the exact evaluator settles the quantity. Everything with a
// decimal in it was evaluated exactly.
//
// # Decisions
//
// A decision of a solver (a layout of shared stock) is taken again wherever the quantity
// leaves what it was found for, and steps as everything else does. One that cannot be
// taken again, in a graph that was read back, ends the sweep in a [*QuantityError] with
// the first such quantity.
package curve
