// Package web mounts the pages, which its rooms serve: made on the server, whole
// without a script, with every number a link to its proof. They lay out figures
// that the use cases give and compute none.
package web
