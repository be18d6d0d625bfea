package column

// SmallColumns makes memory for a few draws, so that a test may run thousands of
// plans.
func (p *Plan) SmallColumns(most int) *Columns { return p.columns(most) }
