// Package costbook writes a graph as a workbook whose formulas are live: a page
// to read first, then the figures, sheet by sheet.
package costbook
