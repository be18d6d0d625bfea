package check

import (
	"errors"
	"maps"
	"slices"
	"strings"

	"kerfbook/bom"
	"kerfbook/bom/variant"
	"kerfbook/costing/text"
)

func (c *checker) products() {
	c.trimNames()
	for i := range c.book.Products {
		p := &productCheck{checker: c, product: &c.book.Products[i], path: text.Index("products", i)}
		c.routing(p.path+".routing", p.product.Routing)
		c.features(p.path+".routing", p.product.Routing, nil)
		distinct(c, p.path+".special_direct", p.product.Special, func(s bom.SpecialCost) string { return s.Name })
		if p.product.Carton != nil && p.product.Parcel == nil {
			c.fail(p.path+".carton", "a carton holds packed pieces, and the product has no parcel: enter the packed piece under parcel")
		}
		p.options()
		p.places()
		p.rules()
		p.positions()
		p.trims()
	}
}

// trimNames wants trims named once in the whole book: a mix, a price list and the
// keys of figures name a trim without its product.
func (c *checker) trimNames() {
	first := map[bom.ID]string{}
	for i, p := range c.book.Products {
		for j, t := range p.Trims {
			path := text.Field(text.Index(text.Index("products", i)+".trims", j), "id")
			if at, taken := first[t.ID]; taken && !strings.HasPrefix(at, text.Index("products", i)+".") {
				c.fail(path, "another product has a trim %s; %s", t.ID, c.firstUse(at))
			} else if !taken {
				first[t.ID] = path
			}
		}
	}
}

// productCheck is the check of one product.
type productCheck struct {
	*checker
	product *bom.Product
	path    string
	choices map[bom.ID]map[bom.ID]int // by option
	spots   map[bom.ID]int            // places by name
}

func (p *productCheck) options() {
	options := p.product.Options
	p.unique(p.path+".options", "id", ids(options, func(i int) bom.ID { return options[i].ID }))
	p.choices = make(map[bom.ID]map[bom.ID]int, len(options))
	for i, o := range options {
		list := entry(p.path+".options", i, "choices")
		index := p.unique(list, "id", ids(o.Choices, func(j int) bom.ID { return o.Choices[j].ID }))
		if _, twice := p.choices[o.ID]; !twice {
			p.choices[o.ID] = index
		}
	}
}

func (p *productCheck) places() {
	list := p.product.Places
	p.spots = p.unique(p.path+".places", "id", ids(list, func(i int) bom.ID { return list[i].ID }))
}

func (p *productCheck) rules() {
	for i, r := range p.product.Rules {
		at := text.Index(p.path+".rules", i)
		p.condition(at+".if", r.If)
		p.condition(at+".then", r.Then)
	}
}

func (p *productCheck) condition(path string, when bom.When) {
	for _, option := range slices.Sorted(maps.Keys(when)) {
		at := text.Key(path, string(option))
		if !p.option(at, option) {
			continue
		}
		for i, choice := range when[option] {
			p.named(Fault, text.Index(at, i), choice, "choice", p.choices[option])
		}
	}
}

func (p *productCheck) option(path string, option bom.ID) bool {
	if _, ok := p.choices[option]; ok {
		return true
	}
	p.fail(path, "the product has no option %s%s", option, nearest(option, slices.Collect(maps.Keys(p.choices))))
	return false
}

func (p *productCheck) positions() {
	list := p.path + ".positions"
	for i, first := range repeats(p.product.Positions, func(line bom.Position) int { return line.Number }) {
		p.fail(entry(list, i, "number"), "position %d is used twice; %s", p.product.Positions[i].Number, p.firstUse(entry(list, first, "number")))
	}
	for i, line := range p.product.Positions {
		at := text.Index(list, i)
		p.refer(at+".part", line.Part, "parts")
		p.quantity(at+".quantity", line.Part, &line.Quantity)
		p.consumed(at+".operation", line.Operation, p.product.Routing)
		if line.Place != "" {
			p.named(Fault, at+".place", line.Place, "place", p.spots)
		}
		for j, when := range line.When {
			p.condition(text.Index(at+".when", j), when)
		}
	}
}

func (p *productCheck) trims() {
	trims := p.product.Trims
	p.unique(p.path+".trims", "id", ids(trims, func(i int) bom.ID { return trims[i].ID }))
	for i := range trims {
		at := entry(p.path+".trims", i, "choices")
		var invalid *variant.InvalidError
		if _, err := variant.ResolveTrim(p.product, &trims[i]); !errors.As(err, &invalid) {
			continue
		}
		for _, fault := range invalid.Faults {
			p.trimFault(at, trims[i].ID, fault)
		}
	}
}

func (p *productCheck) trimFault(path string, trim bom.ID, fault error) {
	var option *variant.UnknownOptionError
	var choice *variant.UnknownChoiceError
	switch {
	case errors.As(fault, &option):
		p.option(text.Key(path, string(option.Option)), option.Option)
	case errors.As(fault, &choice):
		p.fail(text.Key(path, string(choice.Option.ID)), "trim %s: %v", trim, fault)
	default:
		p.fail(path, "trim %s: %v", trim, fault)
	}
}
