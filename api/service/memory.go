package service

// memory is what the service keeps to answer quickly. Everything in it follows
// from the stored book of one version and can be made again.
type memory struct {
	shelves *cache[Version, *shelf]
	built   *Memory
	demands *cache[demanded, comparedDemands]
	curves  *cache[string, BatchCurves] // by the name of the question
}

// Room in memory. One more than fits pushes out what was used longest ago.
const (
	shelfRoom  = 4   // states of the book
	demandRoom = 100 // parts whose call-outs have been compared
	curveRoom  = 32  // curves that have been drawn
)

func newMemory() *memory {
	return &memory{
		shelves: newCache[Version](shelfRoom, func(*shelf) int { return 1 }),
		built:   NewMemory(),
		demands: newCache[demanded](demandRoom, func(comparedDemands) int { return 1 }),
		curves:  newCache[string](curveRoom, func(BatchCurves) int { return 1 }),
	}
}
