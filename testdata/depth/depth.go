// Package depth says how deep tests dig that draw their cases or repeat what
// chance decides: a tenth of the full number with fixed seeds by day, all of it
// with a seed of its own in `make night`.
package depth

import (
	"iter"
	"os"
	"slices"
	"strconv"
	"testing"
)

// variable holds the seed of the night; by day it is not set.
const variable = "KERFBOOK_NIGHT"

// spacing keeps the seeds of two nights apart.
const spacing = 1_000_000

func night() (seed uint64, ok bool) {
	text := os.Getenv(variable)
	if text == "" {
		return 0, false
	}
	seed, err := strconv.ParseUint(text, 10, 32)
	if err != nil {
		panic(variable + "=" + text + " is no seed: give a whole number below 2^32")
	}
	return seed, true
}

// Of gives how many of the full number of cases are looked at.
func Of(full int) int {
	if _, ok := night(); ok {
		return full
	}
	return tenth(full)
}

func tenth(full int) int { return (full + 9) / 10 }

// OneOfEach gives all cases at night, and the first of each kind by day.
func OneOfEach[T any, K comparable](all []T, kind func(T) K) []T {
	if _, ok := night(); ok {
		return all
	}
	seen := map[K]bool{}
	return slices.DeleteFunc(slices.Clone(all), func(one T) bool {
		k := kind(one)
		again := seen[k]
		seen[k] = true
		return again
	})
}

// Seeds gives the seeds of that many cases: the same first tenth always, the rest
// drawn anew each night. A seed that once failed is named behind the number and
// comes first from then on.
func Seeds(full int, failed ...uint64) iter.Seq[uint64] {
	return func(yield func(uint64) bool) {
		for _, seed := range failed {
			if !yield(seed) {
				return
			}
		}
		drawn, _ := night()
		for i := range Of(full) {
			seed := uint64(i)
			if i >= tenth(full) {
				seed += (1 + drawn) * spacing
			}
			if !yield(seed) {
				return
			}
		}
	}
}

// Seed gives the seed of a source many cases are drawn from: a fixed one by day.
// A test that fails at night says how to have its night again.
func Seed(t testing.TB, fixed uint64) uint64 {
	t.Helper()
	drawn, ok := night()
	if !ok {
		return fixed
	}
	t.Cleanup(func() {
		if t.Failed() {
			t.Logf("drawn in the night %s=%d", variable, drawn)
		}
	})
	return fixed + (1+drawn)*spacing
}
