// Package xlsx holds what every workbook has in common, whatever stands in it:
// the dated archive, properties, protected pages, styles, rows and names. The
// same values give the same bytes.
package xlsx
