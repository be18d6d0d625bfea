package graph

import (
	"maps"
	"slices"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
)

// table holds the nodes of a graph. A shop of many parts has a million: what few nodes
// have stands apart from what all have, and a key is put together when it is asked for.
type table struct {
	blocks [][]slot // full but for the last, so that a growing table is not copied
	count  int
	args   []ID // of all nodes
	index  []ID // by hash, at twice as many places as there are nodes or more; None: free

	units    map[Unit]*Unit // those that have occurred, each once
	formulas map[string]*string
}

// blockSize is how many slots are taken at once.
const blockSize = 512

// slot is a node as it is kept.
type slot struct {
	prefix, name, label, of string

	source  *Source // the path of which does not count
	path    string
	formula *string
	unit    *Unit
	hash    uint32 // of the key

	value       decimal.Decimal
	rare        *rare // nil for most
	first, args int32 // place and number of its arguments
	op          Op
	kind        Kind
	compare     Comparison
}

// rare is what few nodes have.
type rare struct {
	low, high, sd decimal.Decimal
	shape         bom.Shape
	missing       string
	axes          []Bands
	decision      *Choice
	settled       *Settled
}

func newTable(room int) table {
	t := table{units: map[Unit]*Unit{}, formulas: map[string]*string{}}
	t.spread(room)
	return t
}

// spread makes an index with room for so many nodes.
func (t *table) spread(room int) {
	places := 16
	for places < 2*room {
		places *= 2
	}
	t.index = make([]ID, places)
	for i := range t.index {
		t.index[i] = None
	}
	for id := range ID(t.count) {
		t.index[t.free(t.at(id).hash)] = id
	}
}

// free is the first free place for a key.
func (t *table) free(hash uint32) uint32 {
	for last := uint32(len(t.index) - 1); ; hash++ {
		if t.index[hash&last] == None {
			return hash & last
		}
	}
}

func (t *table) unit(u Unit) *Unit { return once(t.units, u) }

func (t *table) formula(id string) *string { return once(t.formulas, id) }

// once gives the one place where a value is kept.
func once[T comparable](kept map[T]*T, value T) *T {
	at, ok := kept[value]
	if !ok {
		first := value // or each call would put its value on the heap
		at = &first
		kept[first] = at
	}
	return at
}

func (t *table) at(id ID) *slot { return &t.blocks[uint32(id)/blockSize][uint32(id)%blockSize] }

// has reports whether a node has been built; an ID may come from another builder.
func (t *table) has(id ID) bool { return id >= 0 && int(id) < t.count }

func (t *table) argsOf(s *slot) []ID {
	end := s.first + s.args
	return t.args[s.first:end:end]
}

// hashOf gives the place of a key in the index, before others that have the same. It
// is not valid if it has another form than elements joined by slashes.
func hashOf(prefix, name string) (hash uint32, valid bool) {
	hash = 2166136261 // FNV-1a
	before := byte('/')
	valid = name != "" && len(prefix)+len(name) <= maxKey
	for _, part := range [...]string{prefix, name} {
		for i := range len(part) {
			c := part[i]
			valid = valid && keyByte[c] && (c != '/' || before != '/')
			before = c
			hash = (hash ^ uint32(c)) * 16777619
		}
	}
	return hash, valid && before != '/'
}

// find gives the node with a key, or None.
func (t *table) find(hash uint32, prefix, name string) ID {
	if len(t.index) == 0 { // of a graph that nothing has been built into
		return None
	}
	for last, at := uint32(len(t.index)-1), hash; ; at++ {
		id := t.index[at&last]
		if id == None {
			return None
		}
		s := t.at(id)
		if s.hash == hash && (len(s.prefix) == len(prefix) && s.prefix == prefix && s.name == name ||
			len(s.prefix) != len(prefix) && s.key() == prefix+name) {
			return id
		}
	}
}

// lookup gives the node with a key, or None.
func (t *table) lookup(prefix, name string) ID {
	hash, _ := hashOf(prefix, name)
	return t.find(hash, prefix, name)
}

// push appends a node whose key is not there yet.
func (t *table) push(s slot, args []ID) ID {
	id := ID(t.count)
	last := len(t.blocks) - 1
	if t.count%blockSize == 0 {
		room := blockSize
		if t.count == 0 {
			room = 16 // a solver takes small graphs apart by the hundred
		}
		t.blocks = append(t.blocks, make([]slot, 0, room))
		last++
	}
	s.first, s.args = int32(len(t.args)), int32(len(args))
	if len(t.args)+len(args) > cap(t.args) { // twice, where append takes a quarter more and copies often
		t.args = slices.Grow(t.args, len(t.args)+len(args)+64)
	}
	t.args = append(t.args, args...)
	t.blocks[last] = append(t.blocks[last], s)
	t.count++
	if 2*t.count > len(t.index) {
		t.spread(t.count)
	} else {
		t.index[t.free(s.hash)] = id
	}
	return id
}

// pop takes the last node back, with which no search has gone on to another place.
func (t *table) pop() {
	t.count--
	last := &t.blocks[t.count/blockSize]
	hash := (*last)[len(*last)-1].hash
	for at := hash; ; at++ {
		if place := at & uint32(len(t.index)-1); t.index[place] == ID(t.count) {
			t.index[place] = None
			break
		}
	}
	t.args = t.args[:(*last)[len(*last)-1].first]
	if *last = (*last)[:len(*last)-1]; len(*last) == 0 {
		t.blocks = t.blocks[:len(t.blocks)-1]
	}
}

// node gives a node as others see it.
func (t *table) node(id ID) Node {
	s := t.at(id)
	n := Node{Key: s.key(), Label: s.label, Of: s.of, Unit: *s.unit, Kind: s.kind, Value: s.value,
		Operation: t.operation(s)}
	if s.source != nil {
		n.Source = *s.source
	}
	if s.formula != nil {
		n.Formula = *s.formula
	}
	n.Source.Path = s.path
	if r := s.rare; r != nil {
		n.Low, n.High, n.SD, n.Shape, n.Settled, n.Missing = r.low, r.high, r.sd, r.shape, r.settled, r.missing
	}
	return n
}

func (t *table) operation(s *slot) Operation {
	o := Operation{Op: s.op, Compare: s.compare, Args: t.argsOf(s)}
	if s.rare != nil {
		o.Axes, o.Decision = s.rare.axes, s.rare.decision
	}
	return o
}

// slotOf keeps a node that was taken from a graph before.
func (t *table) slotOf(n Node) slot {
	s := slot{name: n.Key, label: n.Label, of: n.Of, formula: t.formula(n.Formula), source: &n.Source, path: n.Source.Path,
		value: n.Value, unit: t.unit(n.Unit), op: n.Op, kind: n.Kind, compare: n.Compare}
	if n.Op == Range || n.Missing != "" || n.Axes != nil || n.Decision != nil || n.Settled != nil {
		s.rare = &rare{n.Low, n.High, n.SD, n.Shape, n.Missing, n.Axes, n.Decision, n.Settled}
	}
	return s
}

func (s *slot) key() string { return s.prefix + s.name }

func (s *slot) missing() string {
	if s.rare == nil {
		return ""
	}
	return s.rare.missing
}

func (s *slot) decision() *Choice {
	if s.rare == nil {
		return nil
	}
	return s.rare.decision
}

// number gives what was typed.
func (s *slot) number() bom.Number {
	if s.rare == nil {
		return bom.Exactly(s.value)
	}
	return bom.Number{Low: s.rare.low, Likely: s.value, High: s.rare.high, IsRange: s.op == Range, Shape: s.rare.shape, SD: s.rare.sd}
}

// same reports that two slots hold the same number.
func (s *slot) same(o *slot) bool {
	a, b := s.number(), o.number()
	return s.op == o.op && *s.unit == *o.unit && a.Likely.Equal(b.Likely) && a.Low.Equal(b.Low) && a.High.Equal(b.High) &&
		a.Shape == b.Shape && a.SD.Equal(b.SD) && s.missing() == o.missing()
}

// copied gives a table that can grow without changing this one.
func (t *table) copied() table {
	c := table{index: slices.Clone(t.index), units: maps.Clone(t.units), formulas: maps.Clone(t.formulas)}
	for _, b := range t.blocks {
		c.blocks = append(c.blocks, append(make([]slot, 0, blockSize), b...))
	}
	c.count, c.args = t.count, slices.Clone(t.args)
	return c
}
