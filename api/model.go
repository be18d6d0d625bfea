package api

import (
	"context"
	"net/http"
	"reflect"

	"github.com/danielgtaylor/huma/v2"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/service"
	"kerfbook/bom"
	"kerfbook/bom/solid"
)

// modelOut is what a model file tells of a part.
type modelOut struct {
	Part       string       `json:"part"`
	Version    string       `json:"version" doc:"Of the part, as it is: nothing is written"`
	Format     string       `json:"format" enum:"STL,3MF"`
	Triangles  int          `json:"triangles"`
	SizeMM     []string     `json:"size_mm" doc:"Of the box around the part, along the axes of the file"`
	VolumeCM3  string       `json:"volume_cm3"`
	SurfaceDM2 string       `json:"surface_dm2"`
	Material   string       `json:"material,omitempty" doc:"Of the part, by name"`
	MassG      string       `json:"mass_g,omitempty" doc:"Only of a part with a material"`
	Inverted   bool         `json:"inverted" doc:"The surface was turned inside out, and measured as if it were right"`
	Blanks     []modelBlank `json:"blanks" doc:"In the shop's stock, the smallest first"`
}

type modelBlank struct {
	Stock    string `json:"stock"`
	LengthMM string `json:"length_mm"`
	WidthMM  string `json:"width_mm,omitempty" doc:"Of a blank from plate or sheet"`
	Ratio    string `json:"volume_by_part" doc:"Volume of the blank by that of the part"`
}

type modelQuery struct {
	ID        string `path:"id" maxLength:"200" doc:"The number of the part"`
	Unit      string `query:"unit" enum:"mm,in" default:"mm" doc:"Unit that an STL file is drawn in; a 3MF file says its own"`
	Allowance string `query:"allowance_mm" default:"1" doc:"What is to be faced off at each end of a blank"`
}

const (
	stlType   = "model/stl"
	threeType = "model/3mf"
)

func (a *API) modelRoutes() {
	add(a, route{method: http.MethodPost, path: Base + "/parts/{id}/model", id: "measure-part-model", tag: "parts", scope: service.Read,
		summary: "Measure a model file for a part: volume, surface, mass, outer size, and blanks it can be cut from",
		about: "A closed surface of triangles is measured, STL or 3MF, up to 64 MB. An open surface, a unit that cannot be and a broken file " +
			"are refused with what to do. Nothing is written, and the file is not kept.",
		body:    &body{schema: &huma.Schema{Type: huma.TypeString, Format: "binary"}, types: []string{stlType, threeType, "application/octet-stream"}, limit: solid.MaxBytes},
		returns: answerForm{status: 200, schema: a.schemas.Wire(reflect.TypeFor[modelOut]())}}, a.measureModel)
}

func (a *API) measureModel(ctx context.Context, c *call, in *modelQuery) (*reply, error) {
	allowance, err := bom.ParseDecimal(in.Allowance)
	if err != nil || allowance.IsNegative() {
		return nil, answer.Invalidf("allowance_mm %q is no length in mm", bom.Shorten(in.Allowance))
	}
	m, err := a.service.MeasureModel(ctx, in.ID, c.body, solid.Unit(in.Unit), allowance)
	if err != nil {
		return nil, err
	}
	return c.ok(http.StatusOK, modelWire(&m))
}

func modelWire(m *change.Model) modelOut {
	out := modelOut{Part: m.Part, Version: string(m.Version), Format: m.Format, Triangles: m.Triangles, Material: m.Material, Inverted: m.Inverted,
		VolumeCM3: m.VolumeCM3().Likely.String(), SurfaceDM2: m.SurfaceDM2().Likely.String(), Blanks: []modelBlank{}}
	for _, side := range m.Size() {
		out.SizeMM = append(out.SizeMM, solid.Length(side).Likely.String())
	}
	if m.MassG != nil {
		out.MassG = m.MassG.Likely.String()
	}
	for _, f := range m.Blanks {
		b := modelBlank{Stock: string(f.Stock.ID), LengthMM: f.Blank.LengthMM.Likely.String(), Ratio: f.Ratio().Likely.String()}
		if f.Blank.WidthMM != nil {
			b.WidthMM = f.Blank.WidthMM.Likely.String()
		}
		out.Blanks = append(out.Blanks, b)
	}
	return out
}
