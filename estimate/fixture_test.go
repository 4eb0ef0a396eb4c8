package estimate_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// catalogue is a small list of invented materials for tests. Swell factors are those of US Army FM 5-434, Table 1-1
// (bank to loose), from memory.
func catalogue() *estimate.Catalogue {
	unit := func(key string, length, width, thickness measure.Length) estimate.Material {
		return estimate.Material{Key: key, Name: key, Kind: estimate.UnitMaterial, Length: length, Width: width, Thickness: thickness,
			JointMax: 0.1875 * measure.Inch, Mass: 5 * measure.Pound}
	}
	loose := func(key string, compaction measure.Factor) estimate.Material {
		return estimate.Material{Key: key, Name: key, Kind: estimate.LooseMaterial, LooseDensity: 1500, CompactionFactor: compaction}
	}
	soil := func(key string, swell measure.Factor, lbPerFt3 float64) estimate.Soil {
		return estimate.Soil{Key: key, SwellFactor: swell, BankDensity: measure.Density(lbPerFt3 * float64(measure.Pound) / float64(measure.CubicFoot))}
	}
	heavy := unit("slab-heavy", 24*measure.Inch, 24*measure.Inch, 2*measure.Inch)
	heavy.Mass = 97 * measure.Pound
	return estimate.NewCatalogue([]estimate.Material{
		unit("edger", 8*measure.Inch, 4*measure.Inch, 2*measure.Inch),
		unit("edger-thin", 8*measure.Inch, 4*measure.Inch, 1.75*measure.Inch),
		unit("edger-small", 4*measure.Inch, 4*measure.Inch, 2*measure.Inch),
		unit("slab", 12*measure.Inch, 12*measure.Inch, 2*measure.Inch),
		unit("slab-16", 16*measure.Inch, 16*measure.Inch, 1.75*measure.Inch),
		heavy,
		loose("base", 1.25), loose("sand", 1.17), loose("stone", 1), loose("stone-packed", 1.1), loose("fill", 1),
		{Key: "fabric", Name: "fabric", Kind: estimate.FabricMaterial, RollWidth: 4 * measure.Foot, RollLength: 50 * measure.Foot,
			Lap: 6 * measure.Inch, Pin: "pin", PinSpacing: 3 * measure.Foot},
		{Key: "pin", Name: "pin", Kind: estimate.PieceMaterial},
	}, []estimate.Soil{soil("loam", 1.25, 95), soil("sand", 1.11, 100), soil("clay", 1.43, 110)},
		map[estimate.LineKey]measure.Factor{estimate.Base: 0.05, estimate.BeddingSand: 0.10, estimate.JointFill: 0.15, estimate.DecorativeStone: 0.05},
		measure.Inch/2, 0.333)
}

// plain has no allowances.
func plain() *estimate.Catalogue {
	c := catalogue()
	c.Allowances = nil
	return c
}

// take reads and measures a job.
func take(t require.TestingT, c *estimate.Catalogue, text string) (*estimate.Takeoff, *estimate.Job, []document.Fault) {
	root, err := document.Parse([]byte(text))
	require.NoError(t, err, text)
	var faults document.Faults
	r := document.Read(root, &faults)
	job := estimate.ReadJob(r, c, measure.US, &faults)
	r.Close()
	out := estimate.Measure(job, &faults)
	if faults.Len() > 0 {
		require.Nil(t, out, "a takeoff beside faults")
	}
	return out, job, faults.List(root)
}

// takeoff measures a job that must have no fault.
func takeoff(t require.TestingT, c *estimate.Catalogue, text string) *estimate.Takeoff {
	if h, ok := t.(*testing.T); ok {
		h.Helper()
	}
	out, _, faults := take(t, c, text)
	require.Empty(t, faults, text)
	require.NotNil(t, out)
	return out
}

// faultsOf are the faults of a job, each as "pointer code".
func faultsOf(t require.TestingT, text string) []string {
	_, _, faults := take(t, catalogue(), text)
	list := make([]string, len(faults))
	for i, f := range faults {
		list[i] = f.Pointer + " " + f.Code
		require.NotEmpty(t, f.Detail)
	}
	return list
}

// job is a job of the members given, on bare loam.
func job(members ...string) string {
	return `{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},` + strings.Join(members, ",") + `}`
}

func beds(list ...string) string  { return `"beds":[` + strings.Join(list, ",") + `]` }
func slabs(list ...string) string { return `"slabs":[` + strings.Join(list, ",") + `]` }

// bed is a bed with an outline and more members.
func bed(id, outline string, members ...string) string {
	return `{"id":"` + id + `","outline":` + outline + more(members) + `}`
}

// slabGroup is a group of slabs of the unit.
func slabGroup(id, unit string, rows, columns int, x, y string, members ...string) string {
	return fmt.Sprintf(`{"id":%q,"unit":%q,"rows":%d,"columns":%d,"at":[%q,%q]%s}`, id, unit, rows, columns, x, y, more(members))
}

func more(members []string) string {
	if len(members) == 0 {
		return ""
	}
	return "," + strings.Join(members, ",")
}

func rectangle(x, y, length, width string) string {
	return fmt.Sprintf(`{"kind":"rectangle","at":[%q,%q],"length":%q,"width":%q}`, x, y, length, width)
}

const (
	stone2  = `"stone":{"material":"stone","depth":"2 in"}`
	base3   = `"base":{"material":"base","depth":"3 in"}`
	sand1   = `"sand":{"material":"sand","depth":"1 in"}`
	joint18 = `"joint":{"width":"1/8 in","fill":"fill"}`
)

// edging is an edging of 8 x 4 x 2 in units in a sailor course.
func edging(members ...string) string {
	return `"edging":{"unit":"edger","course":"sailor"` + more(members) + `}`
}

// line is the line of a key and material.
func line(t require.TestingT, out *estimate.Takeoff, key estimate.LineKey, material string) *estimate.MaterialLine {
	for i := range out.Lines {
		if l := &out.Lines[i]; l.Key == key && l.Material.Key == material {
			return l
		}
	}
	require.Failf(t, "no line", "%s of %s", key, material)
	return nil
}

// dug is a digging.
func dug(t require.TestingT, out *estimate.Takeoff, zone string, part estimate.DiggingPart) *estimate.DiggingTakeoff {
	for i := range out.Diggings {
		if d := &out.Diggings[i]; d.Zone == zone && d.Part == part {
			return d
		}
	}
	require.Failf(t, "no digging", "%s of %s", part, zone)
	return nil
}

// done is the quantity of an operation over all its lines, 0 if there is none.
func done(out *estimate.Takeoff, op estimate.Operation) float64 {
	sum := 0.
	for _, w := range out.Work {
		if w.Operation == op {
			sum += w.Quantity.Value
		}
	}
	return sum
}

// codes are the codes of the notices.
func codes(out *estimate.Takeoff) []string {
	var list []string
	for _, n := range out.Notices {
		list = append(list, n.Code)
	}
	return list
}

func ft2(a measure.Area) float64      { return a.In(measure.SquareFoot) }
func inches(l measure.Length) float64 { return l.In(measure.Inch) }
func feet(l measure.Length) float64   { return l.In(measure.Foot) }
func yd3(v measure.Volume) float64    { return v.In(measure.CubicYard) }

// ft3 is an amount of volume in cubic feet.
func ft3(a estimate.Amount) float64 { return measure.Volume(a.Value).In(measure.CubicFoot) }

// near allows for rounding errors of the arithmetic only.
const near = 1e-9

func at(x, y float64) outline.Point {
	return outline.Point{X: measure.Length(x), Y: measure.Length(y)}
}
