// Package guess writes what a part takes that is hardly described yet: stock, set-up
// and minutes from its way of making, material and outer size, as products of starter
// ranges (formula G1). A figure that has been entered takes the place of its ranges.
package guess
