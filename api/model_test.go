package api

import (
	"encoding/json"
	"os"
	"testing"
)

// TestModelFile measures a plate for a part over the API; nothing is written.
func TestModelFile(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	plate, err := os.ReadFile("../bom/solid/testdata/plate.stl")
	if err != nil {
		t.Fatal(err)
	}
	const path = "/api/v1/parts/HS-010/model"
	stl := map[string]string{"Content-Type": stlType}
	var got modelOut
	if err := json.Unmarshal(w.want(t, 200, ask{method: "POST", path: path + "?allowance_mm=1.5", body: string(plate), header: stl}).Body.Bytes(), &got); err != nil {
		t.Fatal(err)
	}
	if got.Format != "STL" || got.VolumeCM3 != "14.4" || got.SurfaceDM2 != "0.432" || got.MassG != "128.6" || got.SizeMM[0] != "60" || got.Version == "" {
		t.Errorf("%+v", got)
	}
	if len(got.Blanks) != 1 || got.Blanks[0].Stock != "CU-60X20" || got.Blanks[0].LengthMM != "15" {
		t.Errorf("blanks %+v", got.Blanks)
	}
	w.want(t, 422, ask{method: "POST", path: path, body: string(plate[:200]), header: stl})
	w.want(t, 422, ask{method: "POST", path: path + "?allowance_mm=-1", body: string(plate), header: stl})
	w.want(t, 422, ask{method: "POST", path: path + "?unit=ell", body: string(plate), header: stl})
	w.want(t, 404, ask{method: "POST", path: "/api/v1/parts/NONE/model", body: string(plate), header: map[string]string{"Content-Type": threeType}})
}
