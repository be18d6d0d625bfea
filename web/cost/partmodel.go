package cost

import (
	"encoding/base64"
	"html/template"
	"strings"

	"github.com/go-chi/chi/v5"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/edge"
	"kerfbook/bom"
	"kerfbook/bom/solid"
	"kerfbook/costing/book/record"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// modelBody is the page that measures a model file for a part.
type modelBody struct {
	Number, Name, Href string
	Unit, Allowance    frame.Field
	Version            string // of the part
	Found              *modelFound
}

// modelFound is what a file told.
type modelFound struct {
	Picture  template.URL
	Words    string // what the picture shows
	Rows     [][2]string
	Material string
	Inverted bool
	Blanks   []modelBlank
}

// modelBlank is a blank that the part can be cut from, and what taking it over enters.
type modelBlank struct {
	Stock, Href, Size, Ratio string
	Take                     [][2]string
}

// usualAllowance is what is sawn longer at either end to be faced off, in mm: common
// practice.
const usualAllowance = "1"

func modelForm(c *frame.Call) error { return showModel(c, nil, nil) }

func showModel(c *frame.Call, done *change.Model, found frame.Problems) error {
	e, ok := record.Find(c.Book, "parts", chi.URLParam(c.R, "number"))
	if !ok {
		return &edge.Refusal{Kind: edge.NotFound, Detail: "the book has no part with this number"}
	}
	body := modelBody{Number: e.ID, Name: form.NameOf(e), Href: "/parts/" + e.ID,
		Unit: frame.Field{Name: "unit", Label: "An STL file is drawn in", Error: found.Of("unit")},
		Allowance: frame.Field{Name: "allowance", Label: "To face off at each end", Suffix: "mm", Mode: "decimal",
			Value: c.Typed("allowance", usualAllowance), Error: found.Of("allowance")}}
	body.Unit.Offer([]frame.Option{{Value: string(solid.Millimetre), Label: "mm"}, {Value: string(solid.Inch), Label: "inches"}}, c.Typed("unit", string(solid.Millimetre)))
	if done != nil {
		body.Version, body.Found = string(done.Version), modelTold(c, done)
	}
	p := c.Page("parts", "From a model file", &body)
	p.Problems = found
	return c.Show("partmodel", p)
}

func modelTold(c *frame.Call, m *change.Model) *modelFound {
	out := &modelFound{Picture: template.URL("data:image/png;base64," + base64.StdEncoding.EncodeToString(m.Picture)), //nolint:gosec // made here
		Material: m.Material, Inverted: m.Inverted}
	envelope := m.Envelope()
	out.Words = sizeOf(envelope.LengthMM, envelope.WidthMM, envelope.ThicknessMM, envelope.DiameterMM)
	out.Rows = [][2]string{{"Outer size", out.Words}, {"Volume", m.VolumeCM3().Likely.String() + " cm³"}, {"Surface", m.SurfaceDM2().Likely.String() + " dm²"}}
	if m.MassG != nil {
		out.Rows = append(out.Rows, [2]string{"Mass in " + m.Material, m.MassG.Likely.String() + " g"})
	}
	const most = 5
	for _, f := range m.Blanks[:min(most, len(m.Blanks))] {
		b := modelBlank{Stock: f.Stock.Name, Href: "/book/stocks/" + string(f.Stock.ID), Ratio: f.Ratio().Likely.String(),
			Size: sizeOf(f.Blank.LengthMM, f.Blank.WidthMM, nil, nil)}
		enter := func(name string, n *bom.Number) {
			if n != nil {
				b.Take = append(b.Take, [2]string{name, n.Likely.String()})
			}
		}
		b.Take = append(b.Take, [2]string{"stock", string(f.Stock.ID)})
		enter("mass_g", m.MassG)
		enter("blank_length", f.Blank.LengthMM)
		enter("blank_width", f.Blank.WidthMM)
		enter("length", f.Finished.LengthMM)
		enter("width", f.Finished.WidthMM)
		enter("thickness", f.Finished.ThicknessMM)
		enter("diameter", f.Finished.DiameterMM)
		out.Blanks = append(out.Blanks, b)
	}
	return out
}

// sizeOf writes a size with its sides in the order of the trade.
func sizeOf(length, width, thickness, diameter *bom.Number) string {
	var sides []string
	for _, n := range []*bom.Number{length, width, thickness} {
		if n != nil {
			sides = append(sides, n.Likely.String())
		}
	}
	text := strings.Join(sides, " × ") + " mm"
	if diameter != nil {
		text = "Ø " + diameter.Likely.String() + " × " + text
	}
	return text
}

// measureModel measures the file that was sent, or takes over what one told.
func measureModel(c *frame.Call) error {
	number := chi.URLParam(c.R, "number")
	var found frame.Problems
	if c.Form("act") == "take" {
		_, err := c.Site.Service.TakeShape(c.R.Context(), c.Actor, number, shapeTyped(c), answer.Version(c.Form("version")))
		switch answer.CodeOf(err) {
		case answer.Invalid:
			return showModel(c, nil, frame.FaultsOf(err, "file", "File: "))
		case answer.Conflict, answer.VersionMissing:
			found.Add("file", "File: somebody else changed the part since you looked. Measure again, and take the blank over if that is still right")
			return showModel(c, nil, found)
		}
		if err != nil {
			return err
		}
		return c.LeadTo("/parts/"+number, "saved")
	}
	file, err := c.Upload(solid.MaxBytes)
	if err != nil {
		return err
	}
	allowance, err := form.Decimal(c.Style, c.Typed("allowance", usualAllowance), "mm")
	if err != nil || allowance.IsNegative() {
		found.Add("allowance", "To face off at each end: enter a number of mm such as 1")
	}
	if len(file) == 0 {
		found.Add("file", "File: choose an STL or 3MF file")
	}
	if len(found) > 0 {
		return showModel(c, nil, found)
	}
	done, err := c.Site.Service.MeasureModel(c.R.Context(), number, file, solid.Unit(c.Typed("unit", string(solid.Millimetre))), allowance)
	if answer.CodeOf(err) == answer.Invalid {
		return showModel(c, nil, frame.FaultsOf(err, "file", "File: "))
	}
	if err != nil {
		return err
	}
	return showModel(c, &done, nil)
}

// shapeTyped is what the page wrote into the form beside a blank.
func shapeTyped(c *frame.Call) change.Shape {
	number := func(name string) *bom.Number {
		d, err := bom.ParseDecimal(c.Form(name))
		if err != nil {
			return nil
		}
		n := bom.Exactly(d)
		return &n
	}
	return change.Shape{MassG: number("mass_g"),
		Finished: bom.Envelope{LengthMM: number("length"), WidthMM: number("width"), ThicknessMM: number("thickness"), DiameterMM: number("diameter")},
		Blank:    bom.Blank{Stock: bom.ID(c.Form("stock")), LengthMM: number("blank_length"), WidthMM: number("blank_width")}}
}
