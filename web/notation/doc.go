// Package notation reads numbers, days and countries as people type them and writes
// them as they read them: with a decimal comma or point, in the unit at hand, in their
// order of day and month, by name. What a text means is decided here and nowhere else; the
// API and the text of a book know plain notation only.
package notation
