// Package cost shows what a trim and a part cost and how they are made, the proof of
// each figure.
package cost
