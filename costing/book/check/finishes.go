package check

import (
	"fmt"

	"kerfbook/bom"
	"kerfbook/costing/rates"
	"kerfbook/costing/text"
)

// finishes checks what outside processes say of their finish and masks.
func (c *checker) finishes() {
	for i := range c.book.Processes {
		p := &c.book.Processes[i]
		path := text.Index("outside_processes", i)
		if p.Phosphorus != "" && p.Finish != rates.ElectrolessNickel {
			c.fail(path+".phosphorus", "only electroless nickel holds phosphorus; make the finish electroless_nickel or delete it")
		}
		c.bath(path, p)
		c.tariff(path, p)
		if !p.PricesPieces() {
			c.gap(path+".piece_price", "price of a piece, an area or a load of %s is missing; enter it, or 0 where the lot has one price", p.ID)
		}
		switch timed := p.MaskMin != nil || p.MaskRatePerH != nil; {
		case timed && p.MaskPrice != nil:
			c.fail(path+".mask_price", "is given, and a time per mask too; keep one or the other")
		case timed && (p.MaskMin == nil || p.MaskRatePerH == nil):
			c.gap(path, "the time of a mask needs both mask_min and mask_rate_per_h")
		}
	}
}

// bath checks what a process says of a bath against the finish.
func (c *checker) bath(path string, p *rates.Process) {
	finishes, err := rates.ReferenceFinishes()
	if err != nil {
		c.fail(path, "%s", err)
		return
	}
	bath, metal := finishes.BathOf(p.Finish)
	switch usual := bath.Value.CurrentADM2; {
	case p.CurrentADM2 != nil && !metal && p.Finish != rates.Anodising && p.Finish != rates.HardAnodising:
		c.fail(path+".current_a_dm2", "only anodising and electroplating draw current; make the finish anodising, hard_anodising or a metal, or delete it")
	case p.CurrentADM2 != nil && metal && (p.CurrentADM2.Likely.LessThan(usual.Low) || p.CurrentADM2.Likely.GreaterThan(usual.High)):
		c.warn(path+".current_a_dm2", "%s A/dm² is outside of what is usual for %s on a rack, %s to %s A/dm²", p.CurrentADM2.Likely, p.Finish.Words(), usual.Low, usual.High)
	}
	if p.Efficiency != nil && (!metal || p.CurrentADM2 == nil) {
		c.fail(path+".efficiency", "is that of a bath of a metal with its current: give finish and current_a_dm2, or delete it")
	}
}

// treatment checks class, thickness and area against the process.
func (c *checker) treatment(path string, t *bom.Treatment, surface, mass bool) {
	at, known := c.known["outside_processes"][t.Process]
	if !known {
		return // reported where it is named
	}
	p := &c.book.Processes[at]
	least := c.class(path, t, p)
	c.size(path, t, p)
	c.asked(path, t, p, mass)
	if p.AreaMicronPrice != nil && t.ThicknessUM == nil && !least {
		c.gap(path, "%s charges by thickness: give thickness_um, or a class that sets one%s", p.ID, usually(p.Finish))
	}
	if p.PricesArea() && t.AreaDM2 == nil && !surface {
		c.gap(path, "%s charges by area: give area_dm2, since %s", p.ID, noSurface)
	}
	if t.MaskedDM2 != nil && t.AreaDM2 != nil && less(t.AreaDM2, t.MaskedDM2) {
		c.fail(path+".masked_dm2", "%s dm² is more than the area of the piece, %s dm²", t.MaskedDM2.Likely, t.AreaDM2.Likely)
	}
	if p.LoadDM2 != nil && t.PiecesPerLoad == nil && t.AreaDM2 != nil && less(p.LoadDM2, t.AreaDM2) {
		c.fail(path+".area_dm2", "a piece of %s dm² is larger than a load of %s, which holds %s dm²", t.AreaDM2.Likely, p.ID, p.LoadDM2.Likely)
	}
}

// usually is how thick a finish usually is, in words; empty where that is not known.
func usually(finish rates.FinishKind) string {
	finishes, err := rates.ReferenceFinishes()
	row, known := finishes.UsualOf(finish)
	if err != nil || !known {
		return ""
	}
	return fmt.Sprintf(" (%s is usually %s to %s µm)", finish.Words(), row.Value.UsualUM.Low, row.Value.UsualUM.High)
}

// size checks a thickness without a class, and a thread, against the finish.
func (c *checker) size(path string, t *bom.Treatment, p *rates.Process) {
	finishes, err := rates.ReferenceFinishes()
	if err != nil {
		return // told where the process is checked
	}
	usual, known := finishes.UsualOf(p.Finish)
	growth, grows := finishes.GrowthOf(p.Finish)
	switch n := t.ThicknessUM; {
	case n == nil:
	case grows && !known && growth.Value.Share.Likely.IsZero():
		c.fail(path+".thickness_um", "%s leaves no layer; delete it", p.Finish.Words())
	case known && t.Class == "" && (n.Likely.LessThan(usual.Value.UsualUM.Low) || n.Likely.GreaterThan(usual.Value.UsualUM.High)):
		c.warn(path+".thickness_um", "%s µm is outside of what is usual for %s, %s to %s µm", n.Likely, p.Finish.Words(), usual.Value.UsualUM.Low, usual.Value.UsualUM.High)
	}
	if t.ThreadPitchMM != nil && p.Finish == "" {
		c.fail(path+".thread_pitch_mm", "%s names no finish, so it is not known how the thread grows; write finish in the outside process", p.ID)
	}
}

// class checks the class of a treatment and reports whether it sets a thickness.
func (c *checker) class(path string, t *bom.Treatment, p *rates.Process) bool {
	if t.Class == "" {
		return false
	}
	if p.Finish == "" {
		c.fail(path+".class", "%s names no finish, so it has no classes; write finish in the outside process", p.ID)
		return false
	}
	finishes, err := rates.ReferenceFinishes()
	if err != nil {
		c.fail(path+".class", "%s", err)
		return false
	}
	row, err := finishes.Class(p.Finish, t.Class)
	if err != nil {
		c.fail(path+".class", "%s", err)
		return false
	}
	class := &row.Value
	c.phosphorus(path+".class", class, p, finishes)
	c.thickness(path+".thickness_um", t, class)
	return class.LeastUM != nil
}

// thickness compares the entered thickness with the class.
func (c *checker) thickness(path string, t *bom.Treatment, class *rates.FinishClass) {
	if t.ThicknessUM == nil {
		return
	}
	if class.LeastUM != nil && less(t.ThicknessUM, class.LeastUM) {
		c.fail(path, "%s µm is less than class %s asks for, %s µm; raise it or choose another class", t.ThicknessUM.Likely, t.Class, class.LeastUM.Likely)
	}
	if class.UsualFromUM != nil && (less(t.ThicknessUM, class.UsualFromUM) || less(class.UsualToUM, t.ThicknessUM)) {
		c.warn(path, "%s µm is outside of what is usual for %s, %s to %s µm", t.ThicknessUM.Likely, class.Name, class.UsualFromUM.Likely, class.UsualToUM.Likely)
	}
}

// phosphorus compares what a designation asks for with what the process gives.
func (c *checker) phosphorus(path string, class *rates.FinishClass, p *rates.Process, finishes rates.Finishes) {
	if class.Percent == nil || p.Phosphorus == "" {
		return
	}
	if row, ok := finishes.Deposit(p.Phosphorus); ok && !row.Value.Holds(*class.Percent) {
		c.fail(path, "%s asks for %s %% phosphorus, and %s gives %s to %s %%", class.Name, class.Percent.Likely, p.ID,
			row.Value.FromPercent.Likely, row.Value.ToPercent.Likely)
	}
}
