package machining_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
)

// stating is a mill of a diameter with one row of feeds by diameter: diameter, feed,
// diameter, feed, …
func stating(diameter bom.Number, figures ...string) shop {
	mill := endMill("T", "1", "2")
	mill.DiameterMM = &diameter
	s := milling(mill)
	row := rates.CuttingRow{ID: "R", Material: "M", Tool: bom.EndMill, SpeedMMin: ft.Num("100"), From: "2026-01-01", Source: "test"}
	for i := 0; i < len(figures); i += 2 {
		row.Feeds = append(row.Feeds, rates.FeedAt{DiameterMM: *ft.Num(figures[i]), FeedMM: *ft.Num(figures[i+1])})
	}
	s.data = []rates.CuttingRow{row}
	return s
}

const feedKey = "cutting/M.end_mill/with/T/feed"

// TestFeedBetweenRows: a feed between two stated diameters lies on the straight line
// between their feeds, at a stated diameter it is the one stated, above the largest
// that of the largest holds, and below the smallest it falls with the diameter. The
// last two are told of, once for a tool.
func TestFeedBetweenRows(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ diameter, feed, told string }{
		{"6", "0.048", ""},      // 0.0254 + 0.0254 · 2.825 / 3.175
		{"6.35", "0.0508", ""},  // as stated
		{"3.175", "0.0254", ""}, // as stated
		{"10", "0.0654", ""},    // 0.0635 + 0.0127 · 0.475 / 3.175
		{"12.7", "0.0762", ""},  // as stated
		{"16", "0.0762", "16 mm is above the largest diameter stated, 12.7 mm: its feed holds"},                      // held
		{"1.5", "0.012", "1.5 mm is below the smallest diameter stated, 3.175 mm: the feed falls with the diameter"}, // 0.0254 · 1.5 / 3.175
	} {
		// The order in which a row lists its sizes changes nothing.
		b := stating(*ft.Num(c.diameter), "12.7", "0.0762", "3.175", "0.0254", "9.525", "0.0635", "6.35", "0.0508").cut(t, plainPocket(), twin())
		b.want(feedKey, c.feed)
		var told []string
		for _, f := range b.Graph.Findings() {
			if f.Key == feedKey {
				told = append(told, f.Message)
			}
		}
		if c.told == "" && len(told) > 0 || c.told != "" && (len(told) != 1 || !strings.Contains(told[0], c.told)) {
			t.Errorf("at %s mm it is told: %q, want %q", c.diameter, told, c.told)
		}
	}
}

func twin() bom.Feature {
	f := plainPocket()
	f.ID = "G"
	return f
}

// TestReferenceMillOfSix: the reference rows print 0.001 in for 1/8 in and 0.002 in
// for 1/4 in, so a mill of 6 mm cuts 0.008 of its diameter in copper, brass and
// aluminium: 0.048 mm.
func TestReferenceMillOfSix(t *testing.T) {
	t.Parallel()
	for _, material := range []bom.ID{"copper", "brass", "aluminium-6082"} {
		s := copper(endMill("T", "6", "3"))
		s.mat.CuttingAs = material
		s.cut(t, plainPocket()).want("cutting/"+string(material)+".end_mill.carbide/with/T/feed", "0.048")
	}
}

// TestFeedOfUncertainDiameter: a diameter that is a range draws its feed along the
// whole line, across stated diameters and past both ends. Compared with the
// line in binary numbers.
func TestFeedOfUncertainDiameter(t *testing.T) {
	t.Parallel()
	draw := rand.New(rand.NewPCG(7, 7))
	for range 40 {
		n := 1 + draw.IntN(5)
		sizes, feeds := rising(draw, n, 100, 2000), rising(draw, n, 1, 40)
		var figures []string
		for i := range sizes {
			figures = append(figures, sizes[i], feeds[i])
		}
		for _, ends := range [][2]string{{"0.5", "30"}, {"5", "12"}} {
			low, high := ft.Dec(ends[0]), ft.Dec(ends[1])
			b := stating(bom.Number{Low: low, Likely: decimal.New(8, 0), High: high, IsRange: true}, figures...).cut(t, plainPocket())
			for _, text := range append([]string{"0.5", "5", "8", "11.37", "12", "30"}, sizes...) {
				at := ft.Dec(text)
				if at.LessThan(low) || at.GreaterThan(high) {
					continue
				}
				got := b.tried(map[string]string{"tool/T/diameter": text}).figure(feedKey)
				if want := line(text, sizes, feeds); math.Abs(binary(got.String())-want) > 1e-12 {
					t.Errorf("at %s of %v %v the feed is %s, want %g", text, sizes, feeds, got, want)
				}
			}
		}
	}
}

func binary(text string) float64 { f, _ := ft.Dec(text).Float64(); return f }

// line is the feed of a diameter by hand; sizes rise.
func line(at string, sizes, feeds []string) float64 {
	d, x0, y0 := binary(at), 0.0, 0.0
	for i := range sizes {
		x, y := binary(sizes[i]), binary(feeds[i])
		if d < x {
			return y0 + (y-y0)*(d-x0)/(x-x0)
		}
		x0, y0 = x, y
	}
	return y0
}

// TestTriedOutDiameter: a check fails where a diameter is tried out that lies between
// other stated ones, so that nothing is read off the wrong line.
func TestTriedOutDiameter(t *testing.T) {
	t.Parallel()
	for entered, tried := range map[string]map[string]bool{
		"6":    {"6": true, "3.175": true, "6.35": true, "3.1": false, "6.4": false},
		"6.35": {"6.35": true, "6": false, "7": false}, "1": {"1": true, "0.1": true, "3.175": true, "4": false}, "30": {"30": true, "25.4": true, "40": true, "25": false}} {
		b := copper(endMill("T", entered, "3")).cut(t, plainPocket())
		for d, want := range tried {
			at, holds := b.tried(map[string]string{"tool/T/diameter": d}), true
			for _, check := range []string{"cutting/copper.end_mill.carbide/with/T/from", "cutting/copper.end_mill.carbide/with/T/to"} {
				holds = holds && !(at.Has(check) && at.figure(check).IsZero())
			}
			if holds != want {
				t.Errorf("a mill of %s mm tried at %s: checks hold %v, want %v", entered, d, holds, want)
			}
		}
	}
}

// TestFeedIsProved: the feed rests on the two stated diameters around and their
// feeds, which have the source of the row.
func TestFeedIsProved(t *testing.T) {
	t.Parallel()
	b := copper(endMill("T", "6", "3")).cut(t, plainPocket())
	cone, _, _ := b.Graph.Extract(b.ID("cutting/copper.end_mill.carbide/with/T/feed"))
	var inputs []string
	for id := range graph.ID(cone.Len()) {
		if n := cone.Node(id); n.Kind == graph.Input && n.Source.Cite != "" {
			inputs = append(inputs, n.Key)
		}
	}
	slices.Sort(inputs)
	const row = "cutting/copper.end_mill.carbide/"
	if want := []string{row + "feed-at-3.175", row + "feed-at-6.35", row + "size-3.175", row + "size-6.35"}; !slices.Equal(inputs, want) {
		t.Errorf("the feed rests on %v, want %v", inputs, want)
	}
}

// TestBorrowedSpeed: a material without a row of its own takes the speed of what it
// cuts as, times the share that it bears, one step after another; where it has a row,
// nothing is borrowed. 304 is flown over at 140 m/min: 316L bears 0.9 of it, and what
// bears 0.5 of 316L 63. The source stands at the share.
func TestBorrowedSpeed(t *testing.T) {
	t.Parallel()
	fly, flat := endMill("T", "40", "1"), endMill("T", "40", "2")
	fly.Kind = bom.FlyCutter
	floor := plainPocket()
	floor.Kind = bom.Face
	at := func(tool bom.Tool, share string) built {
		s := milling(tool)
		s.mat.CuttingAs = "stainless-316l"
		if share != "" {
			s.mat.CuttingShare = ft.Num(share)
		}
		return s.cut(t, floor)
	}
	const speed = "cut/MILL/T/M/face/speed-borrowed/"
	at(fly, "").want(speed+"stainless-304", "126")
	b := at(fly, "0.5")
	b.want(speed+"stainless-316l", "70")
	b.want(speed+"stainless-304", "63")
	share, _ := b.Graph.Find("material/M/cutting-share/stainless-304")
	if n := b.Graph.Node(share); !strings.Contains(n.Source.Cite, "15.2") || n.Source.CheckedOn != "2026-11-28" {
		t.Errorf("the share is from %+v", n.Source)
	}
	own := at(flat, "")
	own.want("cutting/stainless-316l.end_mill.carbide/speed", "70")
	if _, found := own.Graph.Find(speed + "stainless-304"); found {
		t.Error("a row of its own is borrowed")
	}
}
