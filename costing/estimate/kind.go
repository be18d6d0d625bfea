package estimate

// Kind is a kind of cost: a line of every cost sheet. A new one is a constant here,
// in the place where it is shown, its entry in kindEntries, and the figure charged:
// for a batch, for an operation, or by piece (cost.go).
type Kind int

// The kinds of cost, those of a group together.
const (
	StockCost Kind = iota
	BoughtCost
	MaterialOverhead
	ReclaimCredit // negative
	MachineCost
	LabourCost
	ToolCost
	ConsumablesCost
	OutsideCost
	MakingOverhead
	SpecialCost
	kindCount
)

// kindEntry is what is known of a kind of cost.
type kindEntry struct {
	key, label string
	group      Group
	credit     bool
	perPiece   bool // it is charged by piece, never to a batch
	operation  operationLine
}

// operationLine is a kind of cost among the lines of an operation.
type operationLine struct {
	column     string // its head in a table of operations; empty where an operation has no such cost
	batch      string // key of the cost of the batch
	key, label string // of the cost by piece
}

var kindEntries = [kindCount]kindEntry{
	StockCost:  {key: "stock", label: "stock", group: MaterialCosts},
	BoughtCost: {key: "bought", label: "bought parts", group: MaterialCosts},
	MaterialOverhead: {key: "material-overhead", label: "material overhead", group: MaterialCosts,
		operation: operationLine{"Overhead", "outside-overhead", "material-overhead", "overhead on the outside process"}},
	ReclaimCredit: {key: "reclaim", label: "reclaim of chips", group: MaterialCosts, credit: true},
	MachineCost: {key: "machine", label: "machine time", group: MakingCosts,
		operation: operationLine{"Machine", "machine-cost", "machine", "machine time"}},
	LabourCost: {key: "labour", label: "attended labour", group: MakingCosts,
		operation: operationLine{"Labour", "labour-cost", "labour", "attended labour"}},
	ToolCost: {key: "tools", label: "tools", group: MakingCosts,
		operation: operationLine{"Tools", "tools-cost", "tools", "tools"}},
	ConsumablesCost: {key: "consumables", label: "shop consumables", group: MakingCosts,
		operation: operationLine{"Consumables", "consumables-cost", "consumables", "shop consumables"}},
	OutsideCost: {key: "outside", label: "outside processes", group: MakingCosts,
		operation: operationLine{"Outside", "lot", "outside", "outside process"}},
	MakingOverhead: {key: "making-overhead", label: "manufacturing overhead", group: MakingCosts,
		operation: operationLine{"Overhead", "making-overhead", "overhead", "manufacturing overhead"}},
	SpecialCost: {key: "special", label: "special direct cost", group: SpecialCosts, perPiece: true},
}

// Kinds lists the kinds of cost in order.
func Kinds() []Kind {
	out := make([]Kind, kindCount)
	for i := range out {
		out[i] = Kind(i)
	}
	return out
}

// Label names the kind for people.
func (k Kind) Label() string { return kindEntries[k].label }

// Key is the last element of the kind's keys.
func (k Kind) Key() string { return kindEntries[k].key }

// Credit says that the kind takes off from the cost.
func (k Kind) Credit() bool { return kindEntries[k].credit }

// Group is what a kind of cost adds up to with others.
type Group int

// The groups, which are the formulas C1 to C3.
const (
	MaterialCosts Group = iota
	MakingCosts
	SpecialCosts
	groupCount
)

var groupEntries = [groupCount]struct{ key, formula string }{
	MaterialCosts: {"material", "C1"}, MakingCosts: {"making", "C2"}, SpecialCosts: {"special", "C3"},
}

// Groups lists the groups in order.
func Groups() []Group { return []Group{MaterialCosts, MakingCosts, SpecialCosts} }

// Key is the last element of the key of the group's sum, and its name for people.
func (g Group) Key() string { return groupEntries[g].key }

// Kinds lists the kinds of a group in order.
func (g Group) Kinds() []Kind {
	var out []Kind
	for _, k := range Kinds() {
		if kindEntries[k].group == g {
			out = append(out, k)
		}
	}
	return out
}

// formula is that of the kind's figures.
func (k Kind) formula() string { return groupEntries[kindEntries[k].group].formula }

// operationKinds are the kinds of cost an operation has lines of: what it makes,
// then what material comes with it.
func operationKinds() []Kind {
	var out []Kind
	for _, k := range append(MakingCosts.Kinds(), MaterialCosts.Kinds()...) {
		if kindEntries[k].operation.column != "" {
			out = append(out, k)
		}
	}
	return out
}

// OperationColumn is a column in a table of operations, with the last elements of
// the keys of its figures; an operation has one of them at most.
type OperationColumn struct {
	Head        string
	Batch, Each []string // of the batch; by piece, below each/
}

// OperationColumns lists the costs of an operation.
func OperationColumns() []OperationColumn {
	var out []OperationColumn
	at := map[string]int{}
	for _, k := range operationKinds() {
		line := kindEntries[k].operation
		i, known := at[line.column]
		if !known {
			i, at[line.column] = len(out), len(out)
			out = append(out, OperationColumn{Head: line.column})
		}
		out[i].Batch, out[i].Each = append(out[i].Batch, line.batch), append(out[i].Each, line.key)
	}
	return out
}
