// Package worktable reads and writes the operations of a part, and what they cut
// and measure, as a table in CSV: a row for each operation, for each of its
// features and for each of its characteristics. Columns are named as the fields of
// the book, those of a treatment or of learning with that word before them:
// treatment.class; what the dictionary calls a field is read as well: "set-up, min".
//
// A file says what the routing is to be: rows that it lacks are taken away, and an
// empty cell takes a field away. Columns that it lacks stay as they are. A range is
// written low..likely..high, with a shape behind it where it is not triangular
// (4..5..7 pert, 4..5..7 normal 0.5); several tools with blanks between them; truth
// as yes and no.
package worktable
