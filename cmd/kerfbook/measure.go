package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"text/tabwriter"

	"kerfbook/api/answer/change"
	"kerfbook/bom"
	"kerfbook/bom/solid"
)

// runMeasure says what a model file tells of a part. Nothing is written.
func runMeasure(c *call) action {
	unit := c.flags.String("unit", string(solid.Millimetre), "unit that an STL file is drawn in: mm or in")
	allowance := c.flags.String("allowance", "1", "to face off at each end of a blank, mm")
	return func(_ context.Context, args []string) error {
		ends, err := bom.ParseDecimal(*allowance)
		if err != nil || ends.IsNegative() {
			return usagef("--allowance %q is no length in mm", *allowance)
		}
		o, _, err := c.open(args[0])
		if err != nil {
			return err
		}
		f, err := os.Open(args[2])
		if err != nil {
			return err
		}
		defer f.Close()
		file, err := io.ReadAll(io.LimitReader(f, solid.MaxBytes+1))
		if err != nil {
			return err
		}
		m, err := change.MeasureModel(o.Book, args[1], file, solid.Unit(*unit), ends)
		if err != nil {
			return err
		}
		return modelTable(c.stdout, &m)
	}
}

func modelTable(w io.Writer, m *change.Model) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	size := m.Size()
	fmt.Fprintf(t, "size\t%s x %s x %s mm\n", solid.Length(size[0]).Likely, solid.Length(size[1]).Likely, solid.Length(size[2]).Likely)
	fmt.Fprintf(t, "volume\t%s cm3\nsurface\t%s dm2\n", m.VolumeCM3().Likely, m.SurfaceDM2().Likely)
	if m.MassG != nil {
		fmt.Fprintf(t, "mass\t%s g in %s\n", m.MassG.Likely, m.Material)
	}
	fmt.Fprintln(t)
	for _, f := range m.Blanks {
		cut := f.Blank.LengthMM.Likely.String()
		if f.Blank.WidthMM != nil {
			cut += " x " + f.Blank.WidthMM.Likely.String()
		}
		fmt.Fprintf(t, "%s\t%s mm\t%s times the volume of the part\n", f.Stock.ID, cut, f.Ratio().Likely)
	}
	if len(m.Blanks) == 0 {
		fmt.Fprintln(t, "The part has room in no stock of the book.")
	}
	return t.Flush()
}
