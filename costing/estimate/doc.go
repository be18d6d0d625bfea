// Package estimate builds the estimate of a batch: a mix of variants with
// quantities, priced with the rate card of a day, as one formula graph.
//
// Quantities run down from the variants through operations, yields and children
// (formulas Y1, Y2); costs run up again by kind (C1 to C5), so that every figure
// of a variant can be opened to the operation or offer it came from.
package estimate
