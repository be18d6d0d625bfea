// Package rows reads and writes records of the book as rows of a table in CSV: the
// records of a kind, a list in a record, and the operations of a part with a row for
// each operation, for each of its features and for each of its characteristics.
//
// A column is named as the field of the book, a value of a record in the record with
// the name of that before it: treatment.class; what the dictionary calls a field is
// read as well: "set-up, min". Columns stand in any order, and those that a file lacks
// stay as they are; an empty cell takes a field away. A table of records changes those
// that it names; one of a list, or of operations, says what the list is to be.
//
// A range is written low..likely..high, with a shape behind it where it is not
// triangular (4..5..7 pert, 4..5..7 normal 0.5); several ids with blanks between them;
// truth as yes and no; a list of records as in the text of the book: [{from: 1, price: 4}].
package rows
