// Package trade shows what a buyer in another country pays, and the rates and
// reference rows that figures rest on.
package trade
