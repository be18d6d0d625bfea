package feature

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
)

// Kind is what the kinds of feature differ in that a tool cuts. Its dimensions, its tools and their sizes
// stand beside its word in bom.
type Kind struct {
	// cut writes the time of one feature and the moves that do not cut.
	cut func(*Cut)
	// shape gives volume in mm³ and surface gained in mm² of one feature; None where the
	// kind changes neither, or too little to count. Nil gives neither.
	shape func(body) (removed, area graph.ID)
	// before writes what all tools share.
	before func(*Feature)
	// size is what the tool chosen is held to; nil: nothing.
	size func(*Feature) (room graph.ID, compare graph.Comparison)
	// rough says that the roughness it leaves is shown even where none is asked.
	rough bool
	// light says that a light cut takes the whole edge, so that no reach limits it.
	light bool
	// caution says what is worth knowing with one tool, choice with those that may cut it.
	caution func(*Cut)
	choice  func(Choice)
}

var kinds = map[bom.FeatureKind]Kind{
	bom.Face:       face,
	bom.Contour:    contour,
	bom.Pocket:     pocket,
	bom.Slot:       slot,
	bom.SlotArray:  slotArray,
	bom.Drill:      drill,
	bom.Tap:        tap,
	bom.ThreadMill: threadMill,
	bom.Chamfer:    chamfer,
	bom.Engrave:    engrave,
	bom.FinishFace: finishFace,
	bom.Turn:       turn,
	bom.FaceTurn:   faceTurn,
	bom.Bore:       bore,
	bom.PartOff:    partOff,

	bom.Spot:           spot,
	bom.Countersink:    countersink,
	bom.Counterbore:    counterbore,
	bom.Ream:           ream,
	bom.CircularPocket: circularPocket,

	bom.Groove:      groove,
	bom.TurnProfile: turnProfile,
	bom.ThreadTurn:  threadTurn,
	bom.Knurl:       knurl,
	bom.SawCut:      sawCut,
}
