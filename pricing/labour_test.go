package pricing_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"bedline/estimate"
	"bedline/pricing"
)

// dugBed is 27 x 12 ft dug 1 in deep by hand: a cubic yard.
func dugBed(soil, cover, haul string) string {
	return `{"ground":{"soil":"` + soil + `","cover":"` + cover + `","haul":"` + haul + `"},"beds":[{"id":"b","outline":{"kind":"rectangle","length":"27 ft","width":"12 ft"},"dig":"1 in"}],"crew":{"tools":{"strip_cover":"hand","dig_bed":"hand"}}}`
}

// ILO/ASIST Technical Brief No. 2, recommended averages, from memory: 5.0, 3.5, 3.0 and 2.0 m3 of soft, medium, hard
// and very hard ground dug in a worker-day; 8.5 and 7.0 m3 hauled by wheelbarrow to 20 and 40 m. The lists take days of
// 8 h and yards of 0.7646 m3: 0.7646 x 8 / 3.5 = 1.75 h. The metric list says nothing of trips, so that its rates count.
func TestHoursFollowTheGroundAndTheHaul(t *testing.T) {
	t.Parallel()
	for soil, perDay := range map[string]float64{"sand": 5.0, "loam": 3.5, "clay": 3.0, "gravel": 2.0} {
		hours, _ := workOf(t, quoteOf(t, dugBed(soil, "bare", "0 ft")), estimate.DigBed).Hours.Float64()
		assert.InDelta(t, 0.764555*8/perDay, hours, 0.01, soil)
	}
	for haul, perDay := range map[string]float64{"0 m": 8.5, "20 m": 8.5, "20.1 m": 7.0, "40 m": 7.0} {
		hours, _ := workOf(t, quoteOf(t, dugBed("loam", "bare", haul), listFile(t, "metric.json")), estimate.HaulSpoil).Hours.Float64()
		assert.InDelta(t, 1.25*0.764555*8/perDay, hours, 0.01, haul)
	}
}

func TestHoursFollowTheCover(t *testing.T) {
	t.Parallel()
	// 324 ft2 at the list's hours per 100 ft2: turf 1.5, mulch 0.6, gravel 1, brush 2.
	for cover, want := range map[string]string{"turf": "4.86", "mulch": "1.94", "gravel": "3.24", "brush": "6.48"} {
		assert.Equal(t, want, workOf(t, quoteOf(t, dugBed("loam", cover, "0 ft")), estimate.StripCover).Hours.Pad(2).String(), cover)
	}
	for i := range quoteOf(t, dugBed("loam", "bare", "0 ft")).Lines {
		l := &quoteOf(t, dugBed("loam", "bare", "0 ft")).Lines[i]
		assert.False(t, l.Work != nil && l.Work.Operation == estimate.StripCover, "bare ground is not stripped")
	}
}

func TestAHaulBeyondTheRatesIsStretchedAndSaid(t *testing.T) {
	t.Parallel()
	metric := listFile(t, "metric.json")
	q := quoteOf(t, dugBed("loam", "bare", "200 m"), metric)
	// The longest rate is 8 h for 5 m3 over 100 m: twice that over 200 m, 1.25 yd3 of 0.764555 m3: 3.06 h.
	assert.Equal(t, "3.06", workOf(t, q, estimate.HaulSpoil).Hours.Pad(2).String())
	var said bool
	for _, n := range q.Notices {
		said = said || n.Code == "haul_beyond_rates" && n.Where == "/ground/haul"
	}
	assert.True(t, said)
	for _, n := range quoteOf(t, dugBed("loam", "bare", "100 m"), metric).Notices {
		assert.NotEqual(t, "haul_beyond_rates", n.Code)
	}
}

func TestAnOperationWithoutARateIsAFault(t *testing.T) {
	t.Parallel()
	list := sampleWith(t, func(d *pricing.Document) {
		var kept []pricing.RateDocument
		for _, r := range d.Labour.Rates {
			if r.Operation != "dig_bed" {
				kept = append(kept, r)
			}
		}
		d.Labour.Rates = kept
	})
	assert.Equal(t, []string{"/price_list missing_rate"}, faulted(t, dugBed("loam", "bare", "0 ft"), list))
	assert.Empty(t, faulted(t, stoneBed("2"), list), "a job that needs no such work is estimated")
}

// Every operation that lacks a rate is named, not only the first.
func TestAllMissingRatesAreNamed(t *testing.T) {
	t.Parallel()
	list := sampleWith(t, func(d *pricing.Document) { d.Labour.Rates, d.Hauling = d.Labour.Rates[:1], nil })
	_, faults, err := ask(t, dugBed("loam", "turf", "0 ft"), list)
	assert.NoError(t, err)
	var all strings.Builder
	for _, f := range faults {
		assert.Equal(t, "missing_rate", f.Code)
		all.WriteString(f.Detail)
	}
	for _, op := range []estimate.Operation{estimate.SetOut, estimate.StripCover, estimate.DigBed, estimate.HaulSpoil, estimate.CleanUp} {
		assert.Contains(t, all.String(), string(op))
	}
}

func TestSpoilIsTippedByVolumeOrByMass(t *testing.T) {
	t.Parallel()
	text := dugBed("loam", "bare", "0 ft")
	spoil := func(list *pricing.List) *pricing.Line {
		q := quoteOf(t, text, list)
		for i := range q.Lines {
			if q.Lines[i].Spoil {
				return &q.Lines[i]
			}
		}
		return nil
	}
	// 1.25 yd3 loose at 25.00 = 31.25.
	assert.EqualValues(t, 3125, spoil(pricing.Sample()).Amount)
	// A yard of loam in the ground weighs 27 x 95 = 2565 lb = 1.2825 tons: 1.28 x 40.00 = 51.20.
	byMass := sampleWith(t, func(d *pricing.Document) { d.Disposal = &pricing.DisposalDocument{Per: "1 ton", Price: dec("40.00")} })
	assert.EqualValues(t, 5120, spoil(byMass).Amount)
	free := sampleWith(t, func(d *pricing.Document) { d.Disposal = nil })
	assert.Zero(t, spoil(free).Amount)
	var said bool
	for _, n := range quoteOf(t, text, free).Notices {
		said = said || n.Code == "disposal_unpriced"
	}
	assert.True(t, said)
	assert.Nil(t, func() *pricing.Line {
		q := quoteOf(t, stoneBed("2"))
		for i := range q.Lines {
			if q.Lines[i].Spoil {
				return &q.Lines[i]
			}
		}
		return nil
	}(), "no digging, no line of spoil")
}

func TestLinesStandInTheOrderOfTheWork(t *testing.T) {
	t.Parallel()
	q := quoteOf(t, jobFile(t, "garage-bed.json"))
	order := []estimate.LineKey{estimate.Edging, estimate.Base, estimate.BeddingSand, estimate.JointFill, estimate.Fabric, estimate.Pins, estimate.Slabs, estimate.DecorativeStone,
		estimate.Excavation, estimate.Spoil, estimate.Delivery, estimate.Labour, estimate.Equipment}
	at := 0
	for i := range q.Lines {
		for at < len(order) && order[at] != q.Lines[i].Key {
			at++
		}
		assert.Less(t, at, len(order), "%s stands after a line that it belongs before", q.Lines[i].Key)
	}
}
