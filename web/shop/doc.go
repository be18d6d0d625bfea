// Package shop keeps the book: its records, their revisions and the change log, the
// book as text, and the tokens of programs.
package shop
