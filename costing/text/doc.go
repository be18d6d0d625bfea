// Package text reads and writes Go structs as text that leaves nothing to
// guess. The text is YAML, or JSON as its subset; fields carry their name and
// rules of form in a tag:
//
//	LengthMM *bom.Number `book:"length_mm,required,over=0"`
//
// Options are required, min= and max= (inclusive), over= and under= (exclusive),
// whole (no fraction and no range) and single (no range). A number is one figure
// or a range, of which low, likely and high keep to the bounds:
//
//	{low: 4, likely: 5, high: 7}
//	{low: 4, likely: 5, high: 7, shape: normal, sd: 0.4}
//
// Decode reports every error of a text at once, each with line, column and path.
// Scalars are decoded from their literal text, so that NO stays Norway and 010 is
// an error, never 8.
package text
