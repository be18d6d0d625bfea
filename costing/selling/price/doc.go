// Package price leads from full cost to the price asked, and back from the price
// asked to what is earned: margin or markup (formula P1) around what a channel
// puts on top on the way to the shelf and takes off on the way back (P2, P3), and
// the prices people are willing to see.
package price
