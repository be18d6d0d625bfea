// Package form asks and reads: the numbers people type, which variant a page looks
// at, and the records of a book with their fields as they were entered.
package form
