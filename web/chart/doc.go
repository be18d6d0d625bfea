// Package chart works out where the marks of a chart stand. Places along the page
// are shares of the width, as text for attributes of a drawing that fits any
// screen; places down the page are pixels. They are never shown as numbers. Every
// mark that stands for a figure carries the key and exact value of that figure;
// what is a statistic of draws carries its name and exact value.
//
// Each chart is made by one function from plain data and comes with its table.
// Data that cannot be drawn, such as what is not a number, is refused with a
// [DataError]; data without any spread is drawn. The templates that show charts
// carry their names: histogram, cumulative, tornado, variance-shares, step-curve
// and bridge.
package chart
