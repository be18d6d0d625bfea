// Package change says what a book would say after changes that nothing has been
// done about: inputs at other values, fields of records with other texts, a table
// of operations taken in, a demand of a drawing relaxed. It also says which records
// a change is kept in, and refuses one after which the book would not fit together.
package change
