package workbook

import (
	"fmt"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// Model is a workbook as data: sheets in order, and names for blocks of cells.
type Model struct {
	Sheets []Sheet
	Blocks []Block
	rows   []*Row // by node
}

// Row gives the row of a node; nil for none.
func (m *Model) Row(id graph.ID) *Row {
	if id < 0 || int(id) >= len(m.rows) {
		return nil
	}
	return m.rows[id]
}

// Checks is the sheet of the checks, the row of all of them first; nil without any.
func (m *Model) Checks() *Sheet {
	for i := range m.Sheets {
		if m.Sheets[i].Role == Checks {
			return &m.Sheets[i]
		}
	}
	return nil
}

// Role says what a sheet holds.
type Role uint8

// The roles of a sheet, in the order they stand in a model.
const (
	Inputs   Role = iota // what may be changed, by subject and record
	Figures              // nodes whose keys begin alike
	Checks               // check nodes, and the inputs decisions rest on, below what is said of all
	FixedSet             // conversion factors, steps, limits
	Lists                // blocks and steps of formulas too long for one cell
)

// Sheet is one page of rows.
type Sheet struct {
	Name string // at most 31 characters, unique whatever the case
	Role Role
	Rows []Row
}

// Row is one figure: a label, a cell and where it came from. A row with
// [Row.Heading] has a label only.
type Row struct {
	ID      graph.ID // graph.None for rows the model adds
	Heading bool
	Kind    graph.Kind
	Level   uint8 // of the outline; helpers and choices not taken stand in level 2
	Verdict bool  // the cell is 1 where a check holds and 0 where it fails

	Name    string // of the value cell; "" if nothing refers to it
	Formula string // without a leading "="; "" for a cell that holds a number
	Value   decimal.Decimal
	Known   bool // Value is set: what the cell holds, or what its formula gives

	Low, High *Bound // of a range, or of the window of a decision

	Label     string
	Unit      string
	FormulaID string // id of the formula, or how a decision was found
	Source    string
	Key       string

	class int // where it stands below its heading
}

// Bound is a number beside the value, in a cell of its own.
type Bound struct {
	Name  string // "" if no formula reads it
	Value decimal.Decimal
}

// Block names a run of value cells of one sheet: rows From to To, counted from
// 0, both included.
type Block struct {
	Name     string
	Sheet    string
	From, To int
}

// Values gives computed figures by node, as the exact evaluator does. ok is
// false for a figure that is undefined.
type Values interface {
	Raw(id graph.ID) (value decimal.Decimal, ok bool)
}

// SizeError is a graph too large for a spreadsheet.
type SizeError struct {
	Sheet string
	Rows  int
}

func (e *SizeError) Error() string {
	return fmt.Sprintf("sheet %q would have %d rows, a spreadsheet holds %d", e.Sheet, e.Rows, MaxRows)
}

// FormulaSizeError is a formula longer than spreadsheets read.
type FormulaSizeError struct {
	Key    string
	Length int
}

func (e *FormulaSizeError) Error() string {
	return fmt.Sprintf("the formula of %s has %d characters, a spreadsheet reads %d", e.Key, e.Length, MaxFormula)
}

// Limits of the spreadsheet programs the model is made for.
const (
	MaxRows    = 1_048_000 // of one sheet; leaves room for a head
	MaxFormula = 8192      // characters
	maxName    = 200       // characters; programs take 255
	maxSheet   = 31        // characters of a sheet name
)
