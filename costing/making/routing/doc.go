// Package routing turns the operations of a part or product into figures: the
// pieces that start at each operation (formula Y1), the time per piece and per
// load (M14), the time a work centre is occupied (M15) and the time a person
// attends (M16).
package routing
