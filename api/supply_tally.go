package api

import (
	"encoding/json"
	"strconv"

	"github.com/govalues/decimal"

	"bedline/estimate"
	"bedline/estimate/measure"
	"bedline/pricing/supply"
)

// Tally is what a plan comes to beside its cost, so that plans can be set side by side.
type Tally struct {
	Packs         json.Number `json:"packs"` // counts of all order lines; of loose goods as they are ordered
	Mass          Quantity    `json:"mass"`
	Drops         int         `json:"drops"`
	Trips         int         `json:"trips"`
	Surplus       []LeftOver  `json:"surplus"`                  // of the materials of which something is left
	HandlingHours json.Number `json:"handling_hours,omitempty"` // of one person, where the price list says them
	TripHours     *Number     `json:"trip_hours,omitempty"`     // of one person, for the trips of pick-ups
}

// LeftOver is how much of a material is left.
type LeftOver struct {
	Material string   `json:"material"`
	Quantity Quantity `json:"quantity"`
}

// RidesWith is what of a supplier's goods shares drops or trips.
type RidesWith struct {
	LoadWith string   `json:"load_with,omitempty"`
	Times    int      `json:"times"` // drops or trips
	Mass     Quantity `json:"mass"`
}

func (w writer) tally(p *supply.Plan) *Tally {
	t := &Tally{Surplus: []LeftOver{}}
	packs := decimal.Zero
	for i := range p.Purchases {
		if sum, err := packs.Add(p.Purchases[i].Count); err == nil {
			packs = sum
		}
	}
	t.Packs = decimalNumber(packs)
	mass := measure.Mass(0)
	for i := range p.Suppliers {
		u := &p.Suppliers[i]
		mass += u.Mass
		if u.Way == supply.PickedUp {
			t.Trips += u.Trips
		} else {
			t.Drops += u.Trips
		}
	}
	t.Mass = w.mass(mass)
	for i := range p.Covers {
		c := &p.Covers[i]
		m, ok := w.list.Catalogue.Material(c.Material)
		if !ok || c.Surplus <= 0 {
			continue
		}
		a := estimate.Amount{Kind: estimate.CountAmount, Value: float64(c.Surplus)}
		if m.Kind == estimate.LooseMaterial {
			a.Kind = estimate.VolumeAmount
		}
		t.Surplus = append(t.Surplus, LeftOver{Material: c.Material, Quantity: w.amount(a, counted(m))})
	}
	handling, trips := w.list.CrewHours(p)
	if !handling.IsZero() {
		t.HandlingHours = decimalNumber(handling)
	}
	if trips > 0 {
		hours := Number(trips)
		t.TripHours = &hours
	}
	return t
}

// ridesWith are the loads of a supplier whose goods ride in several load groups.
func (w writer) ridesWith(u *supply.Use) []RidesWith {
	var out []RidesWith
	for _, l := range u.Loads {
		out = append(out, RidesWith{LoadWith: l.With, Times: l.Trips, Mass: w.mass(l.Mass)})
	}
	return out
}

func appendTally(b []byte, v *Tally) []byte {
	b = append(b, `{"packs":`...)
	b = append(b, v.Packs...)
	b = append(b, `,"mass":`...)
	b = appendQuantity(b, &v.Mass)
	b = append(b, `,"drops":`...)
	b = strconv.AppendInt(b, int64(v.Drops), 10)
	b = append(b, `,"trips":`...)
	b = strconv.AppendInt(b, int64(v.Trips), 10)
	b = append(b, `,"surplus":`...)
	b = appendList(b, v.Surplus, appendLeftOver)
	if v.HandlingHours != "" {
		b = append(b, `,"handling_hours":`...)
		b = append(b, v.HandlingHours...)
	}
	if v.TripHours != nil {
		b = append(b, `,"trip_hours":`...)
		b = measure.AppendNumber(b, float64(*v.TripHours))
	}
	return append(b, '}')
}

func appendLeftOver(b []byte, v *LeftOver) []byte {
	b = append(b, `{"material":`...)
	b = appendText(b, v.Material)
	b = append(b, `,"quantity":`...)
	b = appendQuantity(b, &v.Quantity)
	return append(b, '}')
}

func appendRidesWith(b []byte, v *RidesWith) []byte {
	b = append(b, '{')
	if v.LoadWith != "" {
		b = append(b, `"load_with":`...)
		b = appendText(b, v.LoadWith)
		b = append(b, ',')
	}
	b = append(b, `"times":`...)
	b = strconv.AppendInt(b, int64(v.Times), 10)
	b = append(b, `,"mass":`...)
	b = appendQuantity(b, &v.Mass)
	return append(b, '}')
}
