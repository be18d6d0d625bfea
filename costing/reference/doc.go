// Package reference holds the rows that ship with the program, and says of any row
// that was found where it came from.
package reference
