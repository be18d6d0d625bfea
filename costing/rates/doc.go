// Package rates holds the dated data an estimate is priced with: rate cards,
// work centres, materials, offers, outside processes, channels and destinations,
// with their lookup by day, and the reference rows that ship with the program.
package rates
