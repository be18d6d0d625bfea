//go:build race

package api

// raceFactor is how much longer things may take under the race detector.
const raceFactor = 10
