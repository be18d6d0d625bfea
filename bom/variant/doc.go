// Package variant answers what one selection of choices makes of a product: which
// positions belong to it, and why a selection is no variant.
package variant
