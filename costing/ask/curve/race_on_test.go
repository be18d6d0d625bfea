//go:build race

package curve_test

// fewer is by how much generated cases are thinned out under the race detector.
const fewer = 8
