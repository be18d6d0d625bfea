package solid

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"strconv"
)

// A binary STL file is 80 bytes of anything, the number of triangles, and for each
// fifty bytes: normal, three corners, two spare bytes, all little-endian (3D Systems,
// stereolithography interface specification, 1988; "from memory").
const (
	stlHead     = 84
	stlTriangle = 50
)

func openSTL(file []byte, unit Unit) (*Model, error) {
	count := -1
	if len(file) >= stlHead {
		count = int(binary.LittleEndian.Uint32(file[80:]))
	}
	switch {
	case count >= 0 && len(file) == stlHead+stlTriangle*count:
		if count > MaxTriangles {
			return nil, tooMany()
		}
		return &Model{"STL", func(yield func(Triangle)) error { return eachBinary(file[stlHead:], unit.mm(), yield) }}, nil
	case bytes.HasPrefix(bytes.TrimLeft(file, " \t\r\n"), []byte("solid")) && bytes.Contains(file, []byte("facet")):
		return &Model{"STL", func(yield func(Triangle)) error { return eachText(file, unit.mm(), yield) }}, nil
	case count > 0 && len(file) > stlHead && len(file) < stlHead+stlTriangle*count && count <= MaxTriangles:
		return nil, &FileError{fmt.Sprintf("the file promises %d triangles and ends after %d", count, (len(file)-stlHead)/stlTriangle), "it was cut off: copy or export it again"}
	}
	return nil, &FileError{"this is neither an STL nor a 3MF file", "export the part as one of the two"}
}

func tooMany() error {
	return &FileError{fmt.Sprintf("the file has more than %d triangles", MaxTriangles), "export it with a coarser tolerance: 0.05 mm is fine enough for an estimate"}
}

func badNumber(triangle int) error {
	return &FileError{fmt.Sprintf("triangle %d has a corner that is no number", triangle), "export the part anew"}
}

func eachBinary(rows []byte, mm float64, yield func(Triangle)) error {
	for n := 0; len(rows) > 0; n++ {
		var t Triangle
		for i := range 9 {
			x := mm * float64(math.Float32frombits(binary.LittleEndian.Uint32(rows[12+4*i:])))
			if math.IsNaN(x) || math.IsInf(x, 0) {
				return badNumber(n + 1)
			}
			t[i/3][i%3] = x
		}
		yield(t)
		rows = rows[stlTriangle:]
	}
	return nil
}

// eachText takes every three lines that begin with "vertex" for a triangle.
func eachText(file []byte, mm float64, yield func(Triangle)) error {
	var t Triangle
	corner, n, whole := 0, 0, false
	for len(file) > 0 {
		line, rest, _ := bytes.Cut(file, []byte("\n"))
		file = rest
		fields := bytes.Fields(line)
		if len(fields) == 0 {
			continue
		}
		switch word := string(bytes.ToLower(fields[0])); {
		case word == "vertex" && len(fields) == 4 && corner < 3:
			for k := range 3 {
				x, err := strconv.ParseFloat(string(fields[k+1]), 64)
				if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
					return badNumber(n + 1)
				}
				t[corner][k] = mm * x
			}
			corner++
		case word == "endfacet" && corner == 3:
			if n++; n > MaxTriangles {
				return tooMany()
			}
			yield(t)
			corner = 0
		case word == "endsolid":
			whole = true
		case word == "vertex", word == "endfacet":
			return &FileError{fmt.Sprintf("facet %d has not three corners of three numbers", n+1), "export the part anew"}
		}
	}
	if corner != 0 || !whole {
		return &FileError{fmt.Sprintf("the file ends after facet %d and not with endsolid", n), "it was cut off: copy or export it again"}
	}
	return nil
}
