package cost

import (
	"reflect"
	"strconv"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/record"
	"kerfbook/costing/text"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// featureTable is what an operation cuts.
type featureTable struct {
	ID, Title  string
	Rows       []featureRow
	Dimensions form.ContentTable
}

// featureRow is one feature as the tool chosen cuts it.
type featureRow struct {
	Name, Kind                 string
	Line                       frame.Fig // mm, of an engraving
	AnyLine                    bool      // no width is entered for it
	Tool, ToolHref             string
	Each                       frame.Fig // min by metre, dm², character or piece, of what is done by hand
	EachUnit                   string
	Spindle, Speed, Feed, Path frame.Fig
	AtCut, AtMotor             frame.Fig // kW
	Minutes, Moves, Cost       frame.Fig
	Limits                     []limitLink
	Others                     []otherTool
}

// limitLink names what holds a feature back, and leads to the check that says so.
type limitLink struct{ Words, Href string }

// otherTool is a tool that would cut the feature at another cost.
type otherTool struct {
	Name string
	Cost frame.Fig
}

// featuresOf lays out the operations of a part that are described by features.
func featuresOf(b *book.Book, def *bom.Part, r form.Reader, sheet *answer.Sheet, link frame.Linker, key string) []featureTable {
	var out []featureTable
	for i := range def.Routing {
		op := &def.Routing[i]
		if len(op.Features) == 0 {
			continue
		}
		number := strconv.Itoa(op.Number)
		t := featureTable{ID: "features-" + number, Title: "Operation " + number + ", " + op.Name}
		look := featureLook{sheet, link, key + "op/" + number + "/feature/", "cut/" + string(op.WorkCentre) + "/", string(materialOf(b, def, op)), b}
		for j := range op.Features {
			t.Rows = append(t.Rows, look.row(&op.Features[j]))
		}
		t.Dimensions = r.Table("Dimensions entered for operation "+number, reflect.ValueOf(op.Features), text.Field(text.Index("routing", i), "features"))
		out = append(out, t)
	}
	return out
}

func materialOf(b *book.Book, def *bom.Part, op *bom.Operation) bom.ID {
	if op.Material != "" {
		return op.Material
	}
	material, _ := bom.MaterialOf(def, bom.PartsByNumber(b.Parts), b.Stocks)
	return material
}

// featureLook looks up the figures of the features of one operation.
type featureLook struct {
	sheet    *answer.Sheet
	link     frame.Linker
	at       string // …/op/20/feature/
	shared   string // cut/MILL/
	material string
	book     *book.Book
}

func (l featureLook) row(f *bom.Feature) featureRow {
	at := l.at + string(f.ID) + "/"
	row := featureRow{Name: f.Name, Kind: strings.ReplaceAll(string(f.Kind), "_", " "), Line: l.link.Places(l.sheet.Figure(at+"line-width"), 3), AnyLine: f.WidthMM == nil,
		Minutes: l.link.Places(l.sheet.Figure(at+"cutting"), 3), Moves: l.link.Places(l.sheet.Figure(at+"positioning"), 3), Cost: l.link.Money(l.sheet.Figure(at + "cost"))}
	if f.Kind.ByHand() {
		row.Each, row.EachUnit = l.link.Places(l.first(at+"unit-minutes", "by-hand/"+string(f.Kind)+"/unit-minutes"), 3), handUnit(f.Kind)
	}
	chosen, others := l.candidates(at)
	if chosen == "" {
		return row
	}
	row.Tool, row.ToolHref = l.toolName(chosen), frame.RecordHref("tools", chosen)
	for _, id := range others {
		row.Others = append(row.Others, otherTool{l.toolName(id), l.link.Money(l.sheet.Figure(at + "with/" + id + "/cost"))})
	}
	of := func(names ...string) answer.Figure { return l.ofTool(at, chosen, string(f.Kind), names...) }
	row.Spindle, row.Speed = l.link.Places(of("cone/spindle-speed", "spindle-followed", "spindle-speed"), 0), l.link.Places(of("cone/speed", "speed-counterbore", "speed"), 1)
	row.Feed, row.Path = l.link.Places(of("feed-held", "table-feed-finishing", "table-feed-centre", "table-feed-counterbore", "cone/table-feed", "table-feed", "feed-finishing", "feed-revolution"), 2), l.link.Places(of("path", "pass-path"), 1)
	row.AtCut, row.AtMotor = l.link.Places(of("power-at-cut"), 2), l.link.Places(of("power-at-motor"), 2)
	row.Limits = l.limits(at, chosen)
	return row
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
func (l featureLook) first(keys ...string) answer.Figure {
	for _, key := range keys {
		if f := l.sheet.Figure(key); f.Key != "" {
			return f
		}
	}
	return answer.Figure{}
}

// candidates gives the tool chosen for a feature, and the others.
func (l featureLook) candidates(at string) (chosen string, others []string) {
	var all []string
	for _, f := range l.sheet.Below(at+"with/", "minutes") {
		all = append(all, strings.TrimSuffix(strings.TrimPrefix(f.Key, at+"with/"), "/minutes"))
	}
	if len(all) == 0 {
		return "", nil
	}
	pick := 1
	if d, ok := l.sheet.Figure(at + "tool").Number(); ok {
		pick = int(d.IntPart())
	}
	for i, id := range all {
		if i == pick-1 {
			chosen = id
		} else {
			others = append(others, id)
		}
	}
	return chosen, others
}

func (l featureLook) toolName(id string) string {
	if e, ok := record.Find(l.book, "tools", id); ok {
		return form.NameOf(e)
	}
	return id
}

// ofTool finds a figure of the tool at work: of this feature, or shared by all
// features alike.
func (l featureLook) ofTool(at, tool, kind string, names ...string) answer.Figure {
	var keys []string
	for _, name := range names {
		keys = append(keys, at+"with/"+tool+"/"+name, l.shared+tool+"/"+l.material+"/"+kind+"/"+name)
	}
	return l.first(keys...)
}

// limits says what holds a feature back: the spindle, the roughness, or a chip that
// gets too thin.
func (l featureLook) limits(at, tool string) []limitLink {
	var out []limitLink
	with := at + "with/" + tool + "/"
	add := func(words, key string) { out = append(out, limitLink{words, l.link.Href(key)}) }
	if l.is(at+"spindle-free", "0") {
		add("highest spindle speed", at+"spindle-free")
	}
	if a, b := l.sheet.Figure(with+"spindle-followed"), l.sheet.Figure(with+"spindle-of-slides"); a.Key != "" && a.Value == b.Value {
		add("speed of the slides", a.Key)
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
	return ok && d.LessThan(bom.Whole(1).Likely)
}
