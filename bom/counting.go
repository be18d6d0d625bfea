package bom

// Matter is something that usually costs time or money in the trade and is easily
// left out of a book.
type Matter string

// The matters. Those from Loading to SettingUp are of an operation, those up to
// Programming of a part, the others of a product, and Packing of a part sold by itself too.
const (
	Loading     Matter = "loading"
	ToolChanges Matter = "tool_changes"
	Edges       Matter = "edges"
	Moves       Matter = "moves"
	SettingUp   Matter = "setup"
	HandWork    Matter = "hand_work"
	Checking    Matter = "inspection"
	Scrap       Matter = "scrap"
	Programming Matter = "programming"
	Packing     Matter = "packing"
	Delivering  Matter = "delivery"
	Clearing    Matter = "clearance"
)

// Values lists the matters as they are written.
func (Matter) Values() []string {
	return []string{string(Loading), string(ToolChanges), string(Edges), string(Moves), string(SettingUp), string(HandWork), string(Checking),
		string(Scrap), string(Programming), string(Packing), string(Delivering), string(Clearing)}
}

// Noun is the matter for people.
func (m Matter) Noun() string {
	return map[Matter]string{Loading: "loading and unloading", ToolChanges: "tool changes", Edges: "tool wear", Moves: "moves between cuts",
		SettingUp: "set-up", HandWork: "work by hand, such as breaking edges", Checking: "inspection", Scrap: "scrap", Programming: "programming and fixtures", Packing: "packing",
		Delivering: "delivery", Clearing: "customs clearance"}[m]
}

// CountingAnswer says why a matter needs no figure of its own.
type CountingAnswer string

// The answers.
const (
	EnteredHere CountingAnswer = "entered" // in another field, named by Where
	NoneAtAll   CountingAnswer = "none"    // there is none
	InRate      CountingAnswer = "in_rate" // within an hour rate or an overhead
)

// Values lists the answers as they are written.
func (CountingAnswer) Values() []string {
	return []string{string(EnteredHere), string(NoneAtAll), string(InRate)}
}

// CountAnswer is what the shop says of a matter that has no figure.
type CountAnswer struct {
	What   Matter         `book:"what,required"`
	Answer CountingAnswer `book:"answer,required"`
	// Where names what contains it: an operation, a rate, an overhead.
	Where string `book:"where"`
}
