// Package frame is what every page stands in: the call with who is signed in, the
// view it looks at and the book, links, figures and problems as pages write them,
// the way in and out, the templates and the files of all pages.
package frame
