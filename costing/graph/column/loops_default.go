//go:build !(goexperiment.simd && amd64)

package column

var fast = plain
