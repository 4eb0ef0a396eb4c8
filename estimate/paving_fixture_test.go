package estimate_test

import (
	"fmt"
	"strings"

	"github.com/stretchr/testify/require"

	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/estimate/measure"
)

// pavingUnits adds units for paving to a catalogue.
func pavingUnits(c *estimate.Catalogue) *estimate.Catalogue {
	unit := func(key string, length, width, thickness measure.Length) estimate.Material {
		return estimate.Material{Key: key, Name: key, Kind: estimate.UnitMaterial, Length: length, Width: width, Thickness: thickness}
	}
	mm := measure.Millimetre
	return estimate.NewCatalogue(append(c.Materials,
		unit("tile", 100*mm, 100*mm, 50*mm),
		unit("tile-thick", 100*mm, 100*mm, 80*mm),
		unit("brick", 200*mm, 100*mm, 60*mm),
		unit("across", 100*mm, 200*mm, 60*mm), // the same with its sides named the other way round
		unit("modular", 7.625*measure.Inch, 3.625*measure.Inch, 2.25*measure.Inch),
		unit("odd", 300*mm, 200*mm, 60*mm),
	), c.Soils, c.Allowances, c.DigTo, c.LeastPiece)
}

func paving(list ...string) string { return `"paving":[` + strings.Join(list, ",") + `]` }

// paved is a paved area with an outline and more members.
func paved(id, unit, bond, outline string, members ...string) string {
	return fmt.Sprintf(`{"id":%q,"unit":%q,"bond":%q,"outline":%s%s}`, id, unit, bond, outline, more(members))
}

const fromOrigin = `"start":{"at":["0 m","0 m"],"direction":0}`

// takeWith measures a job with obstacles and planters put in.
func takeWith(t require.TestingT, c *estimate.Catalogue, text string, change func(*estimate.Job)) (*estimate.Takeoff, []document.Fault) {
	root, err := document.Parse([]byte(text))
	require.NoError(t, err, text)
	var faults document.Faults
	r := document.Read(root, &faults)
	job := estimate.ReadJob(r, c, measure.US, &faults)
	r.Close()
	change(job)
	out := estimate.Measure(job, &faults)
	return out, faults.List(root)
}

// pave is the one paved area of a job that must have no fault.
func pave(t require.TestingT, members ...string) *estimate.PavingTakeoff {
	out := takeoff(t, pavingUnits(plain()), job(members...))
	require.Len(t, out.Paving, 1)
	return &out.Paving[0]
}
