package rates

import (
	"embed"
	"fmt"
	"io/fs"
	"sync"

	"kerfbook/costing/text"
)

//go:embed reference/*.yaml
var referenceFiles embed.FS

// Reference gives the rows that ship with the program. Each is dated and names
// its source; one that was recalled and not looked up says so and counts as
// unverified.
var Reference = sync.OnceValues(func() (Rules, error) {
	var all Rules
	names, err := fs.Glob(referenceFiles, "reference/*.yaml")
	if err != nil {
		return all, err
	}
	for _, name := range names {
		if name == cuttingFile {
			continue
		}
		data, err := referenceFiles.ReadFile(name)
		if err != nil {
			return all, err
		}
		var part Rules
		if _, err := text.Decode(data, &part); err != nil {
			return all, fmt.Errorf("%s: %w", name, err)
		}
		all = all.and(part)
	}
	return all, nil
})

// and joins the rows of two files.
func (r Rules) and(s Rules) Rules {
	return Rules{
		Countries:     append(r.Countries, s.Countries...),
		Territories:   append(r.Territories, s.Territories...),
		DistanceSales: append(r.DistanceSales, s.DistanceSales...),
		Taxes:         append(r.Taxes, s.Taxes...),
		ImportRules:   append(r.ImportRules, s.ImportRules...),
		ImportCharges: append(r.ImportCharges, s.ImportCharges...),
		Tariff:        append(r.Tariff, s.Tariff...),
	}
}
