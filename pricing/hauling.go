package pricing

import (
	"fmt"
	"slices"
	"strings"

	"github.com/govalues/decimal"

	"bedline/estimate/document"
	"bedline/estimate/measure"
)

// Vehicle is what loose material is moved with.
type Vehicle string

// The vehicles, from the smallest.
const (
	Wheelbarrow Vehicle = "wheelbarrow"
	Trailer     Vehicle = "trailer"
	Truck       Vehicle = "truck"
)

// Vehicles are the words of the contract for vehicles.
func Vehicles() []string { return []string{string(Wheelbarrow), string(Trailer), string(Truck)} }

// Hauling is what one load of a vehicle may weigh and hold, both above zero.
type Hauling struct {
	Vehicle Vehicle
	Payload measure.Mass
	Volume  measure.Volume
	Source  string

	// What a trip takes, if the list says so: then Pace is above 0.
	Pace        measure.Length // walked or driven per minute
	Fill, Tip   measure.Hours  // to fill and to tip one load
	SlopeFactor measure.Factor // share by which each per cent of climb slows the loaded way
	AccessFrom  measure.Length // the narrowest way in that it passes
}

// HaulingDocument is what one load of a vehicle may weigh and hold.
type HaulingDocument struct {
	Vehicle string `json:"vehicle"` // wheelbarrow, trailer or truck
	Payload string `json:"payload"` // a mass
	Volume  string `json:"volume"`
	Source  string `json:"source,omitempty"`

	Pace        string           `json:"pace,omitempty"` // a length per minute
	FillMinutes *decimal.Decimal `json:"fill_minutes,omitempty"`
	TipMinutes  *decimal.Decimal `json:"tip_minutes,omitempty"`
	SlopeFactor *decimal.Decimal `json:"slope_factor,omitempty"`
	AccessFrom  string           `json:"access_from,omitempty"` // a length
}

func (d *HaulingDocument) members(m members) {
	m.text("vehicle", required, &d.Vehicle)
	m.text("payload", required, &d.Payload)
	m.text("volume", required, &d.Volume)
	m.text("source", optional, &d.Source)
	m.text("pace", optional, &d.Pace)
	m.optionalNumber("fill_minutes", &d.FillMinutes)
	m.optionalNumber("tip_minutes", &d.TipMinutes)
	m.optionalNumber("slope_factor", &d.SlopeFactor)
	m.text("access_from", optional, &d.AccessFrom)
}

// usualHauling is for lists that say nothing of vehicles. Common practice: a contractor's barrow of 6 ft3 that one person
// still wheels, a box trailer behind a pickup, a small tipper.
func usualHauling() []Hauling {
	return []Hauling{
		{Vehicle: Wheelbarrow, Payload: 300 * measure.Pound, Volume: 6 * measure.CubicFoot, Source: "common practice"},
		{Vehicle: Trailer, Payload: 2000 * measure.Pound, Volume: 2 * measure.CubicYard, Source: "common practice"},
		{Vehicle: Truck, Payload: 10000 * measure.Pound, Volume: 5 * measure.CubicYard, Source: "common practice"},
	}
}

// The least that a vehicle carries, so that loads can be counted.
const (
	leastPayload measure.Mass   = 1
	leastVolume  measure.Volume = 0.001
)

func (c *compiler) compileHauling() {
	words := Vehicles()
	seen := map[string]int{}
	for i, d := range c.doc.Hauling {
		at := fmt.Sprintf("/hauling/%d", i)
		if !slices.Contains(words, d.Vehicle) {
			c.fault(at+"/vehicle", document.CodeUnknownValue, "must be one of "+strings.Join(words, ", "), "wheelbarrow")
		} else if first, ok := seen[d.Vehicle]; ok {
			c.fault(at+"/vehicle", CodeDuplicate, fmt.Sprintf("is that of /hauling/%d: a list has one of each", first), "trailer")
		} else {
			seen[d.Vehicle] = i
		}
		c.prose(at+"/source", d.Source, mostSource, "Plate of the trailer")
		h := Hauling{Vehicle: Vehicle(d.Vehicle), Payload: c.mass(at+"/payload", d.Payload, "300 lb"), Volume: c.volume(at+"/volume", d.Volume, "6 ft3"), Source: d.Source}
		if h.Payload > 0 && h.Payload < leastPayload {
			c.fault(at+"/payload", document.CodeOutOfRange, "must be at least 1 kg", "300 lb")
		}
		if h.Volume > 0 && h.Volume < leastVolume {
			c.fault(at+"/volume", document.CodeOutOfRange, "must be at least a litre", "6 ft3")
		}
		c.trip(at, &d, &h)
		c.list.Hauling = append(c.list.Hauling, h)
	}
	if len(c.doc.Hauling) == 0 {
		c.list.Hauling = usualHauling()
	}
}

// trip reads what a trip of a vehicle takes. All of it hangs on the pace.
func (c *compiler) trip(at string, d *HaulingDocument, h *Hauling) {
	if d.Pace == "" {
		if d.FillMinutes != nil || d.TipMinutes != nil || d.SlopeFactor != nil || d.AccessFrom != "" {
			c.fault(at+"/pace", document.CodeMissing, "is missing: the times of a trip hang on the way covered per minute", "150 ft")
		}
		return
	}
	h.Pace = c.length(at+"/pace", d.Pace, aboveZero, "150 ft")
	h.Fill, h.Tip = c.minutes(at+"/fill_minutes", d.FillMinutes), c.minutes(at+"/tip_minutes", d.TipMinutes)
	if d.SlopeFactor != nil && c.number(at+"/slope_factor", *d.SlopeFactor, "0.04") {
		if one.Less(*d.SlopeFactor) {
			c.numberFault(at+"/slope_factor", document.CodeOutOfRange, "must be at most 1: it is a share per per cent of climb", "0.04")
		}
		h.SlopeFactor = factor(*d.SlopeFactor)
	}
	h.AccessFrom = usualAccess(h.Vehicle)
	if d.AccessFrom != "" {
		h.AccessFrom = c.length(at+"/access_from", d.AccessFrom, aboveZero, "30 in")
	}
}

func (c *compiler) minutes(at string, d *decimal.Decimal) measure.Hours {
	if d == nil || !c.number(at, *d, "4") {
		return 0
	}
	return measure.Hours(float64(factor(*d)) / 60)
}
