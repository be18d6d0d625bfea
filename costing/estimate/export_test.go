package estimate

// OperationKinds are the kinds of cost an operation has lines of, for tests.
var OperationKinds = operationKinds

// OperationKey is the last element of the key of the kind's line by piece.
func (k Kind) OperationKey() string { return kindEntries[k].operation.key }
