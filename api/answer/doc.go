// Package answer says what a book says: what is wrong with it, what its batches
// cost and sell for, and how each figure was made. Whoever asks names a state of a
// book as an Origin, the stored one or one of their own; nothing here reads a clock
// or a store. Every figure carries its key, so that it can be explained. Errors are
// *Error, from one closed list of codes.
package answer
