package pricing_test

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate"
	"bedline/estimate/measure"
	"bedline/pricing"
)

// loadsOf are the loads of a material, or of the spoil for "", by vehicle.
func loadsOf(t require.TestingT, q *pricing.Quote, material string) (*pricing.Load, map[pricing.Vehicle]pricing.VehicleLoads) {
	for i := range q.Loads {
		l := &q.Loads[i]
		if material == "" && l.Material == nil || l.Material != nil && l.Material.Key == material {
			by := map[pricing.Vehicle]pricing.VehicleLoads{}
			for _, v := range l.By {
				by[v.Hauling.Vehicle] = v
			}
			return l, by
		}
	}
	require.Failf(t, "no loads", material)
	return nil, nil
}

// A yard of loam in the ground swells to 1.25 yd3 (FM 5-434 Table 1-1, from memory) and weighs 27 x 95 = 2565 lb. By mass
// 2565 / 300 = 8.55 barrows, by volume 33.75 / 6 = 5.625; 1.2825 trailers against 0.625; 0.2565 trucks against 0.25.
func TestSpoilIsMovedByTheMeasureThatGoverns(t *testing.T) {
	t.Parallel()
	l, by := loadsOf(t, quoteOf(t, dugBed("loam", "bare", "0 ft")), "")
	assert.InDelta(t, 1.25, l.Loose.In(measure.CubicYard), 1e-9)
	assert.InDelta(t, 2565, l.Mass.In(measure.Pound), 1e-6)
	barrow := by[pricing.Wheelbarrow]
	assert.InDelta(t, 8.55, float64(barrow.ByMass), 1e-9)
	assert.InDelta(t, 5.625, float64(barrow.ByVolume), 1e-9)
	assert.Equal(t, 9, barrow.Loads)
	assert.True(t, barrow.MassGoverns())
	assert.Equal(t, estimate.Working{Label: "by mass", Expression: "2565 lb / 300 lb", Result: "8.55, 9 loads"}, barrow.Working)
	assert.Equal(t, 2, by[pricing.Trailer].Loads)
	assert.Equal(t, 1, by[pricing.Truck].Loads)
	assert.Equal(t, "0.26, 1 load", by[pricing.Truck].Working.Result)
}

func TestLightSpoilIsMovedByVolume(t *testing.T) {
	t.Parallel()
	// At 40 lb/ft3 in the ground a yard weighs 1080 lb: 3.6 barrows by mass, 5.625 by volume.
	list := sampleWith(t, func(d *pricing.Document) {
		for i := range d.Soils {
			d.Soils[i].BankDensity = "40 lb/ft3"
		}
	})
	_, by := loadsOf(t, quoteOf(t, dugBed("loam", "bare", "0 ft"), list), "")
	barrow := by[pricing.Wheelbarrow]
	assert.False(t, barrow.MassGoverns())
	assert.Equal(t, 6, barrow.Loads)
	assert.Equal(t, estimate.Working{Label: "by volume", Expression: "1.25 yd3 / 0.222 yd3", Result: "5.63, 6 loads"}, barrow.Working)
}

func TestMaterialsAreMovedAsTheyAreBought(t *testing.T) {
	t.Parallel()
	q := quoteOf(t, jobFile(t, "garage-bed.json"))
	var loose, mass float64
	l, _ := loadsOf(t, q, "base-crushed")
	for i := range q.Lines {
		if m := q.Lines[i].Material; m != nil && m.Material.Key == "base-crushed" {
			loose += m.Required.Value + q.Lines[i].Surplus
			mass += float64(q.Lines[i].Mass)
		}
	}
	assert.InDelta(t, loose, float64(l.Loose), 1e-9)
	assert.InDelta(t, mass, float64(l.Mass), 1e-6)
	for _, l := range q.Loads {
		if l.Material != nil {
			assert.Equal(t, estimate.LooseMaterial, l.Material.Kind, "units, rolls and pieces are counted, not heaped")
		}
	}
}

func TestAListNamesItsVehicles(t *testing.T) {
	t.Parallel()
	list := sampleWith(t, func(d *pricing.Document) {
		d.Hauling = []pricing.HaulingDocument{{Vehicle: "trailer", Payload: "500 kg", Volume: "1 m3", Source: "plate"}}
	})
	l, by := loadsOf(t, quoteOf(t, dugBed("loam", "bare", "0 ft"), list), "")
	require.Len(t, l.By, 1)
	assert.InDelta(t, 2565*0.45359237/500, float64(by[pricing.Trailer].ByMass), 1e-9)
	// None in the list: common practice, and said so.
	list = sampleWith(t, func(d *pricing.Document) { d.Hauling = nil })
	require.Len(t, list.Hauling, 3)
	for _, h := range list.Hauling {
		assert.Equal(t, "common practice", h.Source)
	}
	_, by = loadsOf(t, quoteOf(t, dugBed("loam", "bare", "0 ft"), list), "")
	assert.Equal(t, 9, by[pricing.Wheelbarrow].Loads)
}

func TestNothingDugIsNoSpoilToMove(t *testing.T) {
	t.Parallel()
	q := quoteOf(t, stoneBed("2"))
	require.Len(t, q.Loads, 1)
	assert.Equal(t, "pebble-20", q.Loads[0].Material.Key)
}

// Whatever the vehicle: the loads carry all of it, and one fewer would not.
func TestPropertyLoadsAreJustEnough(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		payload, volume := rapid.IntRange(3, 5000).Draw(t, "payload"), rapid.IntRange(1, 500).Draw(t, "volume")
		list := sampleWith(t, func(d *pricing.Document) {
			d.Hauling = []pricing.HaulingDocument{{Vehicle: "truck", Payload: strconv.Itoa(payload) + " lb", Volume: strconv.Itoa(volume) + " ft3"}}
		})
		for _, l := range quoteOf(t, jobFile(t, "garage-bed.json"), list).Loads {
			v := l.By[0]
			m, w := float64(payload)*float64(measure.Pound), float64(volume)*float64(measure.CubicFoot)
			n := float64(v.Loads)
			assert.GreaterOrEqual(t, n*m, float64(l.Mass)*(1-2e-9))
			assert.GreaterOrEqual(t, n*w, float64(l.Loose)*(1-2e-9))
			assert.True(t, (n-1)*m < float64(l.Mass) || (n-1)*w < float64(l.Loose))
			assert.Equal(t, float64(l.Mass)/m >= float64(l.Loose)/w, v.MassGoverns())
		}
	})
}
