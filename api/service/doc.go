// Package service holds the use cases, one per user action. Some are pure: they
// take a book and give figures, for the command line and for stateless calls
// alike. The methods of Service work on the stored book: they own the clock, the
// secrets and the rules of who may do what, and keep everything in a Store. Every
// figure carries its key, so that it can be explained.
//
// A change happens whole or not at all, in one transaction with its entry in the
// change log. Errors are *Error, from one closed list of codes.
package service
