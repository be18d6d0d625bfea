package cost

import (
	"slices"
	"strconv"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/estimate"
	"kerfbook/web/chart"
	"kerfbook/web/frame"
)

// workBlock is what the operations of a part take and cost by piece.
type workBlock struct {
	Bars chart.Stack
	Key  []timeKind // what occurs in the bars, and the columns of the table
	Rows []timeRow
	used map[string]bool
}

// timeKind is a kind of time: what it is called and how the bar shows it.
type timeKind struct{ Name, Class string }

// timeRow is one operation: its minutes by kind, and in all.
type timeRow struct {
	Label string
	Cells []frame.Fig
	Total frame.Fig
}

// pieceRow is what an operation takes and costs by piece.
type pieceRow struct {
	Minutes, Attended frame.Fig
	Costs             []frame.Fig // by partBody.CostColumns
	Cost              frame.Fig
}

func pieceOf(sheet *answer.Sheet, link frame.Linker, at string) pieceRow {
	each := at + "each/"
	return pieceRow{
		Minutes: link.Places(sheet.Figure(each+"minutes"), 2), Attended: link.Places(sheet.Figure(each+"attended-time"), 2),
		Cost: link.Money(sheet.Figure(each + "cost")),
	}
}

// costColumns are the costs that an operation of the part has in the batch.
func costColumns(def *bom.Part, sheet *answer.Sheet, key string) []estimate.OperationColumn {
	return slices.DeleteFunc(estimate.OperationColumns(), func(c estimate.OperationColumn) bool {
		return !slices.ContainsFunc(def.Routing, func(op bom.Operation) bool {
			return firstFigure(sheet, operationAt(key, &op), c.Batch).Key != ""
		})
	})
}

// costs fills the columns of the batch and of a piece.
func (row *operationRow) costs(columns []estimate.OperationColumn, sheet *answer.Sheet, link frame.Linker, at string) {
	for _, c := range columns {
		row.Costs = append(row.Costs, link.Money(firstFigure(sheet, at, c.Batch)))
		row.Each.Costs = append(row.Each.Costs, link.Money(firstFigure(sheet, at+"each/", c.Each)))
	}
}

// timeKinds are the kinds of time of a piece, with the figure of an operation that
// holds each. Those of a load are by piece of a full one.
var timeKinds = []struct {
	timeKind
	keys []string // the first that exists
}{
	{timeKind{"cutting", "making"}, []string{"cutting"}},
	{timeKind{"rapid and positioning", "delivery"}, []string{"positioning-all", "positioning"}},
	{timeKind{"edge changes", "duty-light"}, []string{"worn-edge"}},
	{timeKind{"tool changes", "tax"}, []string{"each/tool-changes"}},
	{timeKind{"handling", "material"}, []string{"handling"}},
	{timeKind{guessName, "material"}, []string{"handling-time", "machine-time"}},
	{timeKind{"load handling", "load"}, []string{"each/load-handling"}},
	{timeKind{"probing", "special"}, []string{"each/probing"}},
	{timeKind{"time entered whole", "whole"}, []string{"piece-time"}},
	{timeKind{loadName, "load"}, []string{"load-time-share"}},
	{timeKind{"set-up share", "sum"}, []string{"each/setup"}},
	{timeKind{restName, "rest"}, []string{"each/rest"}},
}

// guessName is the time of an operation that is guessed at.
const guessName = "guessed minutes"

// loadName is the time of a load that is entered whole.
const loadName = "load time entered whole"

// restName is the time of an operation that none of its parts holds.
const restName = "part-filled loads, rejects and practice"

// workOf lays out where the minutes of a part go; nil where nothing is known.
func workOf(def bom.Part, sheet *answer.Sheet, link frame.Linker, key string) *workBlock {
	w := &workBlock{used: map[string]bool{}}
	var piles []chart.Pile
	for _, op := range def.Routing {
		total := sheet.Figure(operationAt(key, &op) + "each/minutes")
		if total.Key == "" {
			continue
		}
		shown := link.Places(total, 2)
		label := strconv.Itoa(op.Number) + " " + op.Name
		row, pile := timeRow{Label: label, Total: shown}, chart.Pile{Total: chart.Mark{Label: label, Text: shown.Text, Key: total.Key, Value: total.Value}}
		for _, f := range timesOf(&def, &op, sheet, key) {
			cell := link.Places(f.figure, 2)
			row.Cells = append(row.Cells, cell)
			if cell.Mark() && f.figure.Value != "0" {
				w.used[f.Name] = true
				pile.Segments = append(pile.Segments, chart.Segment{Mark: chart.Mark{Label: f.Name, Text: cell.Text, Key: f.figure.Key, Value: f.figure.Value}, Class: f.Class})
			}
		}
		piles, w.Rows = append(piles, pile), append(w.Rows, row)
	}
	if len(piles) == 0 {
		return nil
	}
	w.Bars = chart.NewStack("minutes", "Where the minutes go: "+def.Name, "One bar for each operation, by good piece of the batch. The table has the same figures.", piles...)
	for _, k := range timeKinds {
		if w.used[k.Name] {
			w.Key = append(w.Key, k.timeKind)
		}
	}
	w.narrow()
	return w
}

// timePart is a part of the time of an operation; the zero figure where it has
// none.
type timePart struct {
	timeKind
	figure answer.Figure
}

// timesOf gives the parts of an operation's time, one for each kind. A time that is
// entered whole, or falls with practice, has no parts but the set-up.
func timesOf(def *bom.Part, op *bom.Operation, sheet *answer.Sheet, key string) []timePart {
	at := operationAt(key, op)
	whole := op.PieceMin != nil || len(op.Characteristics) > 0 || op.SampledShare != nil
	var out []timePart
	for _, k := range timeKinds {
		part := timePart{timeKind: k.timeKind}
		isWhole := k.Name == "time entered whole"
		switch {
		case k.Name == guessName:
			if piece, _ := def.Guessed(op); piece {
				keys := k.keys
				switch op.Kind { // the guess of the machine stands beside these
				case bom.Manual:
					keys = []string{"hand-time"}
				case bom.Inspection:
					keys = []string{"check-time"}
				}
				part.figure = firstFigure(sheet, guessAt(def, op, key), keys)
			}
		case k.Name == "set-up share" || k.Name == restName:
			part.figure = firstFigure(sheet, at, k.keys)
		case op.Learning != nil || k.Name == loadName && op.LoadMin == nil:
		case isWhole == whole || loadKinds[k.Name]:
			part.figure = firstFigure(sheet, at, k.keys)
		}
		out = append(out, part)
	}
	return out
}

// loadKinds are times of a load, which stand beside a time entered whole.
var loadKinds = map[string]bool{"tool changes": true, "load handling": true, "probing": true, loadName: true}

// operationAt is where the figures of an operation stand, guessAt where those do that are
// guessed of it.
func operationAt(key string, op *bom.Operation) string {
	return key + "op/" + strconv.Itoa(op.Number) + "/"
}

func guessAt(def *bom.Part, op *bom.Operation, key string) string {
	if op.Kind == bom.Machining && !def.FirstMachined(op) {
		return operationAt(key+"guess/", op)
	}
	return key + "guess/"
}

func firstFigure(sheet *answer.Sheet, at string, names []string) answer.Figure {
	for _, name := range names {
		if f := sheet.Figure(at + name); f.Key != "" {
			return f
		}
	}
	return answer.Figure{}
}

// narrow leaves out the columns of kinds of time that no operation has.
func (w *workBlock) narrow() {
	for i, row := range w.Rows {
		var cells []frame.Fig
		for j, cell := range row.Cells {
			if w.used[timeKinds[j].Name] {
				cells = append(cells, cell)
			}
		}
		w.Rows[i].Cells = cells
	}
}
