package answer

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/papers/show"
	"kerfbook/costing/papers/table"
)

// Minutes says why the features of a part take the minutes they do in a batch.
type Minutes struct {
	Part     string           `json:"part"`
	Features []FeatureMinutes `json:"features" doc:"Of all operations that are described by features, in the order of the routing"`
}

// FeatureMinutes is one feature as the tool chosen cuts it.
type FeatureMinutes struct {
	Operation int    `json:"operation"`
	Feature   string `json:"feature"`
	Name      string `json:"name"`
	Kind      string `json:"kind"`
	Tool      string `json:"tool,omitempty" doc:"Absent where the work is done by hand, or no tool can cut it"`
	ToolName  string `json:"tool_name,omitempty"`

	Spindle Figure   `json:"spindle,omitzero"`
	Speed   Figure   `json:"speed,omitzero"`
	Feed    Figure   `json:"feed,omitzero" doc:"Of the table, or by revolution"`
	Passes  []Passes `json:"passes,omitempty" doc:"In all, or in depth, beside one another and split from one; none stands for one pass"`
	Path    Figure   `json:"path,omitzero"`
	AtCut   Figure   `json:"power_at_cut,omitzero"`
	AtMotor Figure   `json:"power_at_motor,omitzero"`
	Cutting Figure   `json:"cutting,omitzero"`
	Moves   Figure   `json:"moves,omitzero"`
	Cost    Figure   `json:"cost,omitzero" doc:"Minutes, worn edges and a share of a tool change"`
	// Line is what a pass of an engraving is wide; AnyLine that no width is entered.
	Line    Figure `json:"line_width,omitzero"`
	AnyLine bool   `json:"-"`
	// Each is the minutes of work by hand for a metre, dm², character or piece.
	Each     Figure `json:"unit_minutes,omitzero"`
	EachUnit string `json:"unit,omitempty"`

	Limits []Limit     `json:"limits,omitempty" doc:"What holds the feature back"`
	Others []OtherTool `json:"other_tools,omitempty" doc:"The three that came next, cheapest first"`
	More   int         `json:"more_tools,omitempty" doc:"That could cut it too"`
}

// Passes are counted in one way: in depth, side by side.
type Passes struct {
	Count Figure `json:"count"`
	Words string `json:"words,omitempty" doc:"deep, wide, rings, pecks, splits; absent for passes in all"`
}

// Limit names what holds a feature back, with the figure that says so.
type Limit struct {
	Words string `json:"words"`
	Key   string `json:"key"`
}

// OtherTool is a tool that would cut the feature at another cost.
type OtherTool struct {
	Tool    string `json:"tool"`
	Name    string `json:"name"`
	Minutes Figure `json:"minutes"`
	Cost    Figure `json:"cost"`
}

// mostOthers is how many tools are shown beside the one chosen.
const mostOthers = 3

// MinutesOf lays out the features of a part in the batch of the sheet.
func MinutesOf(b *book.Book, def *bom.Part, sheet *Sheet) Minutes {
	out := Minutes{Part: string(def.Number), Features: []FeatureMinutes{}}
	for i := range def.Routing {
		op := &def.Routing[i]
		material := op.Material
		if material == "" {
			material, _ = bom.MaterialOf(def, bom.PartsByNumber(b.Parts), b.Stocks)
		}
		look := featureLook{b, sheet, fmt.Sprintf("part/%s/op/%d/feature/", def.Number, op.Number), "cut/" + string(op.WorkCentre) + "/", string(material)}
		for j := range op.Features {
			f := look.feature(&op.Features[j])
			f.Operation = op.Number
			out.Features = append(out.Features, f)
		}
	}
	return out
}

// featureLook looks up the figures of the features of one operation.
type featureLook struct {
	book     *book.Book
	sheet    *Sheet
	at       string // …/op/20/feature/
	shared   string // cut/MILL/
	material string
}

func (l featureLook) feature(f *bom.Feature) FeatureMinutes {
	at := l.at + string(f.ID) + "/"
	out := FeatureMinutes{Feature: string(f.ID), Name: f.Name, Kind: strings.ReplaceAll(string(f.Kind), "_", " "), Line: l.sheet.Figure(at + "line-width"), AnyLine: f.WidthMM == nil,
		Cutting: l.sheet.Figure(at + "cutting"), Moves: l.sheet.Figure(at + "positioning"), Cost: l.sheet.Figure(at + "cost")}
	if f.Kind.ByHand() {
		out.Each, out.EachUnit = l.first(at+"unit-minutes", "by-hand/"+string(f.Kind)+"/unit-minutes"), handUnit(f.Kind)
	}
	tools := l.candidates(at)
	if len(tools) == 0 {
		return out
	}
	pick := 1
	if d, ok := l.sheet.Figure(at + "tool").Number(); ok {
		pick = int(d.IntPart())
	}
	chosen := tools[min(max(pick, 1), len(tools))-1]
	out.Tool, out.ToolName = chosen.Tool, chosen.Name
	out.Others = slices.DeleteFunc(tools, func(o OtherTool) bool { return o.Tool == chosen.Tool })
	slices.SortStableFunc(out.Others, func(x, y OtherTool) int {
		a, _ := x.Cost.Number()
		b, _ := y.Cost.Number()
		return a.Cmp(b)
	})
	out.More = max(0, len(out.Others)-mostOthers)
	out.Others = out.Others[:len(out.Others)-out.More]
	of := func(names ...string) Figure { return l.ofTool(at, out.Tool, string(f.Kind), names...) }
	out.Spindle, out.Speed = of("cone/spindle-speed", "spindle-followed", "spindle-speed"), of("cone/speed", "speed-counterbore", "speed")
	out.Feed = of("feed-held", "table-feed-finishing", "table-feed-centre", "table-feed-counterbore", "cone/table-feed", "table-feed", "feed-finishing", "feed-revolution")
	out.Path, out.AtCut, out.AtMotor = of("path", "pass-path"), of("power-at-cut"), of("power-at-motor")
	out.Passes = l.passes(at + "with/" + out.Tool + "/")
	out.Limits = l.limits(at, out.Tool)
	return out
}

// handUnit is what work by hand is counted in.
func handUnit(kind bom.FeatureKind) string {
	needs, _ := kind.Dimensions()
	if len(needs) == 0 {
		return "piece"
	}
	return map[string]string{"path_mm": "metre", "area_dm2": "dm²", "characters": "character"}[needs[0]]
}

// first is the first of some figures that there is.
func (l featureLook) first(keys ...string) Figure {
	for _, key := range keys {
		if f := l.sheet.Figure(key); f.Key != "" {
			return f
		}
	}
	return Figure{}
}

// candidates gives all tools that may cut a feature, in the order in which its figure
// of the tool counts them.
func (l featureLook) candidates(at string) (all []OtherTool) {
	for _, f := range l.sheet.Below(at+"with/", "minutes") {
		id := strings.TrimSuffix(strings.TrimPrefix(f.Key, at+"with/"), "/minutes")
		o := OtherTool{Tool: id, Name: id, Minutes: f, Cost: l.sheet.Figure(at + "with/" + id + "/cost")}
		if i := slices.IndexFunc(l.book.Tools, func(t bom.Tool) bool { return string(t.ID) == id }); i >= 0 {
			o.Name = cmp.Or(l.book.Tools[i].Name, id)
		}
		all = append(all, o)
	}
	return all
}

// ofTool finds a figure of the tool at work: of this feature, or shared by all
// features alike.
func (l featureLook) ofTool(at, tool, kind string, names ...string) Figure {
	for _, name := range names {
		if f := l.first(at+"with/"+tool+"/"+name, l.shared+tool+"/"+l.material+"/"+kind+"/"+name); f.Key != "" {
			return f
		}
	}
	return Figure{}
}

// passes are those counted in all, or else in depth, beside one another and split from
// one. One pass that nothing counts is left out.
func (l featureLook) passes(with string) (out []Passes) {
	if all := l.first(with+"passes", with+"pass-count"); all.Key != "" {
		return []Passes{{all, ""}}
	}
	for _, way := range []struct{ name, words string }{{"levels", "deep"}, {"rows", "wide"}, {"side", "wide"}, {"rings", "rings"}, {"pecks", "pecks"}, {"split", "splits"}} {
		if f := l.sheet.Figure(with + way.name); f.Key != "" && !(way.name == "split" && f.Value == "1") {
			out = append(out, Passes{f, way.words})
		}
	}
	return out
}

// limits says what holds a feature back: the spindle, the roughness, or a chip that
// gets too thin.
func (l featureLook) limits(at, tool string) []Limit {
	var out []Limit
	with := at + "with/" + tool + "/"
	add := func(words, key string) { out = append(out, Limit{words, key}) }
	if l.is(at+"spindle-free", "0") {
		add("highest spindle speed", at+"spindle-free")
	}
	if l.below(with + "power-share") {
		add("spindle power", with+"power-share")
	}
	if l.below(with + "torque-share") {
		add("spindle torque", with+"torque-share")
	}
	if l.below(with + "torque-free") {
		add("spindle torque", with+"torque-free")
	}
	if a, b := l.sheet.Figure(with+"feed-finishing"), l.sheet.Figure(with+"roughness-feed"); a.Key != "" && a.Value == b.Value {
		add("roughness", a.Key)
	}
	if l.is(at+"chip-cut", "0") {
		add("chip too thin, the edge rubs", at+"chip-cut")
	}
	return out
}

func (l featureLook) is(key, value string) bool {
	f := l.sheet.Figure(key)
	return f.Key != "" && f.Value == value
}

// below reports a share that is less than one.
func (l featureLook) below(key string) bool {
	d, ok := l.sheet.Figure(key).Number()
	return ok && d.LessThan(decimal.New(1, 0))
}

// CSV writes a row for each feature. Numbers have six places; what is missing behind one
// is said in its cell.
func (m Minutes) CSV(profile table.Profile) ([]byte, error) {
	head := "operation,feature,name,kind,tool,spindle_per_min,speed_m_min,feed,feed_unit,passes,path_mm,power_at_cut_kw,power_at_motor_kw,cutting_min,moves_min,cost,cost_unit,held_back_by"
	for i := range mostOthers {
		head += fmt.Sprintf(",other_tool_%d,other_cost_%d", i+1, i+1)
	}
	rows := [][]table.Cell{table.Texts(strings.Split(head+",more_tools", ",")...)}
	for _, f := range m.Features {
		row := append(table.Texts(strconv.Itoa(f.Operation), f.Feature, f.Name, f.Kind, f.Tool), cellOf(f.Spindle), cellOf(f.Speed), cellOf(f.Feed), table.Text(f.Feed.Unit))
		var passes, limits []string
		for _, p := range f.Passes {
			passes = append(passes, strings.TrimSpace(p.Count.Value+" "+p.Words))
		}
		for _, l := range f.Limits {
			limits = append(limits, l.Words)
		}
		row = append(row, table.Text(strings.Join(passes, ", ")), cellOf(f.Path), cellOf(f.AtCut), cellOf(f.AtMotor), cellOf(f.Cutting), cellOf(f.Moves), cellOf(f.Cost),
			table.Text(f.Cost.Unit), table.Text(strings.Join(limits, ", ")))
		for i := range mostOthers {
			if i < len(f.Others) {
				row = append(row, table.Text(f.Others[i].Tool), cellOf(f.Others[i].Cost))
			} else {
				row = append(row, table.Text(""), table.Text(""))
			}
		}
		rows = append(rows, append(row, table.Text(strconv.Itoa(f.More))))
	}
	var out bytes.Buffer
	err := table.WriteCSV(&out, rows, profile)
	return out.Bytes(), err
}

func cellOf(f Figure) table.Cell {
	d, ok := f.Number()
	if shown, err := decimal.NewFromString(show.Places(d, 6)); ok && err == nil {
		return table.Number(shown)
	}
	switch {
	case f.AtLeast != "":
		return table.Text("at least " + f.AtLeast + ", without " + strings.Join(f.Without, ", "))
	case len(f.Without) > 0:
		return table.Text("lacks " + strings.Join(f.Without, ", "))
	}
	return table.Text("")
}
