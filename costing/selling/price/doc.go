// Package price leads from full cost to the price asked, and back from the price
// asked to what is earned: margin or markup (formula P1) around what the channel
// adds and takes.
package price
