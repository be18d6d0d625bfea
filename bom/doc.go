// Package bom holds what one shop makes: parts, stock, routings, operations and
// products with options, and the structural questions about them: explosion and
// where-used. It knows quantities and times but no money.
//
// Field tags (`book:"name,…"`) give the name of a field in the book's text form
// and the rules of form a reader checks: required, over=, min=, max=, under=,
// whole.
package bom
