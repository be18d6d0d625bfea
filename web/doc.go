// Package web serves the pages: made on the server, whole without a script, with
// every number a link to its proof. It lays out figures that the service gives
// and computes none.
package web
