package feature

import (
	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// Constants to 34 digits, as many as a figure keeps.
const (
	// raDigits is 18·√3: f²/(18·√3·r) is the mean deviation of a row of parabolas.
	raDigits = "31.17691453623979128349403414710570"
	// rampDigits is 1 ÷ tan 3°.
	rampDigits = "19.08113668772821106340674873436535"
)

func fixed(s graph.Scope, name, label, digits, cite string) graph.ID {
	value, err := decimal.NewFromString(digits)
	if err != nil {
		return graph.None // a test reads every constant
	}
	return s.Fixed(name, label, graph.Plain, value, cite)
}

func eight(s graph.Scope) graph.ID { return fixed(s, "eight", "eight", "8", "definition") }

// raConstant turns a mean roughness into a feed (M9).
func raConstant(s graph.Scope) graph.ID {
	return fixed(s, "ra-constant", "18·√3", raDigits, "mean deviation of a row of parabolas, own arithmetic")
}

// rampFactor is the path of a ramp of 3° by depth.
func rampFactor(s graph.Scope) graph.ID {
	return fixed(s, "ramp", "path by depth of a ramp of 3°", rampDigits, "1 ÷ tan 3°; the angle is common practice")
}

// perKilowatt is the work of one kilowatt in a minute.
func perKilowatt(s graph.Scope) graph.ID {
	unit := graph.Newton.Times(graph.Mm).Per(graph.Minute).Per(graph.Kilowatt)
	return s.Fixed("newton-mm-per-min-per-kw", "N·mm/min per kW", unit, decimal.New(6, 7), "exact by definition of the unit (SI)")
}

// angle are the sine and cosine of half a point angle.
type angle struct{ sin, cos graph.ID }

// halfPoint gives the sine and cosine of half an angle in degrees, up to 180°, by
// their series at a quarter of it, which leaves less than 10⁻²⁰.
func halfPoint(s graph.Scope, degrees graph.ID) angle {
	turn := fixed(s, "quarter-degrees", "degrees to a quarter of the angle, in radians, the divisor", "720", "4 × 180°")
	q := s.Divide("point-quarter", "a quarter of the point angle, in radians", s.Multiply("point-pi", "point angle × π", degrees, s.Pi()), turn)
	square := s.Multiply("point-quarter-2", "its square", q, q)
	powers := []graph.ID{s.One(graph.Plain), square}
	for i := 2; i <= 10; i++ {
		last := powers[len(powers)-1]
		powers = append(powers, s.Multiply("point-quarter-"+evenNames[i], "its even power", last, square))
	}
	var cosine, sine []graph.ID
	for i, p := range powers {
		cosine = append(cosine, p, fixed(s, "cosine-"+evenNames[i], "coefficient of the cosine", cosineSeries[i], "series of the cosine, to 34 digits"))
		sine = append(sine, p, fixed(s, "sine-"+evenNames[i], "coefficient of the sine", sineSeries[i], "series of the sine, to 34 digits"))
	}
	cos := s.SumProducts("point-quarter-cosine", "cosine of a quarter of the point angle", cosine...)
	sin := s.Multiply("point-quarter-sine", "sine of a quarter of the point angle", q,
		s.SumProducts("point-quarter-sine-series", "sine of a quarter of the point angle ÷ the quarter", sine...))
	// From the quarter to the half by sin 2x = 2·sin x·cos x and cos 2x = 1 − 2·sin² x.
	double := s.Multiply("point-sine-square", "twice the square of that sine", s.Two(), sin, sin)
	return angle{
		sin: s.Multiply("point-sine", "sine of half the point angle", s.Two(), sin, cos),
		cos: s.Subtract("point-cosine", "cosine of half the point angle", s.One(graph.Plain), double),
	}
}

var evenNames = [...]string{"0", "2", "4", "6", "8", "10", "12", "14", "16", "18", "20"}

// cosineSeries are (−1)ⁱ ÷ (2i)!.
var cosineSeries = [...]string{
	"1",
	"-0.5",
	"0.04166666666666666666666666666666667",
	"-0.001388888888888888888888888888888889",
	"0.00002480158730158730158730158730158730",
	"-0.0000002755731922398589065255731922398589",
	"0.000000002087675698786809897921009032120143",
	"-0.00000000001147074559772972471385169797868211",
	"0.00000000000004779477332387385297438207491117544",
	"-0.0000000000000001561920696858622646221636435005733",
	"0.0000000000000000004110317623312164858477990618436140",
}

// sineSeries are (−1)ⁱ ÷ (2i+1)!.
var sineSeries = [...]string{
	"1",
	"-0.1666666666666666666666666666666667",
	"0.008333333333333333333333333333333333",
	"-0.0001984126984126984126984126984126984",
	"0.000002755731922398589065255731922398589",
	"-0.00000002505210838544171877505210838544172",
	"0.0000000001605904383682161459939237717015495",
	"-0.0000000000007647163731819816475901131985788070",
	"0.000000000000002811457254345520763198945583010320",
	"-0.000000000000000008220635246624329716955981236872281",
	"0.00000000000000000001957294106339126123084757437350543",
}
