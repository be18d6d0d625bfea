// Package rates holds what a shop pays and works with: rate cards, work centres,
// materials, offers, outside processes, cutting data and finishes, with their
// look-up by day.
package rates
