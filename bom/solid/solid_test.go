package solid_test

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"kerfbook/bom/solid"
)

// body is a solid written by its triangles, with what it measures by closed forms.
type body struct {
	name            string
	triangles       []solid.Triangle
	volume, surface float64
	size            solid.Point
	axis            int
}

// box has faces of two triangles each.
func box(a, b, c float64) body {
	out := body{name: fmt.Sprintf("box %g x %g x %g", a, b, c), volume: a * b * c, surface: 2 * (a*b + b*c + c*a), size: solid.Point{a, b, c}, axis: -1}
	p := func(i int) solid.Point {
		return solid.Point{a * float64(i&1), b * float64(i>>1&1), c * float64(i>>2&1)}
	}
	for _, f := range [][4]int{{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4}, {2, 6, 7, 3}, {0, 4, 6, 2}, {1, 3, 7, 5}} {
		out.triangles = append(out.triangles, solid.Triangle{p(f[0]), p(f[1]), p(f[2])}, solid.Triangle{p(f[0]), p(f[2]), p(f[3])})
	}
	return out
}

// turned is a closed outline in (radius, height), the inside on its left, taken round the
// z axis in n flat steps. Each cross-section is a ring of n-sided polygons, so the volume is
// (n/2·sin 2π/n) times the integral of the square of the radius over the height, and each
// step of an outline's edge is a flat trapezoid.
func turned(name string, n int, outline ...[2]float64) body {
	out := body{name: fmt.Sprintf("%s in %d steps", name, n), axis: 2}
	at := func(p [2]float64, step int) solid.Point {
		angle := 2 * math.Pi * float64(step%n) / float64(n)
		return solid.Point{p[0] * math.Cos(angle), p[0] * math.Sin(angle), p[1]}
	}
	ring, half := float64(n)/2*math.Sin(2*math.Pi/float64(n)), math.Pi/float64(n)
	low, high, widest := math.Inf(1), math.Inf(-1), 0.0
	for i, p := range outline {
		q := outline[(i+1)%len(outline)]
		out.volume += ring * (p[0]*p[0] + p[0]*q[0] + q[0]*q[0]) / 3 * (q[1] - p[1])
		out.surface += float64(n) * (p[0] + q[0]) * math.Sin(half) * math.Hypot(q[1]-p[1], (q[0]-p[0])*math.Cos(half))
		low, high, widest = min(low, p[1]), max(high, p[1]), max(widest, p[0])
		for step := range n {
			a, b, c, d := at(p, step), at(p, step+1), at(q, step+1), at(q, step)
			if p[0] > 0 {
				out.triangles = append(out.triangles, solid.Triangle{a, b, c})
			}
			if q[0] > 0 {
				out.triangles = append(out.triangles, solid.Triangle{a, c, d})
			}
		}
	}
	wide := func(f func(float64) float64) float64 {
		far := 0.0
		for step := range n {
			far = max(far, widest*math.Abs(f(2*math.Pi*float64(step)/float64(n))))
		}
		return 2 * far
	}
	out.size = solid.Point{wide(math.Cos), wide(math.Sin), high - low}
	return out
}

// bodies are forty: boxes, and what a lathe makes.
func bodies() []body {
	out := []body{box(10, 20, 30), box(0.7, 3, 250), box(60, 20, 12)}
	for _, n := range []int{16, 64, 180} {
		out = append(out,
			turned("cylinder", n, [2]float64{0, 0}, [2]float64{12, 0}, [2]float64{12, 40}, [2]float64{0, 40}),
			turned("cone", n, [2]float64{0, 0}, [2]float64{15, 0}, [2]float64{0, 22}),
			turned("tube", n, [2]float64{8, 0}, [2]float64{10, 0}, [2]float64{10, 55}, [2]float64{8, 55}))
	}
	rnd := rand.New(rand.NewPCG(5, 6))
	for len(out) < 40 {
		// A shaft of steps, tapers and grooves with a blind hole.
		outline, z := [][2]float64{{0, 0}}, 0.0
		for range 2 + rnd.IntN(6) {
			r := 6 + 20*rnd.Float64()
			outline = append(outline, [2]float64{r, z})
			z += 1 + 15*rnd.Float64()
			outline = append(outline, [2]float64{r + 2*rnd.Float64() - 1, z})
		}
		hole, deep := 1+3*rnd.Float64(), z*(0.2+0.6*rnd.Float64())
		outline = append(outline, [2]float64{hole, z}, [2]float64{hole, z - deep}, [2]float64{0, z - deep - 1})
		out = append(out, turned("shaft", 12+4*rnd.IntN(40), outline...))
	}
	return out
}

func binarySTL(triangles []solid.Triangle) []byte {
	out := make([]byte, 84, 84+50*len(triangles))
	binary.LittleEndian.PutUint32(out[80:], uint32(len(triangles)))
	for _, t := range triangles {
		out = append(out, make([]byte, 12)...)
		for _, p := range t {
			for _, x := range p {
				out = binary.LittleEndian.AppendUint32(out, math.Float32bits(float32(x)))
			}
		}
		out = append(out, 0, 0)
	}
	return out
}

func textSTL(triangles []solid.Triangle) []byte {
	var b bytes.Buffer
	b.WriteString("solid part\n")
	for _, t := range triangles {
		b.WriteString("  facet normal 0 0 0\n    outer loop\n")
		for _, p := range t {
			fmt.Fprintf(&b, "      vertex %.17g %.17g %.17g\r\n", p[0], p[1], p[2])
		}
		b.WriteString("    endloop\n  endfacet\n")
	}
	b.WriteString("endsolid part\n")
	return b.Bytes()
}

const relations = `<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">` +
	`<Relationship Target="/3D/part.model" Id="rel0" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>`

func archived(t testing.TB, model string) []byte {
	t.Helper()
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for _, entry := range [][2]string{{"_rels/.rels", relations}, {"3D/part.model", model}} {
		f, err := w.Create(entry[0])
		if err != nil {
			t.Fatal(err)
		}
		if _, err := f.Write([]byte(entry[1])); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// mesh writes a body as a mesh whose corners are listed once.
func mesh(triangles []solid.Triangle) string {
	var corners, faces strings.Builder
	known := map[solid.Point]int{}
	for _, t := range triangles {
		faces.WriteString("<triangle")
		for i, p := range t {
			n, ok := known[p]
			if !ok {
				n = len(known)
				known[p] = n
				fmt.Fprintf(&corners, `<vertex x="%.17g" y="%.17g" z="%.17g"/>`, p[0], p[1], p[2])
			}
			fmt.Fprintf(&faces, ` v%d="%d"`, i+1, n)
		}
		faces.WriteString("/>")
	}
	return "<mesh><vertices>" + corners.String() + "</vertices><triangles>" + faces.String() + "</triangles></mesh>"
}

func model3MF(unit, objects, build string) string {
	return `<?xml version="1.0" encoding="UTF-8"?><model unit="` + unit + `" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02"><resources>` +
		objects + "</resources><build>" + build + "</build></model>"
}

func measured(t testing.TB, file []byte, unit solid.Unit) solid.Measures {
	t.Helper()
	m, err := solid.Open(file, unit)
	if err != nil {
		t.Fatal(err)
	}
	out, err := m.Measure()
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func near(t *testing.T, what string, got, want, share float64) {
	t.Helper()
	if !(math.Abs(got-want) <= share*math.Abs(want)) {
		t.Errorf("%s is %.9g, want %.9g", what, got, want)
	}
}

// TestClosedForms measures forty bodies in each form of file against closed forms.
func TestClosedForms(t *testing.T) {
	t.Parallel()
	all := bodies()
	if len(all) != 40 {
		t.Fatalf("%d bodies", len(all))
	}
	for _, b := range all {
		for form, file := range map[string][]byte{
			"binary STL": binarySTL(b.triangles), "text STL": textSTL(b.triangles),
			"3MF": archived(t, model3MF("millimeter", `<object id="1" type="model">`+mesh(b.triangles)+`</object>`, `<item objectid="1"/>`)),
		} {
			share := 1e-12
			if form == "binary STL" {
				share = 2e-6 // corners in 24 bits
			}
			m := measured(t, file, solid.Millimetre)
			near(t, b.name+", volume by "+form, m.VolumeMM3, b.volume, share)
			near(t, b.name+", surface by "+form, m.SurfaceMM2, b.surface, share)
			for k := range 3 {
				near(t, fmt.Sprintf("%s, side %d by %s", b.name, k, form), m.Size()[k], b.size[k], share)
			}
			if m.Axis() != b.axis && b.axis != -1 || b.axis == -1 && m.Axis() >= 0 {
				t.Errorf("%s by %s: axis %d, want %d", b.name, form, m.Axis(), b.axis)
			}
		}
	}
}

// TestUnitsAndPlaces: an STL in inches, a 3MF in centimetres, a mirrored part, and one
// put together of two that stand at places of their own.
func TestUnitsAndPlaces(t *testing.T) {
	t.Parallel()
	b := box(2, 3, 5)
	near(t, "in inches", measured(t, binarySTL(b.triangles), solid.Inch).VolumeMM3, 30*25.4*25.4*25.4, 1e-6)
	object := `<object id="1">` + mesh(b.triangles) + `</object>`
	near(t, "in centimetres", measured(t, archived(t, model3MF("centimeter", object, `<item objectid="1"/>`)), solid.Inch).VolumeMM3, 30_000, 1e-12)
	two := object + `<object id="2"><components><component objectid="1"/><component objectid="1" transform="0 1 0 -1 0 0 0 0 1 20 0 0"/></components></object>`
	m := measured(t, archived(t, model3MF("", two, `<item objectid="2" transform="2 0 0 0 2 0 0 0 2 1 1 1"/>`)), solid.Millimetre)
	near(t, "two at twice the size", m.VolumeMM3, 480, 1e-12)
	if size := m.Size(); math.Abs(size[0]-40) > 1e-9 || m.Low != (solid.Point{1, 1, 1}) { // from 0 to 20, less and more by 0
		t.Errorf("size %v from %v", size, m.Low)
	}
	mirrored := measured(t, archived(t, model3MF("", object, `<item objectid="1" transform="-1 0 0 0 1 0 0 0 1 0 0 0"/>`)), solid.Millimetre)
	near(t, "mirrored", mirrored.VolumeMM3, 30, 1e-12)
	if !mirrored.Inverted {
		t.Error("that the surface was inside out is not said")
	}
}

// TestRefused: each file that cannot be measured is refused, with what is wrong and
// what to do.
func TestRefused(t *testing.T) {
	t.Parallel()
	b := box(10, 20, 30)
	whole := binarySTL(b.triangles)
	object := `<object id="1">` + mesh(b.triangles) + `</object>`
	far := `<object id="1">` + strings.ReplaceAll(mesh(b.triangles), `v1="0"`, `v1="88"`) + `</object>`
	scaled := func(by float64) []byte {
		var out []solid.Triangle
		for _, t := range b.triangles {
			for i := range t {
				for k := range t[i] {
					t[i][k] *= by
				}
			}
			out = append(out, t)
		}
		return binarySTL(out)
	}
	flat := box(10, 20, 0)
	broken := bytes.Clone(whole)
	binary.LittleEndian.PutUint32(broken[84+12:], math.Float32bits(float32(math.NaN())))
	for name, c := range map[string]struct {
		file []byte
		says []string
	}{
		"empty":              {nil, []string{"empty"}},
		"too large":          {make([]byte, solid.MaxBytes+1), []string{"64 MB", "coarser"}},
		"no model":           {[]byte("%PDF-1.7 and so on"), []string{"neither"}},
		"STEP":               {[]byte("ISO-10303-21;\nHEADER;"), []string{"STEP", "export"}},
		"cut off":            {whole[:200], []string{"promises 12 triangles", "ends after 2"}},
		"cut off text":       {textSTL(b.triangles)[:300], []string{"cut off"}},
		"no number":          {broken, []string{"triangle 1", "no number"}},
		"word for a number":  {bytes.Replace(textSTL(b.triangles), []byte("30"), []byte("3O"), 1), []string{"no number"}},
		"one triangle short": {binarySTL(b.triangles[1:]), []string{"not closed: 3 of 33 edges", "x "}},
		"turned triangle":    {binarySTL(append([]solid.Triangle{{b.triangles[0][1], b.triangles[0][0], b.triangles[0][2]}}, b.triangles[1:]...)), []string{"not closed"}},
		"flat":               {binarySTL(flat.triangles), []string{"encloses nothing"}},
		"in metres":          {scaled(0.001), []string{"0.03 mm", "inches or metres"}},
		"in micrometres":     {scaled(1000), []string{"30000 mm", "micrometres"}},
		"no triangles":       {binarySTL(nil), []string{"no surface"}},
		"bad archive":        {[]byte("PK\x03\x04 and then nothing"), []string{"archive"}},
		"bad XML":            {archived(t, "<model><resources><"), []string{"cannot be read"}},
		"unknown unit":       {archived(t, model3MF("furlong", object, `<item objectid="1"/>`)), []string{"furlong"}},
		"builds nothing":     {archived(t, model3MF("", object, "")), []string{"builds nothing"}},
		"missing object":     {archived(t, model3MF("", object, `<item objectid="7"/>`)), []string{`object "7" is not there`}},
		"missing corner":     {archived(t, model3MF("", far, `<item objectid="1"/>`)), []string{"not listed"}},
		"in itself":          {archived(t, model3MF("", `<object id="1"><components><component objectid="1"/></components></object>`, `<item objectid="1"/>`)), []string{"contains itself"}},
		"bad place":          {archived(t, model3MF("", object, `<item objectid="1" transform="1 2 3"/>`)), []string{"no place"}},
		"bad corner":         {archived(t, model3MF("", strings.Replace(object, `x="10"`, `x="ten"`, 1), `<item objectid="1"/>`)), []string{"no number"}},
	} {
		var refused *solid.FileError
		m, err := solid.Open(c.file, solid.Millimetre)
		if err == nil {
			_, err = m.Measure()
		}
		var ok bool
		if refused, ok = err.(*solid.FileError); !ok || refused.Remedy == "" {
			t.Errorf("%s: %v, want a FileError with a remedy", name, err)
			continue
		}
		for _, word := range c.says {
			if !strings.Contains(err.Error(), word) {
				t.Errorf("%s: %q does not say %q", name, err, word)
			}
		}
	}
	if _, err := solid.Open(whole, "ell"); err == nil {
		t.Error("a unit that there is not is taken")
	}
}

// gmsh is what draws a plate with a hole and a ball on it in the kernel of an independent
// modeller; it writes the exact volume and surface, and files of its triangles.
const gmsh = `
import gmsh, sys
gmsh.initialize(); gmsh.option.setNumber("General.Terminal", 0)
o = gmsh.model.occ
b = o.addBox(0, 0, 0, 60, 20, 12)
h = o.addCylinder(15, 10, -1, 0, 0, 14, 4)
s = o.addSphere(42, 10, 12, 7)
c = o.cut([(3, b)], [(3, h)])[0]
f = o.fuse(c, [(3, s)])[0]
o.synchronize()
print(o.getMass(3, f[0][1]), sum(o.getMass(2, x[1]) for x in gmsh.model.getBoundary(f, oriented=False)))
gmsh.option.setNumber("Mesh.MeshSizeMax", float(sys.argv[2])); gmsh.option.setNumber("Mesh.MeshSizeFromCurvature", 60)
gmsh.option.setNumber("Mesh.Binary", int(sys.argv[3]))
gmsh.model.mesh.generate(2); gmsh.write(sys.argv[1])
`

// TestIndependentModeller measures files of another program against the volume and the
// surface of its formulas: flat triangles fall short by what a chord cuts off.
func TestIndependentModeller(t *testing.T) {
	t.Parallel()
	const python = "/usr/bin/python3" // which sees Debian's own packages
	if exec.Command(python, "-c", "import gmsh").Run() != nil {
		t.Skip("python3-gmsh is missing")
	}
	for _, kind := range []string{"0", "1"} {
		name := filepath.Join(t.TempDir(), "part.stl")
		said, err := exec.Command(python, "-c", gmsh, name, "3", kind).Output()
		if err != nil {
			t.Fatalf("%v: %s", err, err.(*exec.ExitError).Stderr)
		}
		var volume, surface float64
		if _, err := fmt.Sscan(string(said), &volume, &surface); err != nil {
			t.Fatalf("%q: %v", said, err)
		}
		file, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		m := measured(t, file, solid.Millimetre)
		near(t, "volume", m.VolumeMM3, volume, 0.001)
		near(t, "surface", m.SurfaceMM2, surface, 0.002)
		near(t, "length", m.Size()[0], 60, 1e-6)
		near(t, "height", m.Size()[2], 19, 1e-3)
		if m.Triangles < 1000 {
			t.Errorf("%d triangles", m.Triangles)
		}
	}
}

// TestPicture: the part stands in the middle of its picture and is drawn in several
// shades, the same whether it is inside out or not.
func TestPicture(t *testing.T) {
	t.Parallel()
	b := turned("shaft", 48, [2]float64{0, 0}, [2]float64{10, 0}, [2]float64{10, 20}, [2]float64{5, 20}, [2]float64{5, 40}, [2]float64{0, 40})
	inside := make([]solid.Triangle, len(b.triangles))
	for i, t := range b.triangles {
		inside[i] = solid.Triangle{t[1], t[0], t[2]}
	}
	var pictures [][]byte
	for _, triangles := range [][]solid.Triangle{b.triangles, inside} {
		m, err := solid.Open(binarySTL(triangles), solid.Millimetre)
		if err != nil {
			t.Fatal(err)
		}
		measures, err := m.Measure()
		if err != nil {
			t.Fatal(err)
		}
		p, err := m.Picture(measures, 120, 90)
		if err != nil {
			t.Fatal(err)
		}
		shades := map[uint8]int{}
		for i := 0; i < len(p.Pix); i += 4 {
			if p.Pix[i+3] == 255 {
				shades[p.Pix[i]]++
			}
		}
		if len(shades) < 6 || p.NRGBAAt(60, 45).A != 255 || p.NRGBAAt(0, 0).A != 0 {
			t.Errorf("%d shades", len(shades))
		}
		pictures = append(pictures, p.Pix)
	}
	if !bytes.Equal(pictures[0], pictures[1]) {
		t.Error("a part that was inside out looks otherwise")
	}
}

// FuzzOpen: no file stops the program.
func FuzzOpen(f *testing.F) {
	b := box(1, 2, 3)
	f.Add(binarySTL(b.triangles))
	f.Add(textSTL(b.triangles))
	f.Add(archived(f, model3MF("", `<object id="1">`+mesh(b.triangles)+`</object>`, `<item objectid="1"/>`)))
	f.Fuzz(func(t *testing.T, file []byte) {
		m, err := solid.Open(file, solid.Millimetre)
		if err != nil {
			return
		}
		if measures, err := m.Measure(); err == nil {
			if _, err := m.Picture(measures, 8, 8); err != nil {
				t.Error(err)
			}
		}
	})
}

// BenchmarkMillion measures a million triangles of each form of file.
func BenchmarkMillion(b *testing.B) {
	var outline [][2]float64
	for i := range 501 {
		angle := math.Pi * (float64(i)/500 - 0.5)
		outline = append(outline, [2]float64{max(0, 20*math.Cos(angle)), 20 * math.Sin(angle)})
	}
	ball := turned("ball", 1001, outline...)
	for form, file := range map[string][]byte{
		"STL": binarySTL(ball.triangles),
		"3MF": archived(b, model3MF("", `<object id="1">`+mesh(ball.triangles)+`</object>`, `<item objectid="1"/>`)),
	} {
		b.Run(form, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				measured(b, file, solid.Millimetre)
			}
			b.ReportMetric(float64(len(ball.triangles)), "triangles")
		})
	}
}
