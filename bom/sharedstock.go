package bom

// CutUnlike names the field in which two blanks that share stock differ although
// they are cut from the same piece: kerf, trim, grip, margin or the least remnant
// kept. It is empty where they agree; an absent number counts as 0.
func (b *Blank) CutUnlike(other *Blank) string {
	for _, f := range []struct {
		name string
		a, b *Number
	}{
		{"kerf_mm", b.KerfMM, other.KerfMM}, {"end_cut_mm", b.EndCutMM, other.EndCutMM}, {"bar_end_mm", b.BarEndMM, other.BarEndMM},
		{"margin_mm", b.MarginMM, other.MarginMM}, {"keep_remnant_mm", b.KeepRemnantMM, other.KeepRemnantMM},
	} {
		if !f.a.alike(f.b) {
			return f.name
		}
	}
	return ""
}

func (n *Number) alike(other *Number) bool {
	zero := Whole(0)
	if n == nil {
		n = &zero
	}
	if other == nil {
		other = &zero
	}
	return n.Likely.Equal(other.Likely) && n.IsRange == other.IsRange && (!n.IsRange || n.Low.Equal(other.Low) && n.High.Equal(other.High))
}
