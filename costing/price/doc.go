// Package price leads from full cost to the price asked, and back from the price
// asked to what is earned: margin or markup (formula P1), discounts (P2), tax and
// fees (P3), and price points.
package price
