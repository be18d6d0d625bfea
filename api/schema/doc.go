// Package schema describes Go types for the document of the API: answers by their
// JSON names, as its library does, and what is read by the tags of books, as the
// strict reader does.
package schema
