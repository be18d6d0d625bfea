// Package api is the interface for programs: JSON over HTTP under /api/v1. Every
// route is described in openapi.yaml, which is generated from the code and
// committed; a test holds the two together.
//
// Bodies are read by the strict reader of books: names that are not known, names
// given twice, numbers that are none are refused, all at once, each with a JSON
// pointer. Numbers go in and out as text, so that no reader rounds them.
package api
