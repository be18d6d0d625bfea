package solid

import (
	"bytes"
	"fmt"
	"math"
)

// MaxBytes is the largest file that is read, and MaxTriangles the most triangles:
// about four times what a modeller writes for the finest part of a desk lamp. Both
// bound the memory of a reading to some 250 MB.
const (
	MaxBytes     = 64 << 20
	MaxTriangles = 4_000_000
)

// Unit is a unit of length in which a file is drawn.
type Unit string

// The units.
const (
	Millimetre Unit = "mm"
	Inch       Unit = "in"
)

// Values lists the words of the units.
func (Unit) Values() []string { return []string{string(Millimetre), string(Inch)} }

// mm is the length of the unit; 0 of an unknown one. An inch is 25.4 mm exactly.
func (u Unit) mm() float64 {
	switch u {
	case Millimetre:
		return 1
	case Inch:
		return 25.4
	}
	return 0
}

// Point is a place in mm.
type Point [3]float64

// Triangle is a piece of a surface; seen from outside its corners go round against
// the clock.
type Triangle [3]Point

// FileError is a file that cannot be measured, with what to do about it.
type FileError struct {
	Detail string
	Remedy string
}

func (e *FileError) Error() string { return e.Detail + "; " + e.Remedy }

// Model is a file that has been read. Its triangles are gone through as often as
// they are needed.
type Model struct {
	Format string // "STL", "3MF"
	each   func(yield func(Triangle)) error
}

// Open reads a model file. An STL file says no unit, so it is given; a 3MF file has
// its own. The error is a [*FileError].
func Open(file []byte, unit Unit) (*Model, error) {
	const export = "export the part anew as STL or 3MF"
	switch {
	case len(file) > MaxBytes:
		return nil, &FileError{fmt.Sprintf("the file has %d MB, more than %d MB", len(file)>>20, MaxBytes>>20), "export it with a coarser tolerance: 0.05 mm is fine enough for an estimate"}
	case len(file) == 0:
		return nil, &FileError{"the file is empty", export}
	case unit.mm() == 0:
		return nil, &FileError{fmt.Sprintf("%q is no unit", unit), "say mm or in"}
	case bytes.HasPrefix(file, []byte("PK\x03\x04")):
		return open3MF(file)
	case bytes.HasPrefix(file, []byte("ISO-10303-21")):
		return nil, &FileError{"this is a STEP file, whose surfaces are formulas that are not read here", export}
	}
	return openSTL(file, unit)
}

// Measures are what a closed surface encloses. Round outsides are a little larger than
// their flat triangles and round holes a little smaller; bodies that overlap count twice.
type Measures struct {
	Triangles  int
	Low, High  Point   // corners of the box around the part, along the axes of the file
	VolumeMM3  float64 // enclosed
	SurfaceMM2 float64
	// RoundMM is, for each axis, the diameter of the smallest cylinder around the middle
	// of the box that the part turns in.
	RoundMM [3]float64
	// HexMM is, for each axis, the size across flats of the smallest hexagon around the
	// middle of the box that the part lies in, with a pair of flats along the box.
	HexMM [3]float64
	// Inverted says that the surface was turned inside out, which is set right.
	Inverted bool
}

// Size gives the sides of the box around the part.
func (m Measures) Size() Point {
	return Point{m.High[0] - m.Low[0], m.High[1] - m.Low[1], m.High[2] - m.Low[2]}
}

// roundness is how much wider than the box a cylinder may be that a part turned on a
// lathe is taken to fill: a chord of a sixteen-sided circle is 2 % short.
const roundness = 1.02

// Axis is the axis of a round part, 0 to 2; −1 of one that is not round.
func (m Measures) Axis() int {
	size, best := m.Size(), -1
	for k := range 3 {
		a, b := size[(k+1)%3], size[(k+2)%3]
		if m.RoundMM[k] <= roundness*min(a, b) && (best < 0 || size[k] > size[best]) {
			best = k
		}
	}
	return best
}

// Sizes that no part of a desk-sized shop has are taken for a wrong unit.
const (
	smallestMM = 0.5
	largestMM  = 3000
)

// Measure goes over the surface. The error is a [*FileError] where the file is broken,
// the surface is open, or the size can be none in mm.
func (m *Model) Measure() (Measures, error) {
	out := Measures{Low: Point{math.Inf(1), math.Inf(1), math.Inf(1)}, High: Point{math.Inf(-1), math.Inf(-1), math.Inf(-1)}}
	var edges chain
	var volume, surface sum
	var origin Point
	err := m.each(func(t Triangle) {
		if out.Triangles == 0 {
			origin = t[0] // near the part, so that no digits are lost far from zero
		}
		out.Triangles++
		for i := range 3 {
			for k := range 3 {
				out.Low[k], out.High[k] = min(out.Low[k], t[i][k]), max(out.High[k], t[i][k])
			}
			edges.add(t[i], t[(i+1)%3])
		}
		normal := cross(minus(t[1], t[0]), minus(t[2], t[0]))
		surface.add(math.Sqrt(dot(normal, normal)) / 2)
		volume.add(dot(minus(t[0], origin), normal) / 6)
	})
	switch {
	case err != nil:
		return Measures{}, err
	case out.Triangles == 0:
		return Measures{}, &FileError{"the file holds no surface", "export the part itself, not its sketch or assembly"}
	case !edges.closed():
		return Measures{}, m.open()
	}
	out.VolumeMM3, out.SurfaceMM2 = volume.total(), surface.total()
	if out.VolumeMM3 < 0 {
		out.VolumeMM3, out.Inverted = -out.VolumeMM3, true
	}
	size := out.Size()
	switch largest := max(size[0], size[1], size[2]); {
	case largest < smallestMM:
		return Measures{}, &FileError{fmt.Sprintf("the part is %.3g mm long", largest), "if it is drawn in inches or metres, say so or export it in mm"}
	case largest > largestMM:
		return Measures{}, &FileError{fmt.Sprintf("the part is %.0f mm long", largest), "if it is drawn in micrometres, export it in mm"}
	case out.VolumeMM3 < 1e-9*largest*largest*largest:
		return Measures{}, &FileError{"the surface encloses nothing", "export a solid body, not a sheet or a sketch"}
	}
	return out, m.around(&out)
}

// around finds the cylinders that the part turns in.
func (m *Model) around(out *Measures) error {
	var middle Point
	for k := range 3 {
		middle[k] = (out.Low[k] + out.High[k]) / 2
	}
	const halfRoot = 0.86602540378443864676 // √3/2
	var hex [3][2]float64
	err := m.each(func(t Triangle) {
		for _, p := range t {
			d := minus(p, middle)
			for k := range 3 {
				a, b := math.Abs(d[(k+1)%3]), math.Abs(d[(k+2)%3])
				out.RoundMM[k] = max(out.RoundMM[k], a*a+b*b)
				// Of the two slanted pairs of flats the nearer one, by symmetry.
				hex[k][0] = max(hex[k][0], a, a/2+b*halfRoot)
				hex[k][1] = max(hex[k][1], b, b/2+a*halfRoot)
			}
		}
	})
	for k := range 3 {
		out.RoundMM[k] = 2 * math.Sqrt(out.RoundMM[k])
		out.HexMM[k] = 2 * min(hex[k][0], hex[k][1])
	}
	return err
}

// mostOpen bounds the edges that are held while it is looked for those without a
// neighbour: some 100 MB.
const mostOpen = 3_000_000

// open says where a surface that does not close is open.
func (m *Model) open() error {
	const remedy = "its volume has no meaning so; close it in the modeller, or export a solid body"
	left, total := map[uint64]int32{}, 0
	err := m.each(func(t Triangle) {
		for i := range 3 {
			total++
			hash, sign := edgeOf(t[i], t[(i+1)%3])
			if len(left) > mostOpen {
				return
			}
			if left[hash] += int32(sign); left[hash] == 0 {
				delete(left, hash)
			}
		}
	})
	if err != nil {
		return err
	}
	if len(left) > mostOpen {
		return &FileError{"the surface is not closed", remedy}
	}
	count, found := 0, false
	for _, n := range left {
		count += int(max(n, -n))
	}
	var near Point
	err = m.each(func(t Triangle) {
		for i := range 3 {
			if hash, sign := edgeOf(t[i], t[(i+1)%3]); sign != 0 && left[hash] != 0 && !found {
				found, near = true, t[i]
			}
		}
	})
	if err != nil {
		return err
	}
	return &FileError{fmt.Sprintf("the surface is not closed: %d of %d edges have no neighbour, one at x %.4g, y %.4g, z %.4g mm", count, total, near[0], near[1], near[2]), remedy}
}

// chain adds up the edges of a surface, each counted against its neighbour's: of a
// closed surface nothing is left. Another surface has the same sum by a chance of one
// in 2^64.
type chain struct{ rest uint64 }

func (c *chain) add(from, to Point) {
	hash, sign := edgeOf(from, to)
	c.rest += uint64(int64(sign)) * hash
}

func (c *chain) closed() bool { return c.rest == 0 }

// edgeOf gives a number for an edge whichever way it goes, and the way: 0 of one that
// has no length.
func edgeOf(from, to Point) (hash uint64, sign int8) {
	sign = compare(from, to)
	if sign > 0 {
		from, to = to, from
	}
	for _, p := range [...]Point{from, to} {
		for _, x := range p {
			hash = mixed(hash ^ math.Float64bits(x+0)) // +0 makes 0 of −0
		}
	}
	return hash, sign
}

// mixed is the finalizer of SplitMix64 (Steele, Lea and Flood 2014).
func mixed(x uint64) uint64 {
	x += 0x9e3779b97f4a7c15
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}

func compare(a, b Point) int8 {
	for k := range 3 {
		switch {
		case a[k] < b[k]:
			return -1
		case a[k] > b[k]:
			return 1
		}
	}
	return 0
}

// sum adds with what rounding leaves behind (Neumaier 1974): a million small triangles
// lose no digit.
type sum struct{ value, rest float64 }

func (s *sum) add(x float64) {
	t := s.value + x
	if math.Abs(s.value) >= math.Abs(x) {
		s.rest += s.value - t + x
	} else {
		s.rest += x - t + s.value
	}
	s.value = t
}

func (s *sum) total() float64 { return s.value + s.rest }

func minus(a, b Point) Point { return Point{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }

func cross(a, b Point) Point {
	return Point{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

func dot(a, b Point) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }
