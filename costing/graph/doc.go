// Package graph holds the formula graph: every figure Kerfbook shows is a node
// of one, and nothing else computes a cost.
//
// A node has a stable key, a label a person can read, a unit, an operation with
// its arguments, and the place its number came from. Estimators write nodes
// through a [Scope]; [Builder.Build] checks keys, units and limits and returns an
// immutable [Graph]. The evaluators (exact, workbook, proof) are separate
// packages, each filling an array with one entry per operation.
package graph
