package feature

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
)

var sawCut = Kind{cut: (*Cut).sawCut, choice: Choice.smallBar}

// sawCut goes through a section: t = area ÷ cutting rate (M21), as source
// `saw-blade-reference` and source `saw-rates` state rates. The band comes down to the bar
// and rises again. What it takes is kerf of the stock.
func (c *Cut) sawCut() {
	s := c.s.By("M21")
	area, high := graph.None, c.depth
	if c.diameter != graph.None {
		area, high = s.Multiply("section", "section", s.Quarter(), s.Pi(), c.diameter, c.diameter), c.diameter
	} else {
		area = s.Multiply("section", "section", c.width, c.depth)
	}
	c.VC, c.Wanted = s.Sum("speed", "speed of the band", c.k.Speed), s.Zero(graph.Plain.Per(graph.Minute))
	c.Minutes = s.Divide("path-time", "cutting time of one", area, s.Convert("saw-rate-mm2", "cutting rate in mm²/min", c.k.SawRate, graph.Cm, graph.Mm))
	c.inAndOut(high, graph.None)
}

// smallBar says that rates by area are those of thicker bars: the charts are for solid
// stock of 20 to 100 mm.
func (p Choice) smallBar() {
	high := p.Def.DepthMM
	if p.Def.DiameterMM != nil {
		high = p.Def.DiameterMM
	}
	if high.Likely.LessThan(bom.Whole(20).Likely) {
		p.Scope.Find(graph.Note, "section", p.Def.Name+" is through less than 20 mm: the rates of saws are of solid bars of 20 to 100 mm, and thinner ones and tubes are sawn more slowly by area")
	}
}
