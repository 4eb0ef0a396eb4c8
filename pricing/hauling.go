package pricing

import (
	"fmt"
	"slices"
	"strings"

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
}

// HaulingDocument is what one load of a vehicle may weigh and hold.
type HaulingDocument struct {
	Vehicle string `json:"vehicle"` // wheelbarrow, trailer or truck
	Payload string `json:"payload"` // a mass
	Volume  string `json:"volume"`
	Source  string `json:"source,omitempty"`
}

func (d *HaulingDocument) members(m members) {
	m.text("vehicle", required, &d.Vehicle)
	m.text("payload", required, &d.Payload)
	m.text("volume", required, &d.Volume)
	m.text("source", optional, &d.Source)
}

// usualHauling is for lists that say nothing of vehicles. Common practice: a contractor's barrow of 6 ft3 that one person
// still wheels, a box trailer behind a pickup, a small tipper.
func usualHauling() []Hauling {
	return []Hauling{
		{Wheelbarrow, 300 * measure.Pound, 6 * measure.CubicFoot, "common practice"},
		{Trailer, 2000 * measure.Pound, 2 * measure.CubicYard, "common practice"},
		{Truck, 10000 * measure.Pound, 5 * measure.CubicYard, "common practice"},
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
		c.list.Hauling = append(c.list.Hauling, h)
	}
	if len(c.doc.Hauling) == 0 {
		c.list.Hauling = usualHauling()
	}
}
