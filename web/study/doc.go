// Package study asks about the cost of a batch: how sure it is, how it runs over the
// quantity, and why two figures differ.
package study
