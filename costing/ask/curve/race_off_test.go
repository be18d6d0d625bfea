//go:build !race

package curve_test

const fewer = 1
