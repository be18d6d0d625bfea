package chart

import (
	"math"
	"strconv"

	"github.com/shopspring/decimal"
)

// Mark is a number that is drawn or stands in the table of a chart: how it is
// named and written, and its exact value as decimal text. A figure of the graph
// carries its key and the address of its proof; a statistic of draws, which no
// formula of the graph makes, carries its name instead. A mark without value
// stands for something undefined.
type Mark struct {
	Label, Text string
	Key, Value  string
	Href        string
	Stat        string
}

// number gives the value of a mark; an undefined one is drawn as nothing.
func (m Mark) number() decimal.Decimal {
	d, err := decimal.NewFromString(m.Value)
	if err != nil {
		return decimal.Decimal{}
	}
	return d
}

// place gives where on an axis a mark stands; ok is false where it is undefined, or so
// large that the text of a tick would not fit any screen.
func (m Mark) place() (at float64, ok bool) {
	d, err := decimal.NewFromString(m.Value)
	at = d.InexactFloat64()
	return at, err == nil && math.Abs(at) <= largest
}

// words names the mark with its number, for people who hear a chart.
func (m Mark) words() string {
	switch {
	case m.Text == "":
		return m.Label
	case m.Label == "":
		return m.Text
	}
	return m.Label + " " + m.Text
}

// stat makes a mark of a statistic from its value.
func stat(name string, value float64, text string) Mark {
	return Mark{Text: text, Stat: name, Value: strconv.FormatFloat(value, 'f', -1, 64)}
}

const largest = 1e15
