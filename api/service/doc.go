// Package service holds the use cases on the stored book, one per user action:
// load, answer, store. The methods of Service own the clock, the secrets and the
// rules of who may do what, and keep everything in a Store; what a book says is
// answered by package answer.
//
// A change happens whole or not at all, in one transaction with its entry in the
// change log. Errors are *answer.Error.
package service
