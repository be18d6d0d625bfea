// Package workbook prints a formula graph as a sheet model: live formulas over
// named cells, as plain data. It knows no file format; costing/papers/costbook turns a
// [Model] into a file.
//
// Every node is one row with one named cell, and a formula refers to other cells
// by name only. No formula holds a number but 0, 1 and the place count of the
// snap ([graph.SnapPlaces]), as the test of every formula says. What a formula
// cannot hold in one line (a table of two hundred prices) stands in a block of
// cells of its own on the sheet "lists".
//
// An undefined figure is the error value #N/A. It passes through every formula
// except an arm not chosen, because IF, CHOOSE and INDEX leave such an arm alone.
package workbook
