// Package money holds currencies: ISO 4217 codes with their minor units. Amounts
// themselves are nodes of the formula graph, whose unit carries the currency.
package money
