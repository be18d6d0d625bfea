// Package service holds the use cases, one per user action. Those here are pure:
// they take a book and give figures, for the command line and for stateless
// calls alike. Every figure carries its key, so that it can be explained.
package service
