// Package layout lays blanks out on bars and sheets. It counts in whole steps of any
// size, knows neither money nor the graph, and finds the same layout every time.
package layout
