// Package export writes files: workbooks with live formulas, and CSV. Every
// writer takes an io.Writer and values; the same values give the same bytes.
package export
