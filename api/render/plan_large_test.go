package render_test

import (
	"encoding/json"
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api/render"
	"bedline/api/render/drawing"
	"bedline/api/render/internal/sample"
	"bedline/api/render/locale"
	"bedline/pricing"
)

type object = map[string]any

// job is the quote of a job with some members.
func job(t *testing.T, units string, members object) *pricing.Quote {
	t.Helper()
	all := object{"reference": "T-1", "title": "Test", "units": units, "price_list": "standard", "ground": object{"soil": "loam", "cover": "turf", "haul": "20 m"}}
	for k, v := range members {
		all[k] = v
	}
	text, err := json.Marshal(all)
	require.NoError(t, err)
	return sample.Of(t, text)
}

// star is a polygon of many points round a middle, every other one farther out.
func star(points int, middle [2]float64, radius, teeth float64) object {
	all := make([][2]string, points)
	for i := range all {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(points))
		r := radius + teeth*float64(i%2)
		all[i] = [2]string{fmt.Sprintf("%.4f m", middle[0]+r*cos), fmt.Sprintf("%.4f m", middle[1]+r*sin)}
	}
	return object{"kind": "polygon", "points": all}
}

func bed(id string, outline object, more object) object {
	b := object{"id": id, "outline": outline, "dig": "50 mm", "stone": object{"material": "gravel-10", "depth": "50 mm"}}
	for k, v := range more {
		b[k] = v
	}
	return b
}

func edging(sides ...int) object {
	e := object{"unit": "edger-8x4", "course": "sailor", "base": object{"material": "base-crushed", "depth": "75 mm"}, "sand": object{"material": "sand-bedding", "depth": "25 mm"}}
	if sides != nil {
		e["sides"] = sides
	}
	return object{"edging": e}
}

func patio(id, length, width, bond string) object {
	return object{"id": id, "outline": object{"kind": "rectangle", "length": length, "width": width}, "unit": "paver-8x4", "bond": bond, "along_side": 0,
		"joint": object{"width": "3 mm", "max": "5 mm", "fill": "sand-joint"}, "base": object{"material": "base-crushed", "depth": "100 mm"},
		"sand": object{"material": "sand-bedding", "depth": "25 mm"}, "side_clearance": "150 mm"}
}

// sound holds what every drawing of a job has to keep.
func sound(t *testing.T, name string, q *pricing.Quote, most int) *drawing.Sheet {
	t.Helper()
	begun := time.Now()
	plan, section := render.Plan(q, locale.Default()), render.Section(q, locale.Default())
	assert.Less(t, time.Since(begun), time.Minute, "time for two drawings")
	for _, sheet := range []*drawing.Sheet{plan, section} {
		text := sheet.SVG()
		wellFormed(t, text)
		legible(t, sheet)
		assert.Less(t, len(text), most, "bytes of a drawing")
		assert.NotContains(t, string(text), "NaN")
		assert.NotContains(t, string(text), "Inf")
		assert.Positive(t, float64(sheet.Height))
	}
	assert.LessOrEqual(t, float64(plan.Height), 190.0)
	save(t, name+"-plan", plan.SVG())
	save(t, name+"-section", section.SVG())
	return plan
}

func TestABedOf5000PointsIsDrawnWithSomeOfItsStakesNamed(t *testing.T) {
	t.Parallel()
	q := job(t, "metric", object{"beds": []object{bed("star", star(5000, [2]float64{0, 0}, 60, 0.5), nil)}})
	plan := sound(t, "large-star", q, 400_000)
	assert.Contains(t, texts(plan), "From A1 on, one stake in 20 is marked.")
}

func TestARowOfManyStakesNamesOneInSoMany(t *testing.T) {
	t.Parallel()
	q := job(t, "metric", object{"beds": []object{bed("ring", star(120, [2]float64{0, 0}, 5, 0.05), nil)}})
	plan := sound(t, "large-ring", q, 250_000)
	assert.Len(t, shapes(plan)["stake"], 120, "all are marked")
	assert.Contains(t, texts(plan), "From A1 on, one stake in 2 is named; the set-out lists all.")
}

func TestAPatioOfThousandsOfUnitsIsDrawnByItsJoints(t *testing.T) {
	t.Parallel()
	q := job(t, "us", object{"paving": []object{patio("court", "60 ft", "31 ft", "running")}})
	f := q.Takeoff.Paving[0].Field
	require.Greater(t, len(f.Units), 3000)
	require.Less(t, len(f.Units), 12000)
	plan := sound(t, "large-patio", q, 400_000)
	all := shapes(plan)
	require.Len(t, all["field joints"], 1)
	assert.Equal(t, f.Whole, subpaths(all["field joints"]), "one line for each whole unit")
	scale := float64(render.ScaleOf(q, locale.Default()))
	cut := 0.0
	for i := range f.Pieces {
		cut += float64(f.Pieces[i].Area)
	}
	assert.InDelta(t, cut, covered(all["field cut"])*scale*scale/1e6, 1e-2*cut, "faces of the cut units")
}

func TestTheLargestPatioIsDrawnAsItsGround(t *testing.T) {
	t.Parallel()
	q := job(t, "us", object{"paving": []object{patio("square", "200 ft", "90 ft", "running")}})
	require.Greater(t, len(q.Takeoff.Paving[0].Field.Units), 12000)
	plan := sound(t, "huge-patio", q, 50_000)
	assert.Contains(t, texts(plan), "units, too many to show")
}

func TestACourseOfThousandsOfUnitsIsDrawn(t *testing.T) {
	t.Parallel()
	q := job(t, "metric", object{"beds": []object{bed("lawn", object{"kind": "rectangle", "length": "300 m", "width": "200 m"}, edging())}})
	units := q.Takeoff.Courses[0].Course.Units
	require.Greater(t, units.Total, 3000)
	plan := sound(t, "large-course", q, 400_000)
	all := shapes(plan)
	assert.Equal(t, units.Whole, subpaths(all["unit"]))
	assert.Equal(t, units.Cut, subpaths(all["unit cut"]))
}

func TestJobsOfUnusualSizeAreDrawn(t *testing.T) {
	t.Parallel()
	rectangle := func(length, width string, at ...string) object {
		o := object{"kind": "rectangle", "length": length, "width": width}
		if at != nil {
			o["at"] = at
		}
		return o
	}
	for name, members := range map[string]object{
		"a bed of one foot":              {"beds": []object{bed("tiny", rectangle("1 ft", "1 ft"), nil)}},
		"a bed of one inch":              {"beds": []object{bed("speck", rectangle("1 in", "1 in"), nil)}},
		"a bed far from the origin":      {"beds": []object{bed("far", rectangle("10 ft", "6 ft", "900000 m", "-900000 m"), edging())}},
		"a strip of 100 ft by 6 in":      {"beds": []object{bed("strip", rectangle("100 ft", "6 in"), edging(0))}},
		"an upright strip":               {"beds": []object{bed("strip", rectangle("6 in", "100 ft"), nil)}},
		"two beds 1800 km apart":         {"beds": []object{bed("west", rectangle("10 ft", "6 ft", "-900000 m", "0 m"), nil), bed("east", rectangle("10 ft", "6 ft", "900000 m", "0 m"), nil)}},
		"a bed with a very long name":    {"beds": []object{bed("the-bed-with-the-longest-name-that-anybody-ever-gave", rectangle("4 ft", "3 ft"), edging())}},
		"many planters side by side":     {"planters": planters(40)},
		"a field of spot levels":         {"beds": []object{bed("levels", rectangle("20 m", "12 m"), object{"spot_levels": levels(90)})}},
		"a tree larger than its plan":    {"beds": []object{bed("b", rectangle("1 m", "1 m"), nil)}, "obstacles": []object{{"kind": "tree", "at": []string{"5 m", "0.5 m"}, "trunk_diameter": "1200 mm"}}},
		"walls that cross all the sheet": {"beds": []object{bed("b", rectangle("4 m", "3 m"), nil)}, "obstacles": []object{{"kind": "wall", "id": "long", "from": []string{"-90 m", "-1 m"}, "to": []string{"90 m", "3.5 m"}}}},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			for _, units := range []string{"us", "metric"} {
				sound(t, "odd-"+name+"-"+units, job(t, units, members), 250_000)
			}
		})
	}
}

func planters(n int) (all []object) {
	for i := range n {
		all = append(all, object{"id": fmt.Sprintf("box-%d", i+1), "length": "1 m", "width": "400 mm", "wall": "30 mm", "fill": "300 mm",
			"at": []string{fmt.Sprintf("%d m", i%8), fmt.Sprintf("%.1f m", 0.5*float64(i/8))}, "mix": []object{{"material": "topsoil", "parts": 1}}})
	}
	return all
}

func levels(n int) (all []object) {
	for i := range n {
		all = append(all, object{"at": []string{fmt.Sprintf("%d m", 1+2*(i%10)), fmt.Sprintf("%.1f m", 0.5+float64(i/10))}, "down": fmt.Sprintf("%d mm", i)})
	}
	return all
}

func TestAPatioWithAnOutlineOf5000PointsIsDrawn(t *testing.T) {
	t.Parallel()
	area := patio("rosette", "1 m", "1 m", "running")
	area["outline"] = star(5000, [2]float64{0, 0}, 3.4, 0.02)
	delete(area, "along_side")
	q := job(t, "metric", object{"paving": []object{area}})
	f := q.Takeoff.Paving[0].Field
	require.Less(t, len(f.Units), 3000)
	require.Greater(t, f.Cut, 80)
	plan := sound(t, "rosette", q, 400_000)
	scale := float64(render.ScaleOf(q, locale.Default()))
	all := shapes(plan)
	laid := (covered(all["field"]) + covered(all["field cut"])) * scale * scale / 1e6
	assert.InDelta(t, float64(f.LaidArea), laid, 1e-2*float64(f.LaidArea))
}
