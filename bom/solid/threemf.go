package solid

import (
	"archive/zip"
	"bufio"
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"path"
	"strconv"
	"strings"
)

// maxXML bounds a part of the archive when it is unpacked.
const maxXML = 512 << 20

// The relationship that names the model of a package (3MF Core Specification 1.3,
// chapter 2.1).
const modelRelation = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"

// unitsOf3MF are the units of a model, in mm (3MF Core Specification 1.3, 3.4.1).
var unitsOf3MF = map[string]float64{"": 1, "micron": 0.001, "millimeter": 1, "centimeter": 10, "inch": 25.4, "foot": 304.8, "meter": 1000}

// object is a mesh, or other objects put together.
type object struct {
	corners   []Point
	triangles [][3]uint32
	parts     []item
}

// item is an object at a place: rows are the images of the axes, and the origin.
type item struct {
	object string
	place  [4]Point
}

type threeMF struct {
	objects map[string]*object
	build   []item
	unit    float64
	count   int
}

func open3MF(file []byte) (*Model, error) {
	archive, err := zip.NewReader(bytes.NewReader(file), int64(len(file)))
	if err != nil {
		return nil, broken3MF("its archive cannot be read")
	}
	name, err := modelName(archive)
	if err != nil {
		return nil, err
	}
	entry, err := archive.Open(name)
	if err != nil {
		return nil, broken3MF("it has no model " + name)
	}
	defer entry.Close()
	limited := &io.LimitedReader{R: entry, N: maxXML}
	m := &threeMF{objects: map[string]*object{}}
	switch err := m.read(limited); {
	case limited.N == 0:
		return nil, tooMany()
	case err != nil:
		return nil, err
	}
	if err := m.check(); err != nil {
		return nil, err
	}
	return &Model{"3MF", func(yield func(Triangle)) error {
		for _, it := range m.build {
			m.place(it, axes(m.unit), yield)
		}
		return nil
	}}, nil
}

func broken3MF(detail string) error {
	return &FileError{"the 3MF file is broken: " + detail, "export the part anew"}
}

// modelName gives the entry that holds the model.
func modelName(archive *zip.Reader) (string, error) {
	entry, err := archive.Open("_rels/.rels")
	if err != nil {
		return "", broken3MF("it does not say where its model is")
	}
	defer entry.Close()
	var list struct {
		Relationship []struct {
			Type   string `xml:"Type,attr"`
			Target string `xml:"Target,attr"`
		}
	}
	if err := xml.NewDecoder(io.LimitReader(entry, 1<<20)).Decode(&list); err != nil {
		return "", broken3MF("its list of parts cannot be read")
	}
	for _, r := range list.Relationship {
		if r.Type == modelRelation {
			return strings.TrimPrefix(path.Clean(r.Target), "/"), nil
		}
	}
	return "", broken3MF("it holds no model")
}

// read goes through the tags of a model. They are read here and not by a library of
// XML, which takes nine times as long for the three million of a fine part.
func (m *threeMF) read(r io.Reader) error {
	tags := &tagReader{r: bufio.NewReaderSize(r, 1<<16)}
	var now *object
	for {
		switch found, err := tags.next(); {
		case err != nil:
			return broken3MF("its model cannot be read")
		case !found:
			return nil
		}
		var err error
		if now, err = m.element(tags, now); err != nil {
			return err
		}
	}
}

// element takes over what a model says within one object after another.
func (m *threeMF) element(tag *tagReader, now *object) (*object, error) {
	switch name := string(tag.name); {
	case name == "model":
		unit, known := unitsOf3MF[string(tag.attr("unit"))]
		if !known {
			return now, broken3MF(fmt.Sprintf("it is drawn in %.20q, which is no unit", tag.attr("unit")))
		}
		m.unit = unit
	case name == "object":
		now = &object{}
		m.objects[string(tag.attr("id"))] = now
	case name == "item", name == "component" && now != nil:
		place, err := placed(string(tag.attr("transform")))
		if err != nil {
			return now, err
		}
		if it := (item{string(tag.attr("objectid")), place}); name == "item" {
			m.build = append(m.build, it)
		} else {
			now.parts = append(now.parts, it)
		}
	case name == "vertex" && now != nil:
		var p Point
		for k, axis := range [...]string{"x", "y", "z"} {
			if err := number(tag.attr(axis), &p[k]); err != nil {
				return now, err
			}
		}
		now.corners = append(now.corners, p)
	case name == "triangle" && now != nil:
		if m.count++; m.count > MaxTriangles {
			return now, tooMany()
		}
		var t [3]uint32
		for i, name := range [...]string{"v1", "v2", "v3"} {
			v, err := strconv.ParseUint(string(tag.attr(name)), 10, 31)
			if err != nil {
				return now, broken3MF(fmt.Sprintf("triangle %d has no three corners", m.count))
			}
			t[i] = uint32(v)
		}
		now.triangles = append(now.triangles, t)
	}
	return now, nil
}

func number(text []byte, into *float64) error {
	x, err := strconv.ParseFloat(string(text), 64)
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
		return broken3MF(fmt.Sprintf("%.20q is no number", text))
	}
	*into = x
	return nil
}

// placed reads a transform of twelve numbers, row by row; an empty one leaves all where
// it is.
func placed(text string) ([4]Point, error) {
	if text == "" {
		return axes(1), nil
	}
	fields := strings.Fields(text)
	if len(fields) != 12 {
		return [4]Point{}, broken3MF("a part of it has no place")
	}
	var out [4]Point
	for i, field := range fields {
		if err := number([]byte(field), &out[i/3][i%3]); err != nil {
			return [4]Point{}, err
		}
	}
	return out, nil
}

func axes(size float64) [4]Point {
	return [4]Point{{size, 0, 0}, {0, size, 0}, {0, 0, size}, {}}
}

// at gives a point of an object at a place.
func at(place [4]Point, p Point) (out Point) {
	for k := range 3 {
		out[k] = p[0]*place[0][k] + p[1]*place[1][k] + p[2]*place[2][k] + place[3][k]
	}
	return out
}

// within gives the place of a part of an object that has a place itself.
func within(part, whole [4]Point) (out [4]Point) {
	for i := range 3 {
		for k := range 3 {
			out[i][k] = part[i][0]*whole[0][k] + part[i][1]*whole[1][k] + part[i][2]*whole[2][k]
		}
	}
	out[3] = at(whole, part[3])
	return out
}

// check wants every object that is built to be there, none to contain itself, every
// corner to be listed, and the whole not to grow beyond the bounds by being repeated.
func (m *threeMF) check() error {
	if len(m.build) == 0 {
		return broken3MF("it builds nothing")
	}
	total := 0
	var visit func(it item, depth int) error
	visit = func(it item, depth int) error {
		o := m.objects[it.object]
		switch {
		case o == nil:
			return broken3MF(fmt.Sprintf("object %.20q is not there", it.object))
		case depth > 16:
			return broken3MF("an object contains itself")
		}
		if total += len(o.triangles) + 1; total > MaxTriangles {
			return tooMany()
		}
		for _, p := range o.parts {
			if err := visit(p, depth+1); err != nil {
				return err
			}
		}
		return nil
	}
	for _, it := range m.build {
		if err := visit(it, 0); err != nil {
			return err
		}
	}
	for id, o := range m.objects {
		for _, t := range o.triangles {
			if int(max(t[0], t[1], t[2])) >= len(o.corners) {
				return broken3MF(fmt.Sprintf("a triangle of object %.20q has a corner that is not listed", id))
			}
		}
	}
	return nil
}

func (m *threeMF) place(it item, whole [4]Point, yield func(Triangle)) {
	o, here := m.objects[it.object], within(it.place, whole)
	for _, t := range o.triangles {
		yield(Triangle{at(here, o.corners[t[0]]), at(here, o.corners[t[1]]), at(here, o.corners[t[2]])})
	}
	for _, p := range o.parts {
		m.place(p, here, yield)
	}
}
