package pricing

import (
	"fmt"
	"slices"
	"strings"

	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/estimate/measure"
)

// narrowing is what makes two rates of one operation differ.
type narrowing struct {
	operation, soil, cover, tool string
	haul, access                 measure.Length
	mass                         measure.Mass
}

func (c *compiler) compileLabour() {
	c.price("/labour/hourly_cost", c.doc.Labour.HourlyCost)
	c.list.HourlyCost = c.doc.Labour.HourlyCost
	c.list.CrewSize = c.whole("/labour/crew_size", c.doc.Labour.CrewSize, 1, 50, "2")
	if h := c.doc.Labour.HoursPerDay; h != nil && c.number("/labour/hours_per_day", *h, "8") {
		if h.Less(half) || fullDay.Less(*h) {
			c.numberFault("/labour/hours_per_day", document.CodeOutOfRange, "must be from 0.5 to 24", "8")
		}
		c.list.HoursPerDay = *h
	}
	seen := map[narrowing]int{}
	for i := range c.doc.Labour.Rates {
		d := &c.doc.Labour.Rates[i]
		at := fmt.Sprintf("/labour/rates/%d", i)
		r := c.rate(at, d)
		here := narrowing{d.Operation, d.Soil, d.Cover, d.Tool, r.HaulTo, r.AccessFrom, r.UnitMassTo}
		if first, ok := seen[here]; ok {
			c.fault(at+"/operation", CodeDuplicate,
				fmt.Sprintf("holds for the same as /labour/rates/%d: one of them would never be used", first), "dig_trench")
		} else {
			seen[here] = i
		}
		c.list.rates = append(c.list.rates, r)
	}
}

func (c *compiler) rate(at string, d *RateDocument) Rate {
	r := Rate{Operation: estimate.Operation(d.Operation), Soil: d.Soil, Cover: d.Cover, Written: d.Per, Hours: d.Hours,
		Source: d.Source, Stretch: 1}
	kind, ok := RateKindOf(r.Operation)
	if !ok {
		var names []string
		for _, o := range Operations() {
			names = append(names, string(o))
		}
		detail, example := "must be one of "+strings.Join(names, ", "), "dig_trench"
		if near := document.Nearest(d.Operation, names); len(near) > 0 {
			detail, example = detail+": did you mean "+near[0]+"?", near[0]
		}
		c.fault(at+"/operation", document.CodeUnknownValue, detail, example)
	}
	r.Kind = kind
	if _, ok := c.soils[d.Soil]; d.Soil != "" && !ok {
		c.unknown(at+"/soil", d.Soil, "soil", c.list.Catalogue.SoilKeys(), "loam")
	}
	if covers := Covers(); d.Cover != "" && !slices.Contains(covers, d.Cover) {
		c.fault(at+"/cover", document.CodeUnknownValue, "must be one of "+strings.Join(covers, ", "), "turf")
	}
	c.tool(at+"/tool", d.Tool)
	r.Tool = Tool(d.Tool)
	if d.AccessFrom != "" {
		r.AccessFrom = c.length(at+"/access_from", d.AccessFrom, aboveZero, "36 in")
	}
	if d.UnitMassTo != "" {
		r.UnitMassTo = c.mass(at+"/unit_mass_to", d.UnitMassTo, "25 lb")
	}
	if d.HaulTo != "" {
		r.HaulTo = c.length(at+"/haul_to", d.HaulTo, aboveZero, "60 ft")
	}
	r.per = c.per(at+"/per", d.Per, kind)
	if c.number(at+"/hours", d.Hours, "1.8") {
		r.hours = float64(factor(d.Hours))
	}
	c.prose(at+"/source", d.Source, mostSource, "Measured with our own crew")
	return r
}

// per is the quantity of a rate in base units; 1 where it cannot be read, so that nothing divides by zero.
func (c *compiler) per(at string, q Content, kind RateKind) float64 {
	if c.tooLong(at, q.Quantity, "1 yd3") {
		return 1
	}
	x, example := 0., ""
	var err error
	switch kind {
	case PerCount:
		example = "100"
		x = float64(q.Count)
	case PerLength:
		example = "100 ft"
		var l measure.Length
		l, err = measure.ParseLength(q.Quantity)
		x = float64(l)
	case PerArea:
		example = "100 ft2"
		var a measure.Area
		a, err = measure.ParseArea(q.Quantity)
		x = float64(a)
	case PerVolume:
		example = "1 yd3"
		var v measure.Volume
		v, err = measure.ParseVolume(q.Quantity)
		x = float64(v)
	default: // the operation is a fault already
		return 1
	}
	report := c.fault
	if kind == PerCount {
		report = c.numberFault
	}
	if err != nil && q.Quantity != "" {
		c.misfit(at, "must be a "+kind.String()+" with its unit for this operation", example, err)
		return 1
	}
	switch {
	case q.IsZero(), err == nil && x <= 0 && q.Quantity == "":
		report(at, document.CodeNotPositive, "must be above zero", example)
	case err != nil, kind == PerCount && q.Quantity != "":
		report(at, CodeWrongKind, "must be a "+kind.String()+" for this operation", example)
	case x <= 0:
		report(at, document.CodeNotPositive, "must be above zero", example)
	case x < smallest || x > largest:
		report(at, document.CodeOutOfRange, "is far from anything that is bought or built with", example)
	default:
		return x
	}
	return 1
}
