// Package compare says why two figures differ: a figure of two variants, of two
// quantities, of two days, or of a stored quote and of today.
//
// # Cost lines
//
// The difference is broken down into lines, each a figure of the graph that is
// part of the headline. The headline is opened downwards in two steps:
//
//  1. Kinds: sums, differences and the arm that holds of a choice are opened until
//     something else is met. Of a full cost these are the kinds of cost, then
//     administration, selling and special direct costs. A percentage on top is not
//     opened: it stays a line of its own.
//  2. Within a kind, sums and differences are opened further, and so are what is
//     shared out over pieces (a ÷ pieces) and what is taken by pieces (pieces × a,
//     alone or in a sum of products), which leads from a batch to a piece and from
//     a product to its parts. What it stops at are the lines: the stock of one
//     part, the machine time of one operation. A choice is not opened here, so what
//     is bought at another offer stays one line.
//
// A line carries what it adds to the headline, and the thing it belongs to: the
// first two elements of its key (part/EMB-010, variant/glow). A line without
// partner on the other side appears or vanishes in full. The shares of the lines
// add up to the difference to the last digit; the figures of an evaluation have 34
// digits, and what their rounding leaves over is in the share of the largest line.
//
// Figures are partners where their keys are equal. Where the keys of the two
// headlines differ in an element (variant/plain/each/full and
// variant/glow/each/full), the two names stand for one another in all keys.
//
// # Shares of inputs
//
// What has the same structure on both sides — the same figures, operations and
// arguments all the way down — differs only by its inputs: quantities, prices,
// rates, minutes and decisions. If that is the headline itself, its difference is
// shared out over the inputs that changed; otherwise the sum of the lines that are
// alike is, and each other line keeps its own share. All shares together add up to
// the difference to the last digit.
//
// For few inputs the shares are Shapley's: the change an input makes, averaged
// over all orders in which the inputs can be changed, by the exact evaluator over
// all subsets. For many they are those of Aumann and Shapley, the change along the
// straight way from one side to the other, by the column evaluator: the way is cut
// into m pieces, in each the inputs are changed one by one in ascending and in
// descending order of their keys, and the average is taken; this is repeated for
// m²/4 placements of the cuts, so that a step which several inputs reach together
// is shared by how fast each approaches it. Every such sum telescopes. m is doubled
// until the shares settle or the evaluations allowed are used up; the result says
// which. Binary digits are then rounded, and what is left over is in the largest
// share. Where a figure has no value with only some inputs changed, and none
// half-way either, the inputs are not told apart and share the difference together.
//
// Decisions of a solver that differ are inputs of their own ("the layout chosen
// changed"). On the way of Aumann and Shapley a decision changes half-way, since
// half a decision is none. The cheapest of several offers or price breaks is no
// decision: it is computed, and follows the inputs.
//
// Sources of the methods: L. S. Shapley, "A value for n-person games" (1953);
// R. J. Aumann and L. S. Shapley, "Values of non-atomic games" (1974), both from
// memory; the placement of the cuts is our own.
package compare
