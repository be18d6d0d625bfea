// Package recalctest recalculates workbooks with an independent program, headless
// LibreOffice, so that tests can compare its answers with the exact figures.
//
// It is for tests only, and so it may do what no other package below costing
// does: run a process and write temporary files.
package recalctest
