// Package table writes rows for programs and spreadsheets: CSV, and a quote as a
// workbook for the customer.
package table
