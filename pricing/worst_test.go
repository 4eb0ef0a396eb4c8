package pricing_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

const lavish = `"dig":"2 in","fabric":{"material":"fabric-woven","under":"bed_and_trench"},"stone":{"material":"pebble-20","depth":"2 in"},"edging":{"unit":"edger-8x4","course":"sailor",
	"base":{"material":"base-crushed","depth":"3 in"},"sand":{"material":"sand-bedding","depth":"1 in"},"side_clearance":"1 in","curves":"cut","joint":{"width":"1/8 in","fill":"sand-polymeric"}}`

func lavishBed(id int, outline string) string {
	return fmt.Sprintf(`{"id":"b%d","outline":%s,%s}`, id, outline, lavish)
}

func jobOf(members string) string {
	return `{"ground":{"soil":"loam","cover":"turf","haul":"60 ft"},` + members + `}`
}

// combBed is a bar with teeth of w x h ft, w ft apart, n points in all.
func combBed(n, w, h int) string {
	var points []string
	teeth := (n - 2) / 4
	for i := range teeth {
		x := 2 * w * i
		points = append(points, fmt.Sprintf(`["%d ft","2 ft"],["%d ft","%d ft"],["%d ft","%d ft"],["%d ft","2 ft"]`, x, x, h, x+w, h, x+w))
	}
	return `{"kind":"polygon","points":[` + strings.Join(points, ",") + fmt.Sprintf(`,["%d ft","0 ft"],["0 ft","0 ft"]]}`, 2*w*teeth-w)
}

// starBed is a polygon of n points whose sides turn a little each, in and out.
func starBed(n int, radius float64) string {
	points := make([]string, n)
	for i := range points {
		r := radius * (1 + 0.02*float64(i%2))
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		points[i] = fmt.Sprintf(`["%.4f ft","%.4f ft"]`, r*cos, r*sin)
	}
	return `{"kind":"polygon","points":[` + strings.Join(points, ",") + `]}`
}

// worst are the largest jobs that the limits allow.
func worst() map[string]string {
	jobs := map[string]string{
		"a comb of 4998 points":       jobOf(`"beds":[` + lavishBed(0, combBed(4998, 4, 12)) + `]`),
		"a long comb of 4998 points":  jobOf(`"beds":[` + lavishBed(0, combBed(4998, 2, 400)) + `]`),
		"a star of 4800 points":       jobOf(`"beds":[` + lavishBed(0, starBed(4800, 300)) + `]`),
		"two combs across each other": jobOf(`"beds":[` + lavishBed(0, combBed(4998, 1, 12)) + `,` + lavishBed(1, starBed(4800, 500)) + `]`),
		"100000 slabs":                jobOf(`"slabs":[{"id":"s","unit":"slab-12","rows":250,"columns":400,"gap":"1 in","at":["0 ft","0 ft"],"joint":{"fill":"sand-joint"},"base":{"material":"base-crushed","depth":"4 in"}}]`),
		"100000 slabs in a bed":       jobOf(`"beds":[` + lavishBed(0, `{"kind":"rectangle","length":"1000 ft","width":"1000 ft"}`) + `],"slabs":[{"id":"s","in_bed":"b0","unit":"slab-12","rows":250,"columns":400,"gap":"1 in","at":["200 ft","5 ft"],"rotate":12}]`),
		"20000 slabs across a bed line": jobOf(`"beds":[` + lavishBed(0, `{"kind":"rectangle","length":"100 ft","width":"1000 ft"}`) +
			`],"slabs":[{"id":"s","unit":"slab-12","rows":100,"columns":200,"gap":"1 in","at":["50 ft","5 ft"],"rotate":1}]`),
	}
	var planters, trees, walls []string
	for i := range 100 {
		planters = append(planters, fmt.Sprintf(`{"id":"p%d","length":"6 ft","width":"3 ft","fill":"1 ft","at":["%d ft","%d ft"],"rotate":%d,"mix":[{"material":"compost","parts":1},{"material":"topsoil","parts":2}]}`, i, 9*(i%10), 6*(i/10)-40, i))
		trees = append(trees, fmt.Sprintf(`{"kind":"tree","at":["%d ft","%d ft"],"trunk_diameter":"60 in","clear":"1 ft"}`, 9*(i%10), 9*(i/10)-40))
	}
	for i := range 100 {
		walls = append(walls, fmt.Sprintf(`{"kind":"footing","from":["%d ft","-300 ft"],"to":["%d ft","300 ft"]}`, 100+i, 100+i))
	}
	standing := `"planters":[` + strings.Join(planters, ",") + `],"obstacles":[` + strings.Join(trees, ",") + `]`
	jobs["100 planters and 100 trees in a comb"] = jobOf(`"beds":[` + lavishBed(0, combBed(4998, 1, 60)) + `],` + standing)
	jobs["100 planters and 100 trees in a star"] = jobOf(`"beds":[` + lavishBed(0, starBed(4800, 60)) + `],` + standing)
	jobs["100 footings beside a deep star"] = jobOf(`"beds":[` + strings.Replace(lavishBed(0, starBed(4800, 60)), `"dig":"2 in"`, `"dig":"300 ft"`, 1) +
		`],"planters":[` + strings.Join(planters, ",") + `],"obstacles":[` + strings.Join(walls, ",") + `]`)
	lavishly := func(id int, bond, outline, more string) string {
		return fmt.Sprintf(`{"id":"p%d","outline":%s,"unit":"brick-modular","bond":%q,"joint":{"width":"3/8 in","fill":"sand-joint"},
			"base":{"material":"base-crushed","depth":"4 in"},"sand":{"material":"sand-bedding","depth":"1 in"},"side_clearance":"6 in"%s}`, id, outline, bond, more)
	}
	const bordered = `,"border":{"course":"soldier"}`
	var many, packed, paths []string
	for i := range 50 {
		many = append(many, lavishly(i, "herringbone_45", fmt.Sprintf(`{"kind":"circle","centre":["%d ft","%d ft"],"radius":"11 ft 6 in"}`, 40*(i%10), 40*(i/10)), `,"border":{"course":"soldier","curves":"open"}`))
		paths = append(paths, lavishly(i, "running", fmt.Sprintf(`{"kind":"rectangle","at":["0 ft","%d ft"],"length":"200 ft","width":"2 ft"}`, 6*i), `,"direction":44`))
		packed = append(packed, lavishly(i, "third", starBed(100, 11.5), ""))
	}
	jobs["99000 units of paving in a star of 4800 points"] = jobOf(`"paving":[` + lavishly(0, "herringbone_45", starBed(4800, 82), "") + `]`)
	jobs["99000 units of paving in running bond"] = jobOf(`"paving":[` + lavishly(0, "running", starBed(4800, 82), bordered) + `]`)
	jobs["a comb of paving"] = jobOf(`"paving":[` + lavishly(0, "herringbone_90", combBed(1002, 4, 12), bordered) + `]`)
	jobs["a long comb of paving on the diagonal"] = jobOf(`"paving":[` + lavishly(0, "running", combBed(98, 1, 400), `,"direction":44`) + `]`)
	jobs["50 long paths of paving"] = jobOf(`"paving":[` + strings.Join(paths, ",") + `]`)
	jobs["50 paved areas"] = jobOf(`"paving":[` + strings.Join(many, ",") + `]`)
	jobs["44 paved areas on one another"] = jobOf(`"paving":[` + strings.Join(packed[:44], ",") + `]`)
	var apart, together, rings []string
	for i := range 100 {
		apart = append(apart, lavishBed(i, fmt.Sprintf(`{"kind":"rectangle","at":["%d ft","%d ft"],"length":"20 ft","width":"6 ft","corner_radius":"2 ft"}`, 25*(i%10), 10*(i/10))))
		together = append(together, lavishBed(i, fmt.Sprintf(`{"kind":"rectangle","at":["%d in","%d in"],"length":"40 ft","width":"40 ft","corner_radius":"4 ft"}`, 7*i, 5*i)))
		rings = append(rings, lavishBed(i, fmt.Sprintf(`{"kind":"circle","centre":["%d in","%d in"],"radius":"20 ft"}`, 11*(i%10), 13*(i/10))))
	}
	jobs["100 beds"] = jobOf(`"beds":[` + strings.Join(apart, ",") + `]`)
	jobs["100 beds in doubt"] = strings.TrimSuffix(jobs["100 beds"], "}") + `,"supply":{"depth_tolerance":"1/4 in","compaction_tolerance_percent":8,"measuring_error_percent":1,"confidence":0.9}}`
	jobs["100 beds on one another"] = jobOf(`"beds":[` + strings.Join(together, ",") + `]`)
	jobs["100 round beds on one another"] = jobOf(`"beds":[` + strings.Join(rings, ",") + `]`)
	jobs["40 beds on one another"] = jobOf(`"beds":[` + strings.Join(together[:40], ",") + `]`)
	jobs["40 round beds on one another"] = jobOf(`"beds":[` + strings.Join(rings[:40], ",") + `]`)
	graded := func(id int, outline string) string {
		return strings.TrimSuffix(lavishBed(id, outline), "}") + `,"fall":{"percent":2,"away_from_side":0},"spot_levels":[` + spotsOver(500, 400) + `]}`
	}
	jobs["a comb of 4998 points with 500 spots"] = jobOf(`"beds":[` + graded(0, combBed(4998, 2, 400)) + `]`)
	jobs["a star of 4800 points with 500 spots"] = jobOf(`"beds":[` + graded(0, starBed(4800, 300)) + `]`)
	var groups []string
	for i := range 200 {
		groups = append(groups, fmt.Sprintf(`{"id":"s%d","in_bed":"b0","unit":"slab-24","rows":2,"columns":3,"at":["%d ft","%d ft"],"base":{"material":"base-crushed","depth":"4 in"}}`, i, 3+15*(i%20), 2+9*(i/20)))
	}
	wide := `{"kind":"rectangle","length":"400 ft","width":"400 ft"}`
	jobs["200 slab groups in a bed with 500 spots"] = jobOf(`"beds":[` + graded(0, wide) + `],"slabs":[` + strings.Join(groups, ",") + `]`)
	jobs["4 beds on one another with 500 spots each"] = jobOf(`"beds":[` + strings.Join([]string{graded(0, wide), graded(1, wide), graded(2, starBed(3000, 190)), graded(3, combBed(4998, 1, 300))}, ",") +
		`],"slabs":[` + strings.Join(groups, ",") + `]`)
	return jobs
}

// spotsOver are n spot levels over a square of so many feet, in no order.
func spotsOver(n, side int) string {
	spots := make([]string, n)
	for i := range spots {
		spots[i] = fmt.Sprintf(`{"at":["%d.%d ft","%d.%d ft"],"down":"%d in"}`, i*7919%side, i%10, i*i*31%side, i%7, i*13%11-5)
	}
	return strings.Join(spots, ",")
}

// The times are only printed, since a busy machine makes them mean nothing: none should be a second on an idle one.
func TestTheLargestJobsAreAnswered(t *testing.T) {
	if testing.Short() {
		t.Skip("takes seconds")
	}
	for name, text := range worst() {
		began := time.Now()
		q, faults, err := ask(t, text)
		took := time.Since(began)
		t.Logf("%s: %v, %d bytes, quote %v, faults %v", name, took.Round(time.Millisecond), len(text), q != nil, faults)
		assert.NoError(t, err)
		assert.LessOrEqual(t, len(text), 1<<20)
		if strings.HasPrefix(name, "100 ") && strings.HasSuffix(name, "on one another") {
			assert.Len(t, faults, 1, "a job in which everything lies on everything is refused")
			assert.Equal(t, "/beds", faults[0].Pointer)
			continue
		}
		if assert.NotNil(t, q, name) {
			finite(t, q)
		}
	}
}

func BenchmarkEstimate(b *testing.B) {
	jobs := worst()
	jobs["the garage bed"] = jobFile(b, "garage-bed.json")
	for name, text := range jobs {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				ask(b, text)
			}
		})
	}
}
