// Package recordform makes the form of any record of the book from its Go type: what was
// typed by the place of each field, its text and back, lists that grow and shrink, and
// what stands open on the page.
package recordform
