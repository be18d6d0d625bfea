package rates

import (
	"fmt"
	"slices"
	"strings"
	"sync"
	"unicode/utf8"

	"kerfbook/bom"
	"kerfbook/costing/money"
	"kerfbook/costing/reference"
)

// Cited says where a row that ships with the program is from, and on which day that was
// last looked at.
type Cited struct {
	Source    string   `book:"source,required"`
	CheckedOn bom.Date `book:"checked_on,required"`
}

// told is the provenance of the row, which is called so.
func (c Cited) told(where string) reference.Provenance {
	return reference.Told(where, c.Source, c.CheckedOn)
}

// shipped is what everything has that a shop can take into its book.
type shipped struct {
	ID      bom.ID `book:"id,required"`
	Name    string `book:"name,required"`
	Purpose string `book:"purpose,required"`
	Cited
}

func (s shipped) starter() Starter {
	return Starter{ID: s.ID, Name: s.Name, About: s.Purpose, Cited: s.Cited}
}

// ToolSet are tools that a shop begins with.
type ToolSet struct {
	shipped
	Tools []bom.Tool `book:"tools,required"`
}

var toolSets = reference.Rows[struct {
	Sets []ToolSet `book:"tool_sets"`
}]("toolsets.yaml")

var starterSetups = reference.Rows[struct {
	Setups []struct {
		shipped
		Setup       Setup       `book:"setup,required"`
		Programming Programming `book:"programming,required"`
	} `book:"starter_setups"`
}]("setups.yaml")

var starterMachines = reference.Rows[struct {
	Currency money.Code `book:"currency,required"`
	Machines []struct {
		shipped
		Machine WorkCentre `book:"machine,required"`
	} `book:"starter_machines"`
}]("machines.yaml")

// StarterCurrency is what the amounts of machines to begin with are in.
func StarterCurrency() (money.Code, error) {
	rows, err := starterMachines()
	return rows.Currency, err
}

// Starter is what a shop can take into its book in one go, as records of its own: a
// material, a set of tools, or a machine. Its records name it and its source. A set-up with
// programming is taken into a work centre, a size of stock into the form of a new one.
type Starter struct {
	ID    bom.ID
	Name  string
	About string // its group, or what the set holds
	Cited
	Materials []Material
	Tools     []bom.Tool

	Machines []WorkCentre // one, with its hour built up in euro

	Setup       *Setup
	Programming *Programming

	Stocks []bom.Stock // of sizes; each lacks its material

	Suppliers []Supplier // with what they ask; of none that is listed
	Processes []Process
}

// Kind is the kind of record that takes it in.
func (s *Starter) Kind() string {
	switch {
	case s.Setup != nil, len(s.Machines) > 0:
		return "work_centres"
	case len(s.Stocks) > 0:
		return "stocks"
	case len(s.Tools) > 0:
		return "tools"
	}
	return "materials"
}

// Starters gives all there are: materials by their ids, sets of tools, set-ups, sizes
// of stock.
var Starters = sync.OnceValues(func() ([]Starter, error) {
	var out []Starter
	for _, id := range ReferenceMaterialNames() {
		tables, err := ReferenceTables([]bom.ID{id})
		if err != nil {
			return nil, err
		}
		out = append(out, tables.starter(&tables.Known[0]))
	}
	sets, err := toolSets()
	if err != nil {
		return nil, err
	}
	for _, set := range sets.Sets {
		s := set.starter()
		for _, tool := range set.Tools {
			tool.Source = origin("starter set "+string(set.ID), set.CheckedOn)
			s.Tools = append(s.Tools, tool)
		}
		out = append(out, s)
	}
	machines, err := starterMachines()
	if err != nil {
		return nil, err
	}
	for _, row := range machines.Machines {
		row.Machine.HourRate.Source = origin("starter "+string(row.ID), row.CheckedOn, row.Source)
		s := row.starter()
		s.Machines = []WorkCentre{row.Machine}
		out = append(out, s)
	}
	setups, err := starterSetups()
	for _, row := range setups.Setups {
		from := origin("starter "+string(row.ID), row.CheckedOn, row.Source)
		row.Setup.Source, row.Programming.Source = from, from
		s := row.starter()
		s.Setup, s.Programming = &row.Setup, &row.Programming
		out = append(out, s)
	}
	if err != nil {
		return nil, err
	}
	sizes, err := stockSizes()
	for i := range sizes.Series {
		out = append(out, sizes.Series[i].starter())
	}
	return out, err
})

// starter is the material as a shop takes it: with its density and force, and their
// sources. Its rows of cutting data hold for its id, and are not copied.
func (t CuttingTables) starter(m *ReferenceMaterial) Starter {
	own := Material{ID: m.ID, Name: m.Name, DensityGCM3: m.DensityGCM3}
	s := Starter{ID: m.ID, Name: m.Name, About: m.Group.Words(), Cited: m.Cited}
	if m.Condition != "" {
		s.About += "; " + m.Condition
	}
	force := ""
	if f, ok := t.ForceOf(t.Names(nil, m.ID), ""); ok {
		own.Kc11NMM2, own.MC, force = &f.Value.Kc11NMM2, &f.Value.MC, f.Cite
	}
	own.Source = origin("reference material "+string(m.ID), m.CheckedOn, m.Source, force)
	s.Materials = []Material{own}
	return s
}

// origin says in a record of the shop where it was taken from, and on whose word as far
// as a text of a record holds it.
func origin(what string, checked bom.Date, sources ...string) string {
	out := fmt.Sprintf("%s, looked at %s", what, checked)
	for _, source := range sources {
		if source != "" && utf8.RuneCountInString(out+source) < reference.LongestText-1 {
			out += "; " + source
		}
	}
	return out
}

// Taken reports that a record of a shop says by its source that it came with the program and
// nobody has confirmed it.
func Taken(cite string) bool {
	return strings.HasPrefix(cite, "starter ") || strings.HasPrefix(cite, "reference material ")
}

// StarterOf finds a starter by its id.
func StarterOf(all []Starter, id bom.ID) (Starter, bool) {
	at := slices.IndexFunc(all, func(s Starter) bool { return s.ID == id })
	if at < 0 {
		return Starter{}, false
	}
	return all[at], true
}
