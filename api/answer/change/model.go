package change

import (
	"bytes"
	"errors"
	"image/png"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/bom/solid"
	"kerfbook/costing/book"
)

// Model is what a model file says of a part, and the blanks in the shop's stock that it
// can be cut from.
type Model struct {
	Part    string
	Version answer.Version // of the part
	Format  string
	solid.Measures
	Material string      // its name; empty where the part has none yet
	MassG    *bom.Number // nil without a material
	Blanks   []solid.Fit // the smallest first
	Picture  []byte      // PNG
}

// MaxModelBytes is the largest model file that is measured.
const MaxModelBytes = solid.MaxBytes

// The size of the picture, in dots.
const modelWidth, modelHeight = 640, 480

// Modelled measures a model file for a part. Blanks are of the material of the part,
// where it has one.
func (s *Shelf) Modelled(number string, file []byte, unit solid.Unit, allowanceMM decimal.Decimal) (Model, error) {
	found, part, err := s.Part(number)
	if err != nil {
		return Model{}, err
	}
	model, err := solid.Open(file, unit)
	if err != nil {
		return Model{}, unmeasured(err)
	}
	out := Model{Part: number, Format: model.Format}
	if found.Revision > 0 { // of a book sent along there is none
		out.Version = found.Version()
	}
	if out.Measures, err = model.Measure(); err != nil {
		return Model{}, unmeasured(err)
	}
	picture, err := model.Picture(out.Measures, modelWidth, modelHeight)
	if err != nil {
		return Model{}, unmeasured(err)
	}
	var drawing bytes.Buffer
	if err := png.Encode(&drawing, picture); err != nil {
		return Model{}, answer.Unexpected(err)
	}
	out.Picture = drawing.Bytes()
	stocks := s.Book.Stocks
	id, _ := bom.MaterialOf(&part, bom.PartsByNumber(s.Book.Parts), s.Book.Stocks)
	if m, _ := s.Book.Material(id); m != nil && !m.DensityGCM3.Missing {
		out.Material, out.MassG = m.Name, out.Measures.MassG(m.DensityGCM3)
		stocks = nil
		for _, st := range s.Book.Stocks {
			if st.Material == id {
				stocks = append(stocks, st)
			}
		}
	}
	out.Blanks = out.Measures.Blanks(stocks, allowanceMM)
	return out, nil
}

// MeasureModel measures a model file for a part of a book that is not stored.
func MeasureModel(b *book.Book, number string, file []byte, unit solid.Unit, allowanceMM decimal.Decimal) (Model, error) {
	held, err := ShelfOf(b, nil)
	if err != nil {
		return Model{}, err
	}
	return held.Modelled(number, file, unit, allowanceMM)
}

func unmeasured(err error) error {
	var bad *solid.FileError
	if !errors.As(err, &bad) {
		return answer.Unexpected(err)
	}
	return answer.Invalidf("the file cannot be measured: %s", err)
}

// Shape is what of a model file is taken over into a part.
type Shape struct {
	MassG    *bom.Number
	Finished bom.Envelope
	Blank    bom.Blank // stock and size; what else the part says of its blank stays
}

// Shaped takes a shape into a part, and holds it against the whole book.
func (s *Shelf) Shaped(number string, shape Shape) (Draft, error) {
	_, part, err := s.Part(number)
	if err != nil {
		return Draft{}, err
	}
	if shape.MassG != nil {
		part.MassG = shape.MassG
	}
	part.Finished = &shape.Finished
	blank := shape.Blank
	if part.Blank != nil {
		kept := *part.Blank
		kept.Stock, kept.LengthMM, kept.WidthMM, kept.DiameterMM = blank.Stock, blank.LengthMM, blank.WidthMM, blank.DiameterMM
		blank = kept
	}
	part.Blank = &blank
	d, err := partDraft(part)
	if err != nil {
		return Draft{}, err
	}
	return d, s.Check([]Draft{d}, s.With([]Draft{d}))
}
