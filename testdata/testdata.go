// Package testdata carries the demo book, so that the program runs without any
// file, and tests and examples use the same one.
package testdata

import _ "embed"

// Demo is the book of the fictional Ostrel Workshop, in its text form.
//
//go:embed demo/ostrel.yaml
var Demo []byte

// Features is a small book of the same workshop whose parts are described by
// features.
//
//go:embed workpiece/features.yaml
var Features []byte
