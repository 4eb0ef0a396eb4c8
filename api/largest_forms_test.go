//go:build !race

// The race detector makes these jobs take many minutes and finds nothing here that it does not find in the others.

package api_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"bedline/api/render/locale"
	"bedline/pricing"
)

// round is an outline of so many points whose sides turn in and out.
func round(points int, feet float64) string {
	all := make([]string, points)
	for i := range all {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(points))
		r := feet * (1 + 0.02*float64(i%2))
		all[i] = fmt.Sprintf(`["%.4f ft","%.4f ft"]`, r*cos, r*sin)
	}
	return `{"kind":"polygon","points":[` + strings.Join(all, ",") + `]}`
}

// repeated are n members of a list.
func repeated(n int, member func(i int) string) string {
	all := make([]string, n)
	for i := range all {
		all[i] = member(i)
	}
	return "[" + strings.Join(all, ",") + "]"
}

// largest are jobs as large as the limits let them be, each in a way of its own.
func largest() map[string]string {
	bed := func(id int, outline, more string) string {
		return fmt.Sprintf(`{"id":"b%d","outline":%s,"dig":"2 in","fabric":{"material":"fabric-woven","under":"bed_and_trench"},"stone":{"material":"pebble-20","depth":"2 in"},
			"edging":{"unit":"edger-8x4","course":"sailor","base":{"material":"base-crushed","depth":"3 in"},"sand":{"material":"sand-bedding","depth":"1 in"},"joint":{"width":"1/8 in","fill":"sand-polymeric"}}%s}`, id, outline, more)
	}
	job := func(members ...string) string {
		return `{"ground":{"soil":"loam","cover":"turf","haul":"60 ft"},` + strings.Join(members, ",") + `}`
	}
	square := func(i int) string {
		return fmt.Sprintf(`{"kind":"rectangle","at":["%d ft","%d ft"],"length":"20 ft","width":"6 ft","corner_radius":"2 ft"}`, 25*(i%10), 10*(i/10))
	}
	beds := `"beds":` + repeated(100, func(i int) string { return bed(i, square(i), "") })
	return map[string]string{
		"100 beds with options": job(beds, `"options":`+repeated(10, func(i int) string {
			return fmt.Sprintf(`{"name":"option %d","changes":{"beds":null,"slabs":[{"id":"s","unit":"slab-12","rows":1,"columns":%d,"at":["0 ft","-50 ft"],"base":{"material":"base-crushed","depth":"4 in"}}]}}`, i, i+1)
		})),
		"100000 slabs": job(`"slabs":[{"id":"s","unit":"slab-12","rows":250,"columns":400,"gap":"1 in","at":["0 ft","0 ft"],"joint":{"fill":"sand-joint"},"base":{"material":"base-crushed","depth":"4 in"}}]`),
		"100 planters and 100 trees": job(`"planters":`+repeated(100, func(i int) string {
			return fmt.Sprintf(`{"id":"p%d","length":"6 ft","width":"3 ft","fill":"1 ft","at":["%d ft","%d ft"],"rotate":%d,"mix":[{"material":"compost","parts":1},{"material":"topsoil","parts":2}]}`, i, 9*(i%10), 6*(i/10)-40, i)
		}), `"obstacles":`+repeated(100, func(i int) string {
			return fmt.Sprintf(`{"kind":"tree","at":["%d ft","%d ft"],"trunk_diameter":"60 in","clear":"1 ft"}`, 9*(i%10), 9*(i/10)-40)
		}), `"beds":[`+bed(0, round(1000, 60), "")+`]`),
		"4800 points by one person for an hour a day":           job(`"beds":[`+bed(0, round(4800, 150), "")+`]`, `"crew":{"size":1,"hours_per_day":1}`),
		"99000 units of paving by one person for an hour a day": job(`"paving":[{"id":"p","outline":`+round(4800, 82)+`,"unit":"paver-8x4","along_side":0,"bond":"running","sand":{"material":"sand-bedding","depth":"1 in"},"base":{"material":"base-crushed","depth":"4 in"},"joint":{"width":"1/8 in","fill":"sand-joint"}}]`, `"crew":{"size":1,"hours_per_day":1}`),
		"100 footings beside a bed of 4800 points": job(`"beds":[`+bed(0, round(4800, 60), "")+`]`, `"obstacles":`+repeated(100, func(i int) string {
			return fmt.Sprintf(`{"kind":"footing","id":"f%d","from":["%d ft","-300 ft"],"to":["%d ft","300 ft"]}`, i, 62+i, 62+i)
		})),
		"a body that is nothing but blanks": strings.Replace(job(`"beds":[`+bed(0, square(0), "")+`]`), ":", ":"+strings.Repeat(" ", 1<<20-2000), 1),
	}
}

// The times are only printed: none should be above two seconds on an idle machine, where a request has ten.
func TestTheLargestJobsAreWrittenInEveryForm(t *testing.T) {
	t.Parallel()
	h := serviceOf(t, pricing.Sample())
	for name, job := range largest() {
		assert.LessOrEqual(t, len(job), 1<<20, name)
		for i, form := range everyForm {
			began := time.Now()
			w := form.of(h, job, locale.Tags()[i%3])
			t.Logf("%s %v: %v, %d kB", name, form, time.Since(began).Round(time.Millisecond), w.Body.Len()/1000)
			form.sound(t, w)
		}
	}
}
