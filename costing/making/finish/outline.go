package finish

import "kerfbook/costing/graph"

// Outline are the outside dimensions that a surface starts from, in mm: length,
// width and thickness of a box; length and diameter of a cylinder, with an inner
// diameter if it is hollow; length and size across flats of a hexagonal piece. None for
// the others.
type Outline struct {
	Length, Width, Thickness, Diameter, Inner, Flats graph.ID
}

// Area writes the surface of a box, cylinder or tube in mm²/piece under a name;
// None where a dimension is missing.
func (o Outline) Area(s graph.Scope, name string) graph.ID {
	var area graph.ID
	switch {
	case o.Flats != graph.None:
		area = o.hexagon(s, name)
	case o.Diameter != graph.None && o.Inner != graph.None:
		area = o.tube(s, name)
	case o.Diameter != graph.None:
		area = o.cylinder(s, name)
	default:
		area = o.box(s, name)
	}
	if area == graph.None {
		return graph.None
	}
	return s.Divide(name, "surface before features", area, s.One(graph.Piece))
}

// box is 2 × (L·W + L·T + W·T).
func (o Outline) box(s graph.Scope, name string) graph.ID {
	sides := s.SumProducts(name+"-sides", "three sides of the box", o.Length, o.Width, o.Length, o.Thickness, o.Width, o.Thickness)
	return s.Multiply(name+"-area", "surface of the box", s.Two(), sides)
}

// hexagon is √3·F·(2·L + F): six flats and two ends.
func (o Outline) hexagon(s graph.Scope, name string) graph.ID {
	root := s.SquareRoot("root-of-three", "√3", s.Three())
	unrolled := s.Sum(name+"-unrolled", "twice the length and size across flats", o.Length, o.Length, o.Flats)
	return s.Multiply(name+"-area", "surface of the hexagon", root, o.Flats, unrolled)
}

// cylinder is π·D·(L + D/2): the shell and two ends.
func (o Outline) cylinder(s graph.Scope, name string) graph.ID {
	radius := s.Divide(name+"-radius", "radius", o.Diameter, s.Two())
	unrolled := s.Add(name+"-unrolled", "length and radius", o.Length, radius)
	return s.Multiply(name+"-area", "surface of the cylinder", s.Pi(), o.Diameter, unrolled)
}

// tube is π·(D + d)·(L + (D − d)/2): both shells and two rings.
func (o Outline) tube(s graph.Scope, name string) graph.ID {
	wall := s.Divide(name+"-wall", "wall", s.Subtract(name+"-walls", "both walls", o.Diameter, o.Inner), s.Two())
	unrolled := s.Add(name+"-unrolled", "length and wall", o.Length, wall)
	around := s.Add(name+"-diameters", "both diameters", o.Diameter, o.Inner)
	return s.Multiply(name+"-area", "surface of the tube", s.Pi(), around, unrolled)
}
