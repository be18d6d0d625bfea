// Package study says what many evaluations of a batch come to: figures against the
// quantity, how sure they are and what moves them, and why two of them differ.
package study
