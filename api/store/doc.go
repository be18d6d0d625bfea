// Package store keeps what the service knows in SQLite or PostgreSQL. The
// statements are the same for both; what differs is in dialect.go. There is one
// writer at a time on either, so that quote numbers have no gaps and the change
// log is one chain.
package store
