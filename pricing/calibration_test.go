package pricing_test

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/govalues/decimal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/estimate/measure"
	"bedline/pricing"
)

func calibrated(t require.TestingT, text string, list *pricing.List) (*pricing.Calibration, []document.Fault) {
	root, err := document.Parse([]byte(text))
	require.NoError(t, err, text)
	c, faults, err := pricing.Calibrate(background, pricing.Fixed(list), root, []byte(text))
	require.NoError(t, err, text)
	require.True(t, (c == nil) == (len(faults) > 0), "an answer or faults: %s", text)
	return c, faults
}

// calibrationOf calibrates a list by past jobs; members are further members of the request, each ended by a comma.
func calibrationOf(t require.TestingT, list *pricing.List, members string, jobs ...string) *pricing.Calibration {
	for i, job := range jobs {
		if !strings.HasPrefix(job, "{") {
			jobs[i] = fmt.Sprintf(`{"reference":"job %d",%s}`, i+1, job)
		}
	}
	c, faults := calibrated(t, `{`+members+`"past_jobs":[`+strings.Join(jobs, ",")+`]}`, list)
	require.Empty(t, faults)
	return c
}

func dug(yards, hours string) string {
	return fmt.Sprintf(`"hours":[{"operation":"dig_bed","soil":"loam","quantity":"%s yd3","hours":%s}]`, yards, hours)
}

// The list has 1.75 h per yd3 of loam. Three jobs of 4 yd3, 7 h each by the list, took 7, 8.4 and 10.08 h: ratios 1, 1.2 and
// 1.44, whose logarithms are 0, 0.182322 and 0.364643, on the average 0.182322. Three past jobs beside the list, which counts
// as three: half of it, 0.091161; 1.75 e^0.091161 = 1.9170, so 1.92. Squares 2 x 0.182322^2 = 0.066482. Scatter: (3 x 0.0625 +
// 0.066482 + 3 x 0.5 x 0.033241)/6 = 0.050641, root 0.225036. Student's t of 6 degrees of freedom is 1.943:
// 1.943 x 0.225036/2.449490 = 0.178517; 1.75 e^(0.091161 -+ 0.178517) = 1.6036 and 2.2917.
func TestARateByHand(t *testing.T) {
	t.Parallel()
	c := calibrationOf(t, pricing.Sample(), "", dug("4", "7"), dug("4", "8.4"), dug("4", "10.08"))
	require.Len(t, c.Figures, 1)
	f := c.Figures[0]
	assert.Equal(t, pricing.CalibratedRate, f.Kind)
	assert.Equal(t, "1.92", f.New.String())
	assert.InDelta(t, 1.9170, float64(f.Found), 5e-5)
	assert.InDelta(t, 1.6036, float64(f.Low), 2e-4)
	assert.InDelta(t, 2.2917, float64(f.High), 2e-4)
	assert.InDelta(t, 2.1, float64(f.Own), 1e-9)
	assert.Equal(t, "dig_bed (loam): 3 past jobs took 1.2 times the hours of the list, 1.75 h per 1 yd3; the list counts as 3 past jobs, so the new figure is 1.92 h, and lies between 1.6 and 2.29 h with a chance of 90 in 100.", f.Sentence)
	assert.Equal(t, []estimate.Working{
		{Label: "mean logarithm of the ratios", Expression: "(ln 1 + ln 1.2 + ln 1.44) / 3", Result: "0.182"},
		{Label: "hours over those of the list", Expression: "e^0.182", Result: "1.2"},
		{Label: "part of the past jobs", Expression: "3 / (3 past jobs + 3 of the list)", Result: "0.5"},
		{Label: "new rate", Expression: "1.75 h x e^(0.5 x 0.182)", Result: "1.917 h"},
		{Label: "rounded", Expression: "to three significant digits", Result: "1.92 h"},
		{Label: "scatter of single jobs", Expression: "sqrt((3 x 0.25^2 + 0.0665 among the past jobs + 3 x 0.5 x 0.182^2) / 6)", Result: "0.225"},
		{Label: "half the interval, Student's t of 6 degrees of freedom", Expression: "1.943 x 0.225 / sqrt(6)", Result: "0.179"},
		{Label: "interval", Expression: "1.75 h x e^(0.0912 - 0.179) to 1.75 h x e^(0.0912 + 0.179)", Result: "1.6 to 2.29 h"},
	}, f.Workings)
}

// 5 yd3 of base were compacted to 3.9: 1.28205 beside 1.25 that counts as three, 1.25 + (1.28205 - 1.25)/4 = 1.25801, so 1.26.
// Of 1 yd3 as laid 1.26 are to be used, and 1.4 were: 1.11111. Beside 5 % that count as three: 1.05 + 0.06111/4 = 1.06528,
// so 6.5 %. Had the old factor stood, it would be 1.4/1.25 = 1.12 and 6.8 %: what compaction explains is not counted twice.
func TestAllowancesAreReckonedWithTheNewCompaction(t *testing.T) {
	t.Parallel()
	const used = `"materials":[{"line":"base","material":"base-crushed","measured":"1 yd3","used":"1.4 yd3"}]`
	c := calibrationOf(t, pricing.Sample(), "", used+`,"compaction":[{"material":"base-crushed","loose":"5 yd3","compacted":"3.9 yd3"}]`)
	require.Len(t, c.Figures, 2)
	assert.Equal(t, "/allowances/base 6.5", c.Figures[0].Pointer+" "+c.Figures[0].New.String())
	assert.Equal(t, pricing.CalibratedCompaction, c.Figures[1].Kind)
	assert.Equal(t, "1.26", c.Figures[1].New.String())
	assert.InDelta(t, 1.26, measure.Volume(c.Figures[0].Jobs[0].Estimated.Amount.Value).In(measure.CubicYard), 1e-9)
	c = calibrationOf(t, pricing.Sample(), "", used)
	assert.Equal(t, "6.8", c.Figures[0].New.String())
}

// Weights: 2 yd3 used 2.2 and 6 yd3 used 6.9 of 8 measured: 9.1/8 = 1.1375, not the mean of 1.1 and 1.15. With the list as
// two past jobs 1.05 + 0.0875/2 = 1.09375. The two jobs count 0.5 and 1.5: squares 0.5 x 0.0375^2 + 1.5 x 0.0125^2 =
// 0.0009375.
func TestAnAllowanceIsWhatAllJobsUsedOverWhatTheyMeasured(t *testing.T) {
	t.Parallel()
	stone := func(measured, used string) string {
		return fmt.Sprintf(`"materials":[{"line":"decorative_stone","material":"pebble-20","measured":"%s yd3","used":"%s yd3"}]`, measured, used)
	}
	c := calibrationOf(t, pricing.Sample(), `"prior_jobs":2,`, stone("2", "2.2"), stone("6", "6.9"))
	f := c.Figures[0]
	assert.Equal(t, "9.4", f.New.String())
	assert.InDelta(t, 13.75, float64(f.Own), 1e-9)
	assert.InDelta(t, 9.375, float64(f.Found), 1e-9)
	assert.InDelta(t, 0.0009375, float64(f.Estimate.Squares), 1e-12)
	// Several figures of one job are one: its counts do not double.
	both := calibrationOf(t, pricing.Sample(), `"prior_jobs":2,`, `"materials":[{"line":"decorative_stone","material":"pebble-20","measured":"2 yd3","used":"2.2 yd3"},{"line":"decorative_stone","material":"gravel-10","measured":"6 yd3","used":"6.9 yd3"}]`)
	assert.Equal(t, []string{"/past_jobs/0/materials/0", "/past_jobs/0/materials/1"}, both.Figures[0].Jobs[0].Pointers)
	assert.InDelta(t, 5+8.75/3, float64(both.Figures[0].Found), 1e-9)
}

// A mass of a loose material, an area of fabric and of slabs, each beside the same told otherwise: 2600 lb of base are 1 yd3
// by the list; a roll of fabric is 4 x 50 ft; a slab 18 x 18 in, so 9 ft2 are 4 slabs.
func TestQuantitiesOfPastJobsAreToldInTheUnitsThatCrewsHave(t *testing.T) {
	t.Parallel()
	of := func(material string) measure.Factor {
		c := calibrationOf(t, pricing.Sample(), "", `"materials":[`+material+`]`)
		return c.Figures[0].Jobs[0].Ratio
	}
	for _, pair := range [][2]string{
		{`{"line":"base","material":"base-crushed","measured":"2 yd3","used":"3 yd3"}`, `{"line":"base","material":"base-crushed","measured":"54 ft3","used":"7800 lb"}`},
		{`{"line":"fabric","material":"fabric-woven","measured":"400 ft2","used":3}`, `{"line":"fabric","material":"fabric-woven","measured":"400 ft2","used":"600 ft2"}`},
		{`{"line":"slabs","material":"slab-18","measured":40,"used":42}`, `{"line":"slabs","material":"slab-18","measured":"90 ft2","used":42}`},
		{`{"line":"pins","material":"pin-6","measured":100,"used":110}`, `{"line":"pins","material":"pin-6","measured":10,"used":11}`},
	} {
		assert.InEpsilon(t, float64(of(pair[0])), float64(of(pair[1])), 1e-9, pair[1])
		assert.NotEqual(t, 1.0, float64(of(pair[0])))
	}
}

// The ratios 1.2, 1.2, 1.1048, 12 and 1.1143 are worked in the contract's example: on logarithms the median is 0.18232, the
// median departure 0.07411, so the spread is 0.10987 and the limit 0.18232 + 3.5 x 0.10987 = 0.56686, a ratio of 1.7627. The
// mean is (2 x 0.18232 + 0.09963 + 0.56686 + 0.10821)/5 = 0.22787: 1.75 e^(0.625 x 0.22787) = 2.0179. In full: the mean
// 0.61148 and 2.5646. Without it: (2 x 0.18232 + 0.09963 + 0.10821)/4 = 0.14312, 1.75 e^(4/7 x 0.14312) = 1.8991.
func TestAnOutlierIsNamedAndCountsInThreeWays(t *testing.T) {
	t.Parallel()
	jobs := []string{dug("2", "4.2"), dug("3", "6.3"), dug("1.5", "2.9"), dug("1", "21"), dug("2", "3.9")}
	for way, want := range map[string]struct {
		found   float64
		counted int
		new     string
	}{`"limit"`: {2.0179, 5, "2.02"}, `"keep"`: {2.5646, 5, "2.56"}, `"set_aside"`: {1.8991, 4, "1.9"}} {
		c := calibrationOf(t, pricing.Sample(), `"outliers":`+way+`,`, append([]string{}, jobs...)...)
		f := c.Figures[0]
		assert.InDelta(t, want.found, float64(f.Found), 1e-4, way)
		assert.Equal(t, want.new, f.New.String(), way)
		assert.Equal(t, want.counted, f.Counted(), way)
		assert.Equal(t, 1, f.Outliers)
		require.Len(t, f.Jobs, 5, "an outlier is never left out of the answer")
		assert.True(t, f.Jobs[3].Outlier)
		assert.Contains(t, f.Sentence, "job 4 (12)")
		require.NotEmpty(t, c.Notices)
		assert.Equal(t, "outlier /past_jobs/3/hours/0", c.Notices[0].Code+" "+c.Notices[0].Where)
		require.Len(t, f.Others, 2)
	}
	c := calibrationOf(t, pricing.Sample(), "", jobs...)
	assert.Equal(t, estimate.Working{Label: "limit of job 4", Expression: "1.2 x e^(3.5 x 0.11)", Result: "1.763"}, c.Figures[0].Workings[0])
}

// hauls are rates that differ by what a figure says.
func hauls(d *pricing.Document) {
	d.Labour.Rates = []pricing.RateDocument{
		{Operation: "dig_bed", Per: pricing.Content{Quantity: "1 yd3"}, Hours: decimal.MustParse("2")},
		{Operation: "dig_bed", Soil: "clay", Per: pricing.Content{Quantity: "1 yd3"}, Hours: decimal.MustParse("3")},
		{Operation: "dig_bed", Tool: "machine", Per: pricing.Content{Quantity: "1 yd3"}, Hours: decimal.MustParse("0.5")},
		{Operation: "dig_bed", Tool: "machine", AccessFrom: "6 ft", Per: pricing.Content{Quantity: "1 yd3"}, Hours: decimal.MustParse("0.25")},
		{Operation: "strip_cover", Per: pricing.Content{Quantity: "100 ft2"}, Hours: decimal.MustParse("1")},
		{Operation: "strip_cover", Cover: "turf", Per: pricing.Content{Quantity: "100 ft2"}, Hours: decimal.MustParse("2")},
		{Operation: "haul_spoil", HaulTo: "50 ft", Per: pricing.Content{Quantity: "1 yd3"}, Hours: decimal.MustParse("0.5")},
		{Operation: "haul_spoil", HaulTo: "100 ft", Per: pricing.Content{Quantity: "1 yd3"}, Hours: decimal.MustParse("0.8")},
		{Operation: "lay_slabs", Per: pricing.Content{Count: 10}, Hours: decimal.MustParse("4")},
		{Operation: "lay_slabs", UnitMassTo: "60 lb", Per: pricing.Content{Count: 10}, Hours: decimal.MustParse("2.5")},
		{Operation: "clean_up", Per: pricing.Content{Count: 1}, Hours: decimal.Zero},
	}
}

func TestAFigureSpeaksOfTheRateThatAnEstimateWouldTake(t *testing.T) {
	t.Parallel()
	list := sampleWith(t, hauls)
	for _, c := range []struct {
		name, figure string
		rate         int
		estimated    float64
	}{
		{"nothing said", `"operation":"dig_bed","quantity":"1 yd3"`, 0, 2},
		{"another soil", `"operation":"dig_bed","soil":"loam","quantity":"1 yd3"`, 0, 2},
		{"the soil", `"operation":"dig_bed","soil":"clay","quantity":"1 yd3"`, 1, 3},
		{"by machine, a wide way in", `"operation":"dig_bed","tool":"machine","quantity":"1 yd3"`, 3, 0.25},
		{"by machine, a narrow way in", `"operation":"dig_bed","tool":"machine","access":"5 ft","quantity":"1 yd3"`, 2, 0.5},
		{"by hand", `"operation":"dig_bed","tool":"hand","soil":"clay","quantity":"1 yd3"`, 1, 3},
		{"the cover", `"operation":"strip_cover","cover":"turf","quantity":"50 ft2"`, 5, 1},
		{"another cover", `"operation":"strip_cover","cover":"gravel","quantity":"50 ft2"`, 4, 0.5},
		{"a short haul", `"operation":"haul_spoil","haul":"40 ft","quantity":"2 yd3"`, 6, 1},
		{"a longer haul", `"operation":"haul_spoil","haul":"51 ft","quantity":"2 yd3"`, 7, 1.6},
		{"a haul beyond all, stretched", `"operation":"haul_spoil","haul":"200 ft","quantity":"2 yd3"`, 7, 3.2},
		{"a light slab", `"operation":"lay_slabs","unit_mass":"55 lb","quantity":20`, 9, 5},
		{"a heavy slab", `"operation":"lay_slabs","unit_mass":"61 lb","quantity":20`, 8, 8},
	} {
		got := calibrationOf(t, list, "", `"hours":[{"hours":1,`+c.figure+`}]`)
		assert.Equal(t, fmt.Sprintf("/labour/rates/%d/hours", c.rate), got.Figures[0].Pointer, c.name)
		assert.InEpsilon(t, c.estimated, float64(got.Figures[0].Jobs[0].Estimated.Hours), 1e-9, c.name)
	}
	_, faults := calibrated(t, `{"past_jobs":[{"reference":"a","hours":[{"operation":"haul_spoil","quantity":"1 yd3","hours":1},{"operation":"lay_slabs","quantity":2,"hours":1},
		{"operation":"lay_paving","quantity":"2 ft2","hours":1},{"operation":"clean_up","quantity":1,"hours":1}]}]}`, list)
	assert.Equal(t, []string{"/past_jobs/0/hours/0/haul missing", "/past_jobs/0/hours/1/unit_mass missing", "/past_jobs/0/hours/2/operation missing_rate", "/past_jobs/0/hours/3/operation missing_rate"}, placed(faults))
}

func garageBed(t require.TestingT) string {
	text, err := os.ReadFile("../testdata/jobs/garage-bed.json")
	require.NoError(t, err)
	return string(text)
}

// A whole job brings its own quantities: the hours and the stone are those of its estimate.
func TestAWholeJobNeedsNoQuantities(t *testing.T) {
	t.Parallel()
	job := garageBed(t)
	q := quoteOf(t, job)
	c := calibrationOf(t, pricing.Sample(), "", `"job":`+job+`,"hours":[{"operation":"dig_trench","hours":4},{"operation":"haul_spoil","hours":2}],
		"materials":[{"line":"decorative_stone","used":"2.1 yd3"},{"line":"fabric","used":3},{"line":"edging","used":60}]`)
	byOperation := map[string]float64{}
	for _, l := range q.Lines {
		if l.Work != nil {
			hours, _ := l.Hours.Float64()
			byOperation[string(l.Work.Operation)] += hours
		}
	}
	seen := 0
	for _, f := range c.Figures {
		switch {
		case f.Kind == pricing.CalibratedRate:
			seen++
			assert.InDelta(t, byOperation[string(f.Rate.Operation)], float64(f.Jobs[0].Estimated.Hours), 0.0051, "%s", f.Rate.Operation)
		case f.Line == estimate.DecorativeStone, f.Line == estimate.Edging, f.Line == estimate.Fabric:
			for _, l := range q.Takeoff.Lines {
				want := l.Measured.Value
				if l.Key == estimate.Fabric {
					want = l.Cover.Value
				}
				if l.Key == f.Line {
					seen++
					assert.InEpsilon(t, want, f.Jobs[0].Estimated.Amount.Value, 1e-12)
				}
			}
		}
	}
	assert.Equal(t, 5, seen)
	_, faults := calibrated(t, `{"past_jobs":[{"reference":"a","job":`+job+`,"hours":[{"operation":"lay_paving","hours":4},{"operation":"dig_bed","quantity":"2 ft","hours":1}],
		"materials":[{"line":"planter_soil","used":"1 yd3"},{"line":"base","material":"base-clear","used":"1 yd3"}]},{"reference":"b","job":{"beds":[]},"hours":[{"operation":"dig_bed","hours":4}]}]}`, pricing.Sample())
	assert.Equal(t, []string{"/past_jobs/0/hours/0/operation conflict", "/past_jobs/0/hours/1/quantity bad_quantity", "/past_jobs/0/materials/0/line conflict", "/past_jobs/0/materials/1/material conflict",
		"/past_jobs/1/job empty_job", "/past_jobs/1/job/ground missing"}, placed(faults))
}

func TestFaultsOfPastJobsComeTogether(t *testing.T) {
	t.Parallel()
	_, faults := calibrated(t, `{"prior_jobs":0,"outliers":"drop","colour":1,"past_jobs":[
		{"reference":"a","date":"2027-02-30"},
		{"reference":"a","hours":[]},
		{"hours":[{"operation":"dig_bde","quantity":"1 yd3","hours":1},{"operation":"dig_bed","quantity":1,"hours":1},{"operation":"dig_bed","quantity":"1 ft2","hours":0},{"operation":"lay_edging","quantity":"2 yd3","hours":"1"},
			{"operation":"dig_bed","soil":"rock","quantity":"1 yd3","hours":1},{"operation":"dig_bed","quantity":"1 yd3","hours":9000},{"operation":"dig_bed","hours":1,"haul":60}]},
		{"reference":"c","materials":[{"line":"stone","material":"pebble-20","measured":"1 yd3","used":"1 yd3"},{"line":"base","material":"slab-18","measured":"1 yd3","used":"1 yd3"},
			{"line":"base","material":"no-such","measured":"1 yd3","used":"1 yd3"},{"line":"base","material":"base-crushed","measured":"2000 lb","used":"100 ft2"},{"line":"slabs","material":"slab-18","measured":1.5,"used":0},{}]},
		{"reference":"d","compaction":[{"material":"slab-18","loose":"1 yd3","compacted":"1 yd3"},{"material":"base-crushed","loose":5,"compacted":"4 lb"},{"material":"base-crushed"}]},
		7]}`, pricing.Sample())
	assert.Equal(t, []string{"/prior_jobs out_of_range", "/outliers unknown_value", "/colour unknown_member",
		"/past_jobs/0/date bad_date", "/past_jobs/0/hours missing", "/past_jobs/1/reference duplicate_id", "/past_jobs/1/hours out_of_range",
		"/past_jobs/2/hours/0/operation unknown_value", "/past_jobs/2/hours/1/quantity unit_missing", "/past_jobs/2/hours/2/quantity bad_quantity", "/past_jobs/2/hours/2/hours out_of_range",
		"/past_jobs/2/hours/3/quantity wrong_type", "/past_jobs/2/hours/3/hours wrong_type", "/past_jobs/2/hours/4/soil unknown_soil", "/past_jobs/2/hours/5/hours out_of_range",
		"/past_jobs/2/hours/6/haul unit_missing", "/past_jobs/2/hours/6/quantity missing", "/past_jobs/2/reference missing",
		"/past_jobs/3/materials/0/line unknown_value", "/past_jobs/3/materials/1/material wrong_kind", "/past_jobs/3/materials/2/material unknown_material",
		"/past_jobs/3/materials/3/measured no_conversion", "/past_jobs/3/materials/3/used no_conversion", "/past_jobs/3/materials/4/measured wrong_type", "/past_jobs/3/materials/4/used out_of_range",
		"/past_jobs/3/materials/5/line missing", "/past_jobs/3/materials/5/material missing", "/past_jobs/3/materials/5/measured missing", "/past_jobs/3/materials/5/used missing",
		"/past_jobs/4/compaction/0/material wrong_kind", "/past_jobs/4/compaction/1/loose unit_missing", "/past_jobs/4/compaction/1/compacted no_conversion", "/past_jobs/4/compaction/2/loose missing", "/past_jobs/4/compaction/2/compacted missing",
		"/past_jobs/5 wrong_type"}, placed(faults))
	for _, f := range faults {
		assert.True(t, f.Example == "" || json.Valid([]byte(f.Example)), "%+v", f)
	}
	_, faults = calibrated(t, `{"price_list":"winter","past_jobs":[{"reference":"a","hours":[{"operation":"dig_bed","hours":1}]}]}`, pricing.Sample())
	assert.Equal(t, []string{"/price_list unknown_price_list", "/past_jobs/0/hours/0/quantity missing"}, placed(faults))
}

func TestOnlySoManyFiguresAreTaken(t *testing.T) {
	t.Parallel()
	var jobs []string
	for i := range 101 {
		jobs = append(jobs, fmt.Sprintf(`{"reference":"%d","compaction":[%s]}`, i, strings.TrimSuffix(strings.Repeat(`{"material":"base-crushed","loose":"5 yd3","compacted":"4 yd3"},`, 199), ",")))
	}
	_, faults := calibrated(t, `{"past_jobs":[`+strings.Join(jobs, ",")+`]}`, pricing.Sample())
	assert.Equal(t, []string{"/past_jobs/100/compaction/100 too_many"}, placed(faults)) // 100 x 199 = 19,900
}

// What a price list may say bounds what past jobs can make of it.
func TestFiguresStayWithinWhatAListMaySay(t *testing.T) {
	t.Parallel()
	c := calibrationOf(t, pricing.Sample(), `"prior_jobs":1,`, `"materials":[{"line":"base","material":"base-crushed","measured":"4 yd3","used":"1 yd3"},{"line":"slabs","material":"slab-18","measured":1,"used":900}],
		"compaction":[{"material":"base-clear","loose":"1 yd3","compacted":"9 yd3"}]`)
	require.Len(t, c.Figures, 3)
	for _, f := range c.Figures {
		assert.True(t, f.Limited)
	}
	var codes []string
	for _, n := range c.Notices {
		codes = append(codes, n.Code)
	}
	assert.Equal(t, []string{"0", "200", "1"}, []string{c.Figures[0].New.String(), c.Figures[1].New.String(), c.Figures[2].New.String()})
	assert.Subset(t, codes, []string{"at_limit", "far_from_list", "few_past_jobs"})
	applied(t, pricing.Sample(), c.Patch)
}

// season draws past jobs that a request may have, without references.
func season() *rapid.Generator[[]string] {
	return rapid.Custom(func(t *rapid.T) []string {
		var jobs []string
		for i := range rapid.IntRange(1, 8).Draw(t, "jobs") {
			number := func(label string) string {
				return fmt.Sprintf("%d.%d", rapid.IntRange(1, 12).Draw(t, label), rapid.IntRange(0, 9).Draw(t, label))
			}
			jobs = append(jobs, fmt.Sprintf(`{"reference":"r%d",%s,"materials":[{"line":"decorative_stone","material":"pebble-20","measured":"%s yd3","used":"%s yd3"},{"line":"base","material":"base-crushed","measured":"%s yd3","used":"%s yd3"}],
				"compaction":[{"material":"base-crushed","loose":"%s yd3","compacted":"%s yd3"}]}`, i, dug(number("dug"), number("hours")), number("m"), number("u"), number("bm"), number("bu"), number("l"), number("c")))
		}
		return jobs
	})
}

func TestTheOrderOfPastJobsHasNoBearingOnTheFigures(t *testing.T) {
	t.Parallel()
	list := pricing.Sample()
	rapid.Check(t, func(t *rapid.T) {
		jobs := season().Draw(t, "season")
		turned := rapid.Permutation(jobs).Draw(t, "turned")
		a, b := calibrationOf(t, list, "", jobs...), calibrationOf(t, list, "", turned...)
		assert.Equal(t, a.Patch, b.Patch)
		for i := range a.Figures {
			assert.Equal(t, a.Figures[i].Estimate, b.Figures[i].Estimate)
			assert.Equal(t, a.Figures[i].Others, b.Figures[i].Others)
		}
	})
}

func TestTheUnitsOfPastJobsHaveNoBearing(t *testing.T) {
	t.Parallel()
	list := pricing.Sample()
	rapid.Check(t, func(t *rapid.T) {
		jobs := season().Draw(t, "season")
		var metric []string
		for _, j := range jobs {
			metric = append(metric, strings.ReplaceAll(j, " yd3", " m3"))
		}
		// Of every ratio of volumes both sides grow alike; only the digging has another ratio.
		a, b := calibrationOf(t, list, "", jobs...), calibrationOf(t, list, `"units":"metric",`, metric...)
		for i := range a.Figures {
			if a.Figures[i].Kind != pricing.CalibratedRate {
				assert.Equal(t, a.Figures[i].New, b.Figures[i].New)
				assert.InDelta(t, float64(a.Figures[i].Found), float64(b.Figures[i].Found), 1e-9)
			}
		}
	})
}

func TestAListThatCountsAsVeryManyJobsStands(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		last := math.Inf(1)
		list, jobs := pricing.Sample(), season().Draw(t, "season")
		for _, prior := range []int{1, 30, 1000} {
			c := calibrationOf(t, list, fmt.Sprintf(`"prior_jobs":%d,`, prior), jobs...)
			f := c.Figures[0]
			off := math.Abs(math.Log(float64(f.Found) / 1.75))
			assert.LessOrEqual(t, off, last+1e-12)
			last = off
			applied(t, list, c.Patch)
		}
		assert.Less(t, last, 8*math.Log(13/1.)/1000+0.02)
	})
}

func FuzzCalibration(f *testing.F) {
	list := pricing.Sample()
	f.Add(`{"past_jobs":[{"reference":"a",` + dug("4", "7") + `}]}`)
	f.Add(`{"prior_jobs":1,"outliers":"keep","past_jobs":[{"reference":"a","materials":[{"line":"base","material":"base-crushed","measured":"1 yd3","used":"1.4 ton"}],"compaction":[{"material":"base-crushed","loose":"5 yd3","compacted":"4 yd3"}]}]}`)
	f.Add(`{"past_jobs":[{"reference":"a","job":{"ground":{"soil":"loam","cover":"turf","haul":"60 ft"},"beds":[{"id":"b","outline":{"kind":"circle","radius":"3 ft"},"dig":"4 in"}]},"hours":[{"operation":"dig_bed","hours":3}]}]}`)
	f.Fuzz(func(t *testing.T, text string) {
		root, err := document.Parse([]byte(text))
		if err != nil {
			return
		}
		c, faults, err := pricing.Calibrate(background, pricing.Fixed(list), root, []byte(text))
		require.NoError(t, err)
		require.True(t, (c == nil) == (len(faults) > 0))
		if c == nil {
			return
		}
		for _, figure := range c.Figures {
			require.False(t, math.IsNaN(float64(figure.Found)) || math.IsInf(float64(figure.High), 0), "%+v", figure)
		}
		applied(t, list, c.Patch)
	})
}
