package machining

import (
	"fmt"
	"slices"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/making/machining/feature"
	"kerfbook/costing/rates"
)

// Definitions are the records of a book that machining rests on.
type Definitions struct {
	Day       bom.Date
	Tools     []bom.Tool
	Materials []rates.Material
	Centres   []rates.WorkCentre
	Data      rates.CuttingTables
	Factors   []rates.Factor
}

// Shop builds what the operations of one estimate share, each thing once.
type Shop struct {
	root             graph.Scope
	money            graph.Unit
	def              Definitions
	cutters          map[cutterKey]*feature.Cutter
	centres          map[bom.ID]*feature.Centre
	warned, lifeTold bool // what is said once
}

// New gives a shop that writes shared figures below root; money is the currency
// of the book.
func New(root graph.Scope, money graph.Unit, def Definitions) *Shop {
	return &Shop{root: root, money: money, def: def, cutters: map[cutterKey]*feature.Cutter{}, centres: map[bom.ID]*feature.Centre{}}
}

// caution is said once in an estimate that uses cutting data.
const caution = "cutting data are starting values for a trained machinist on a guarded machine; try them out with care"

func (m *Shop) warn() {
	if !m.warned {
		m.warned = true
		m.root.Find(graph.Note, "cutting", caution)
	}
}

func (m *Shop) tool(at int) feature.Tool {
	t := &m.def.Tools[at]
	return feature.NewTool(m.root.In("tool", string(t.ID)).From(graph.Source{
		Where: "tool " + t.Name, Path: fmt.Sprintf("tools[%d]", at), Cite: t.Source}).Of(t.Name), t)
}

func (m *Shop) centre(id bom.ID) (*feature.Centre, bool) {
	if c, ok := m.centres[id]; ok {
		return c, true
	}
	at := slices.IndexFunc(m.def.Centres, func(w rates.WorkCentre) bool { return w.ID == id })
	if at < 0 {
		return nil, false
	}
	c := feature.NewCentre(m.centreScope(at, ""), &m.def.Centres[at])
	m.centres[id] = c
	return c, true
}

func (m *Shop) centreScope(at int, cite string) graph.Scope {
	w := &m.def.Centres[at]
	return m.root.In("work-centre", string(w.ID)).From(graph.Source{Where: "work centre " + w.Name, Path: fmt.Sprintf("work_centres[%d]", at), Cite: cite}).Of(w.Name)
}

func (m *Shop) material(id bom.ID) (feature.Material, bool) {
	at := slices.IndexFunc(m.def.Materials, func(x rates.Material) bool { return x.ID == id })
	if at < 0 {
		return feature.Material{}, false
	}
	return feature.NewMaterial(m.root, m.def.Materials, at, m.def.Data, m.def.Day), true
}
