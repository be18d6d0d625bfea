package solid

import (
	"image"
	"image/color"
	"math"
)

// The view of a picture: from the right, the front and above, along the axes of the
// file, with light from over the shoulder.
var (
	viewRight = unit(Point{1, 1, 0})
	viewUp    = unit(Point{-1, 1, 2})
	viewIn    = cross(viewUp, viewRight) // away from the eye
	light     = unit(Point{0.2, -1, 1.2})
)

func unit(p Point) Point {
	size := math.Sqrt(dot(p, p))
	return Point{p[0] / size, p[1] / size, p[2] / size}
}

// Picture draws a measured model in shades of grey on a clear ground.
func (m *Model) Picture(of Measures, width, height int) (*image.NRGBA, error) {
	picture := image.NewNRGBA(image.Rect(0, 0, width, height))
	depth := make([]float64, width*height)
	for i := range depth {
		depth[i] = math.Inf(1)
	}
	var middle Point
	for k := range 3 {
		middle[k] = (of.Low[k] + of.High[k]) / 2
	}
	across, upward := 0.0, 0.0
	for corner := range 8 { // of the box
		var p Point
		for k := range 3 {
			p[k] = of.Low[k]
			if corner>>k&1 == 1 {
				p[k] = of.High[k]
			}
		}
		d := minus(p, middle)
		across, upward = max(across, math.Abs(dot(d, viewRight))), max(upward, math.Abs(dot(d, viewUp)))
	}
	scale := 0.95 / 2 * min(float64(width)/across, float64(height)/upward)
	turn := 1.0
	if of.Inverted {
		turn = -1
	}
	err := m.each(func(t Triangle) {
		normal := cross(minus(t[1], t[0]), minus(t[2], t[0]))
		size := turn * math.Sqrt(dot(normal, normal))
		if turn*dot(normal, viewIn) >= 0 {
			return // seen from behind, or on edge
		}
		shade := uint8(70 + 150*max(0, dot(normal, light)/size))
		var p [3]Point // on the picture; the third is the depth
		for i := range 3 {
			d := minus(t[i], middle)
			p[i] = Point{float64(width)/2 + scale*dot(d, viewRight), float64(height)/2 - scale*dot(d, viewUp), dot(d, viewIn)}
		}
		fill(picture, depth, p, shade)
	})
	return picture, err
}

// fill draws what of a triangle lies before what has been drawn.
func fill(picture *image.NRGBA, depth []float64, p [3]Point, shade uint8) {
	width, height := picture.Rect.Dx(), picture.Rect.Dy()
	area := (p[1][0]-p[0][0])*(p[2][1]-p[0][1]) - (p[2][0]-p[0][0])*(p[1][1]-p[0][1])
	if area == 0 {
		return
	}
	from := func(axis, limit int) (int, int) {
		low, high := min(p[0][axis], p[1][axis], p[2][axis]), max(p[0][axis], p[1][axis], p[2][axis])
		return max(0, int(low)), min(limit-1, int(high)+1)
	}
	x0, x1 := from(0, width)
	y0, y1 := from(1, height)
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			px, py := float64(x)+0.5, float64(y)+0.5
			b := ((px-p[0][0])*(p[2][1]-p[0][1]) - (p[2][0]-p[0][0])*(py-p[0][1])) / area
			c := ((p[1][0]-p[0][0])*(py-p[0][1]) - (px-p[0][0])*(p[1][1]-p[0][1])) / area
			if b < 0 || c < 0 || b+c > 1 {
				continue
			}
			z := p[0][2] + b*(p[1][2]-p[0][2]) + c*(p[2][2]-p[0][2])
			if at := y*width + x; z < depth[at] {
				depth[at] = z
				picture.SetNRGBA(x, y, color.NRGBA{shade, shade, shade, 255})
			}
		}
	}
}
