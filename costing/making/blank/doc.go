// Package blank turns stock into blanks: how many come from one bar, plate or
// sheet (formulas S1, S2), what stock a batch is charged with (S3) and what its
// chips bring back (S4).
package blank
