// Package codec writes a graph with its figures as bytes and reads them back, so
// that what was promised can be shown and explained without the program and the
// book that computed it.
//
// The bytes are canonical: the same graph and figures always give the same bytes,
// and [Decode] refuses bytes that [Encode] would have written otherwise. Words
// stand for operations and units, never the numbers the program uses inside.
// Figures are taken from the bytes as they are and never computed again.
package codec
