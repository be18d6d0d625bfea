package field

import "strings"

// units are the units that names of fields end in; of two that fit, the longer goes first.
var units = []struct{ suffix, unit string }{
	{"_per_dm2_um", "money per dm² and µm"}, {"_per_dm2", "money per dm²"}, {"_per_kwh", "money per kWh"},
	{"_per_m2_year", "money per m² and year"}, {"_per_kg", "money per kg"}, {"_per_g", "money per g"}, {"_per_h", "money per h"},
	{"_per_piece", "money per piece"}, {"_per_year", "per year"}, {"_per_min", "1/min"}, {"_per_diameter", "× diameter"},
	{"_cm2_min", "cm²/min"}, {"_mm_min", "mm/min"}, {"_m_min", "m/min"}, {"_m_s2", "m/s²"}, {"_um_h", "µm/h"}, {"_a_dm2", "A/dm²"},
	{"_n_mm2", "N/mm²"}, {"_g_cm3", "g/cm³"}, {"_kg_m", "kg/m"},
	{"_kw", "kW"}, {"_nm", "Nm"}, {"_deg", "°"}, {"_mm2", "mm²"}, {"_m2", "m²"}, {"_dm2", "dm²"}, {"_dm3", "dm³"},
	{"_um", "µm"}, {"_mm", "mm"}, {"_min", "min"}, {"_days", "days"}, {"_g", "g"}, {"_s", "s"},
}

// Unit takes the unit off the end of a field's name; the unit is empty where the name
// has none.
func Unit(name string) (stem, unit string) {
	for _, u := range units {
		if stem, ok := strings.CutSuffix(name, u.suffix); ok {
			return stem, u.unit
		}
	}
	return name, ""
}
