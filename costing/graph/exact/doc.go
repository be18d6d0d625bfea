// Package exact evaluates a formula graph in decimal. Its figures are the ones
// shown, stored and quoted.
//
// Every result is rounded once, half to even, to 34 significant digits, and only
// when it has more; sums and products of many arguments are exact until that one
// rounding. Roots, logarithms, powers and arc cosines are rounded to the
// nearest 34 digits; only where the true value lies within about 10^-120 of the
// middle between two neighbours may the other neighbour come out. Numbers are held
// in 128 bits with a decimal exponent; wider intermediate results take 256 bits,
// and rare ones big integers. Nothing passes through a binary fraction format.
package exact
