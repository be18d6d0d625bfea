package estimate

import (
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/graph"
)

// OperationKinds are the kinds of cost an operation has lines of, for tests.
var OperationKinds = operationKinds

// OperationKey is the last element of the key of the kind's line by piece.
func (k Kind) OperationKey() string { return kindEntries[k].operation.key }

// BuildWithin is Build with another limit of figures.
func BuildWithin(b *book.Book, mix []MixLine, day bom.Date, figures int) (*Estimate, error) {
	return build(b, mix, day, graph.Limits{MaxNodes: figures})
}
