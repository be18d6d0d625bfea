// Package cost shows what a trim and a part cost and how they are made, the proof of
// each figure, and what a change of an input would do.
package cost
