package graph

// Readers says which figures look at one.
type Readers struct {
	first []int32 // per figure: where its readers begin
	ids   []ID
}

// Readers gives the figures that rest on each one directly.
func (g *Graph) Readers() Readers {
	n := g.Len()
	r := Readers{first: make([]int32, n+2)}
	each := func(do func(id, of ID)) {
		for id := range ID(n) {
			for _, of := range g.Operation(id).RestsOn() {
				do(id, of)
			}
		}
	}
	// Counted two places on, so that filling in moves every beginning to where it belongs.
	each(func(_, of ID) { r.first[of+2]++ })
	for i := 2; i < len(r.first); i++ {
		r.first[i] += r.first[i-1]
	}
	r.ids = make([]ID, r.first[n+1])
	each(func(id, of ID) {
		r.ids[r.first[of+1]] = id
		r.first[of+1]++
	})
	return r
}

// Of gives those of a figure, in order; one that looks twice stands there twice.
func (r Readers) Of(id ID) []ID { return r.ids[r.first[id]:r.first[id+1]] }
