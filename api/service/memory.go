package service

import (
	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/answer/study"
)

// memory is what the service keeps to answer quickly. Everything in it follows
// from the stored book of one version and can be made again.
type memory struct {
	shelves *answer.Cache[answer.Version, *change.Shelf]
	built   *answer.Memory
	demands *answer.Cache[demand, change.CallOuts]
	curves  *answer.Cache[string, study.BatchCurves] // by the name of the question
	chances *answer.Cache[string, []study.ChannelChance]
	effects *answer.Cache[int64, change.Effect] // by the number of the change
}

// Room in memory. One more than fits pushes out what was used longest ago.
const (
	shelfRoom  = 4   // states of the book
	demandRoom = 100 // parts whose call-outs have been compared
	curveRoom  = 32  // curves that have been drawn
	chanceRoom = 200 // batches whose chances have been
	effectRoom = 500 // changes that have been opened
)

func newMemory() *memory {
	return &memory{
		shelves: answer.NewCache[answer.Version](shelfRoom, func(*change.Shelf) int { return 1 }),
		built:   answer.NewMemory(),
		demands: answer.NewCache[demand](demandRoom, func(change.CallOuts) int { return 1 }),
		curves:  answer.NewCache[string](curveRoom, func(study.BatchCurves) int { return 1 }),
		chances: answer.NewCache[string](chanceRoom, func([]study.ChannelChance) int { return 1 }),
		effects: answer.NewCache[int64](effectRoom, func(change.Effect) int { return 1 }),
	}
}
