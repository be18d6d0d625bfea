// Package chart works out where the marks of a chart stand. Positions are shares
// of the width, as text for attributes of a drawing that fits any screen; they
// are never shown as numbers. Every mark that stands for a figure carries the
// key and exact value of that figure.
package chart
