package rates

import (
	"cmp"
	"slices"

	"kerfbook/bom"
	"kerfbook/costing/reference"
)

// MaterialGroup is the letter of ISO 513 for what a material is machined as, or a
// word for what the standard does not know.
type MaterialGroup string

// Values lists the words of the rows.
func (MaterialGroup) Values() []string {
	return []string{"P", "M", "K", "N", "S", "H", "plastic", "wood"}
}

// Words is the group as a person says it.
func (g MaterialGroup) Words() string {
	return cmp.Or(map[MaterialGroup]string{"P": "P, steel", "M": "M, stainless steel", "K": "K, cast iron", "N": "N, metal without iron",
		"S": "S, titanium and heat-resistant alloy", "H": "H, hardened"}[g], string(g))
}

// ReferenceMaterial is a material that ships with the program. A shop takes it into
// its book as a material of its own; its rows of cutting data stay where they are, and
// hold for whatever has its id or cuts as it.
type ReferenceMaterial struct {
	ID          bom.ID        `book:"id,required"`
	Name        string        `book:"name,required"`
	Group       MaterialGroup `book:"group,required"`
	DensityGCM3 bom.Number    `book:"density_g_cm3,required,over=0"`
	// CuttingAs is the neighbour whose rows hold where it has none, CuttingShare the
	// share of the neighbour's cutting speeds that it bears.
	CuttingAs     bom.ID      `book:"cutting_as"`
	CuttingShare  *bom.Number `book:"cutting_share,over=0"`
	CuttingSource string      `book:"cutting_source"`
	Condition     string      `book:"condition"` // as it is delivered
	Note          string      `book:"note"`      // where sources contradict one another
	Cited
}

// MaterialRows are what ships with the program on one material, a file each.
type MaterialRows struct {
	Material ReferenceMaterial `book:"material,required"`
	Rows     []CuttingRow      `book:"cutting_data"`
	Forces   []CuttingForce    `book:"cutting_forces"`
}

var materialFiles = reference.Folder[MaterialRows]("materials")

// ReferenceMaterialNames lists the materials that ship with the program; it reads none.
func ReferenceMaterialNames() []bom.ID {
	var out []bom.ID
	for name := range materialFiles {
		out = append(out, bom.ID(name))
	}
	slices.Sort(out)
	return out
}

// ReferenceMaterialOf gives what ships with the program on a material, ok where there
// is such a material.
func ReferenceMaterialOf(id bom.ID) (rows MaterialRows, ok bool, err error) {
	read, ok := materialFiles[string(id)]
	if ok {
		rows, err = read()
	}
	return rows, ok, err
}

// ReferenceTables gives the reference rows of cutting data for materials of these
// names: those of the common six, and of each one named, with its neighbours, those
// that it has of its own.
func ReferenceTables(names []bom.ID) (CuttingTables, error) {
	common, err := ReferenceCutting()
	t := CuttingTables{Reference: common.Rows, Forces: common.Forces}
	seen := map[bom.ID]bool{}
	for len(names) > 0 && err == nil {
		id := names[0]
		names = names[1:]
		rows, ok, readErr := ReferenceMaterialOf(id)
		if err = readErr; !ok || seen[id] {
			continue
		}
		seen[id] = true
		// Clipped, so that the rows that all books share are never written behind.
		t.Reference, t.Forces = append(slices.Clip(t.Reference), rows.Rows...), append(slices.Clip(t.Forces), rows.Forces...)
		t.Known = append(t.Known, rows.Material)
		names = append(slices.Clip(names), rows.Material.CuttingAs)
	}
	return t, err
}
