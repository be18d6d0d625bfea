package cost

import (
	"fmt"
	"slices"
	"strconv"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/answer/study"
	"kerfbook/bom"
	"kerfbook/costing/estimate"
	"kerfbook/costing/papers/show"
	"kerfbook/web/chart"
	"kerfbook/web/frame"
)

// sizeTable holds the trims in batches of a few sizes.
type sizeTable struct {
	Heads []sizeHead
	Trims []sizeTrim
}

// sizeHead is a size, and whether it is the one that is looked at.
type sizeHead struct {
	Pieces string
	Asked  bool
}

// sizeTrim is what a trim costs and earns in each of them.
type sizeTrim struct {
	Name, Channel  string
	Links          []frame.Link
	Full           []frame.Fig
	Price, Margin  []frame.Fig
	Columns        int
	Wanted         frame.Fig
	Chances        []chart.Mark // of the margin wanted, in so many of ten
	NoChance, None bool         // nothing is wanted; no price is asked
}

// sizesOf gives the batches of each trim of the view: alone and all of one quantity, at
// half of it, at it and at two and a half times; otherwise as they are asked for.
func sizesOf(v frame.View) (heads []sizeHead, mixes [][][]estimate.MixLine) {
	n := decimal.Decimal{}
	for i, l := range v.Lines {
		if v.Together || i > 0 && !l.Quantity.Likely.Equal(n) {
			n = decimal.Decimal{}
			break
		}
		n = l.Quantity.Likely
	}
	if n.IsZero() || n.GreaterThan(decimal.New(estimate.MostPieces/5, 0)) {
		for i := range v.Lines {
			mix := v.Mixes()[0]
			if !v.Together {
				mix = v.Mixes()[i]
			}
			mixes = append(mixes, [][]estimate.MixLine{mix})
		}
		return []sizeHead{{"as asked", true}}, mixes
	}
	asked := n.IntPart()
	sizes := []int64{asked / 2, asked, asked * 5 / 2}
	if asked < 2 {
		sizes = sizes[1:]
	}
	for _, size := range sizes {
		heads = append(heads, sizeHead{strconv.FormatInt(size, 10), size == asked})
	}
	for _, l := range v.Lines {
		var of [][]estimate.MixLine
		for _, size := range sizes {
			l.Quantity = bom.Whole(size)
			of = append(of, []estimate.MixLine{l})
		}
		mixes = append(mixes, of)
	}
	return heads, mixes
}

// sizes prices every trim of the view in every size.
func sizes(c *frame.Call) (*sizeTable, error) {
	heads, mixes := sizesOf(c.View)
	chances, err := StartChances(c)
	if err != nil {
		return nil, err
	}
	out := &sizeTable{Heads: heads}
	for i, l := range c.View.Lines {
		t := sizeTrim{Name: frame.LineWords(c.Book, l), Links: moreAbout("", c.View, l), NoChance: true, None: true, Columns: len(heads) + 1}
		for k, mix := range mixes[i] {
			e, _, err := c.Site.Service.Estimate(c.R.Context(), mix, c.View.Day)
			if err != nil {
				return nil, err
			}
			link := frame.Prover(frame.View{Lines: mix, Day: c.View.Day})
			at := 0
			if len(mix) > 1 {
				at = i
			}
			t.Full = append(t.Full, link.Money(e.Variants[at].Full))
			var price answer.ChannelPrices
			if len(e.Variants[at].Channels) > 0 {
				price = e.Variants[at].Channels[0]
				t.None, t.Channel = false, channelName(c, price.Channel)
			}
			t.Price, t.Margin = append(t.Price, link.Money(price.Shelf)), append(t.Margin, link.Percent(price.Margin))
			chance := chanceIn(chances[i][k], mix[at].Name(), fmt.Sprintf("/%d/%d/", i, k))
			t.Chances, t.NoChance = append(t.Chances, chance.mark), t.NoChance && chance.mark.Text == ""
			if chance.wanted.Key != "" {
				t.Wanted = link.Percent(chance.wanted)
			}
		}
		out.Trims = append(out.Trims, t)
	}
	return out, nil
}

// chance is how likely a price meets what is wanted.
type chance struct {
	mark   chart.Mark
	wanted answer.Figure
}

// chanceIn reads how likely the first price of a variant meets what is wanted off the
// chances of its batch, which stand at a place of the answer.
func chanceIn(all []study.ChannelChance, variant, at string) chance {
	i := slices.IndexFunc(all, func(of study.ChannelChance) bool { return of.Trim == variant })
	if i < 0 || all[i].Chance == nil {
		return chance{}
	}
	value := all[i].Chance.Value
	return chance{chart.Mark{Label: "chance", Text: inTen(value), Value: value, Stat: at + strconv.Itoa(i) + "/chance/value"}, all[i].Wanted}
}

// inTen writes a share as so many of ten.
func inTen(share string) string {
	d, err := decimal.NewFromString(share)
	if err != nil {
		return ""
	}
	return show.Tenths(d)
}

// StartChances are the chances that the page of today tells, by trim and size; none of a
// batch that lacks something.
func StartChances(c *frame.Call) ([][][]study.ChannelChance, error) {
	_, mixes := sizesOf(c.View)
	var out [][][]study.ChannelChance
	for _, of := range mixes {
		var sizes [][]study.ChannelChance
		for _, mix := range of {
			all, err := c.Site.Service.Chances(c.R.Context(), change.Batch{Mix: mix, Day: c.View.Day})
			if err != nil && !frame.Refused(err) {
				return nil, err
			}
			sizes = append(sizes, all)
		}
		out = append(out, sizes)
	}
	return out, nil
}
