package pricing_test

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/pricing"
	"bedline/pricing/schedule"
)

// plannedOf is the task of an operation in the plan of a quote.
func plannedOf(t require.TestingT, q *pricing.Quote, op estimate.Operation) *pricing.PlannedTask {
	for i := range q.Plan.Tasks {
		if q.Plan.Tasks[i].Operation == op {
			return &q.Plan.Tasks[i]
		}
	}
	require.Failf(t, "no task", "of %s", op)
	return nil
}

// The bed of testdata/jobs/bed-before-the-holiday.json, day by day on paper. Two people, 7:30 to 15:30 with half an hour at
// noon, from Monday 2027-05-24; Monday 2027-05-31 is a holiday. Lengths are hours x 60 / people, the begun minute full.
func TestBedBeforeTheHolidayByHand(t *testing.T) {
	t.Parallel()
	q := quoteOf(t, jobFile(t, "bed-before-the-holiday.json"))
	for _, want := range []struct {
		op                estimate.Operation
		hours, start, end string
	}{
		{estimate.LocateUtilities, "0.50", "2027-05-24T07:30", "2027-05-24T08:00"}, // one person
		// Tuesday, Wednesday and Thursday for the marks.
		{estimate.SetOut, "0.69", "2027-05-28T07:30", "2027-05-28T07:51"},        // 20.7
		{estimate.DigBed, "3.67", "2027-05-28T07:51", "2027-05-28T09:42"},        // 110.1: 111
		{estimate.DigTrench, "0.56", "2027-05-28T09:42", "2027-05-28T09:59"},     // 16.8
		{estimate.HaulSpoil, "2.19", "2027-05-28T09:59", "2027-05-28T11:05"},     // 65.7
		{estimate.TrimFormation, "0.96", "2027-05-28T11:05", "2027-05-28T11:34"}, // 28.8
		{estimate.HaulMaterials, "2.71", "2027-05-28T11:34", "2027-05-28T13:26"}, // 81.3: 82, 26 of them before noon
		{estimate.LayFabric, "0.72", "2027-05-28T13:26", "2027-05-28T13:48"},     // 21.6
		{estimate.PlaceBase, "0.07", "2027-05-28T13:48", "2027-05-28T13:51"},     // 2.1
		{estimate.CompactBase, "0.27", "2027-05-28T13:51", "2027-05-28T14:00"},   // 8.1
		{estimate.ScreedSand, "0.20", "2027-05-28T14:00", "2027-05-28T14:06"},    // 6
		{estimate.LayEdging, "2.70", "2027-05-28T14:06", "2027-05-28T15:27"},     // 81
		{estimate.CutUnits, "0.15", "2027-05-28T15:27", "2027-06-01T07:36"},      // 9 of one person: 3 on Friday, 6 on Tuesday
		{estimate.FillJoints, "0.10", "2027-06-01T07:36", "2027-06-01T07:39"},    // 12 h after the edging is Saturday night
		{estimate.WetAndCure, "0.02", "2027-06-01T07:39", "2027-06-01T07:41"},    // 1.2 of one person
		{estimate.PlaceStone, "1.32", "2027-06-02T07:41", "2027-06-02T08:21"},    // a day later; 39.6
		{estimate.CleanUp, "1.50", "2027-06-02T08:21", "2027-06-02T09:06"},       // 45
	} {
		task := plannedOf(t, q, want.op)
		assert.Equal(t, want.hours, task.Hours.Pad(2).String(), want.op)
		assert.Equal(t, want.start, q.Plan.Calendar.Start(task.Start).String(), want.op)
		assert.Equal(t, want.end, q.Plan.Calendar.End(task.End).String(), want.op)
	}
	// Six working days and 36 + 60 minutes: 6 x 450 + 96.
	assert.EqualValues(t, 2796, q.Plan.Length)
	assert.True(t, q.Plan.Shortest)
	assert.EqualValues(t, 0, plannedOf(t, q, estimate.FillJoints).Times.Slack)
	assert.Zero(t, q.Totals.Equipment, "the request cuts by hand, and every machine is dearer")
	until := map[pricing.HoldKey]string{}
	for _, h := range q.Plan.Holds {
		until[h.Key] = h.Until.String()
	}
	assert.Equal(t, map[pricing.HoldKey]string{pricing.UtilityMarking: "2027-05-28T00:00", pricing.JointCure: "2027-06-02T07:41",
		pricing.JointDry: "2027-06-02T07:41", "": "2027-05-29T03:27"}, until)
}

// crewed is a dug bed with edging, joints and stone, and a member crew.
func crewed(crew string) string {
	return `{"ground":{"soil":"loam","cover":"turf","haul":"60 ft"},"beds":[{"id":"b","outline":{"kind":"rectangle","length":"20 ft","width":"6 ft"},"dig":"3 in",` +
		`"stone":{"material":"pebble-20","depth":"3 in"},"edging":{"unit":"edger-8x4","course":"sailor","sides":[0],"sand":{"material":"sand-bedding","depth":"1 in"},` +
		`"joint":{"width":"1/8 in","fill":"sand-polymeric"}}}],"crew":` + crew + `}`
}

func TestFaultsOfACrew(t *testing.T) {
	t.Parallel()
	for crew, want := range map[string][]string{
		`{"size":0}`:             {"/crew/size out_of_range"},
		`{"size":51}`:            {"/crew/size out_of_range"},
		`{"size":1.5}`:           {"/crew/size wrong_type"},
		`{"hours_per_day":0}`:    {"/crew/hours_per_day out_of_range"},
		`{"people":2}`:           {"/crew/people unknown_member"},
		`{"start":"12 April"}`:   {"/crew/start bad_date"},
		`{"start":"2027-02-29"}`: {"/crew/start bad_date"},
		`{"start":"1969-12-31"}`: {"/crew/start out_of_range"},
		`{"start":"2027-04-17"}`: {"/crew/start not_a_working_day"}, // a Saturday
		`{"start":"2027-05-31","holidays":["2027-05-31"]}`:                                          {"/crew/start not_a_working_day"},
		`{"start":"2027-04-12","starts_at":"7:30"}`:                                                 {"/crew/starts_at bad_time"},
		`{"start":"2027-04-12","starts_at":"25:00"}`:                                                {"/crew/starts_at bad_time"},
		`{"start":"2027-04-12","starts_at":"20:00"}`:                                                {"/crew/starts_at day_too_long"},
		`{"start":"2027-04-12","breaks":[{"at":"12:00","minutes":30},{"at":"12:15","minutes":30}]}`: {"/crew/breaks bad_breaks"},
		`{"start":"2027-04-12","breaks":[{"at":"04:00","minutes":30}]}`:                             {"/crew/breaks bad_breaks"},
		`{"start":"2027-04-12","breaks":[{"at":"noon","minutes":0}]}`:                               {"/crew/breaks/0/at bad_time", "/crew/breaks/0/minutes out_of_range"},
		`{"start":"2027-04-12","work_days":[]}`:                                                     {"/crew/work_days out_of_range"},
		`{"start":"2027-04-12","work_days":["mon","mon"]}`:                                          {"/crew/work_days/1 duplicate_item"},
		`{"start":"2027-04-12","work_days":["monday"]}`:                                             {"/crew/work_days/0 unknown_value"},
		`{"start":"2027-04-12","holidays":["2027-13-01"]}`:                                          {"/crew/holidays/0 bad_date"},
		`{"starts_at":"07:30","holidays":[]}`:                                                       {"/crew/starts_at missing", "/crew/holidays missing"},
		`{"zone":"America/Chicago"}`:                                                                {"/crew/zone missing"},
		`{"start":"2027-04-12","zone":"America/Nowhere"}`:                                           {"/crew/zone unknown_zone"},
		`{"start":"2027-04-12","zone":"Local"}`:                                                     {"/crew/zone unknown_zone"},
		`{"start":"2027-04-12","zone":"localtime"}`:                                                 {"/crew/zone unknown_zone"},
		`{"start":"2027-04-12","zone":"right/America/Chicago"}`:                                     {"/crew/zone unknown_zone"},
		`{"start":"2027-04-12","zone":"../../etc/passwd"}`:                                          {"/crew/zone unknown_zone"},
		`{"start":"2027-04-12","zone":""}`:                                                          {"/crew/zone unknown_zone"},
		`{"waits":[{"task":"place_stone","for":"lay_patio"}]}`:                                      {"/crew/waits/0/for unknown_value"},
		`{"waits":[{"task":"place_stone","for":"lay_edging","hours":1,"working_days":1}]}`:          {"/crew/waits/0/working_days conflict"},
		`{"waits":[{"task":"place_stone"}]}`:                                                        {"/crew/waits/0/for missing"},
		`{"waits":[{"task":"dig_bed","for":"place_stone"}]}`:                                        {"/crew/waits circular_waits"},
		`{"waits":[{"task":"dig_bed","for":"dig_bed"}]}`:                                            {"/crew/waits circular_waits"},
		`{"tools":{"lay_edging":"machine"}}`:                                                        {"/crew/tools/lay_edging missing_rate"},
		`{"tools":{"dig_bed":"spade"}}`:                                                             {"/crew/tools/dig_bed unknown_value"},
		`{"tools":{"dig":"hand"}}`:                                                                  {"/crew/tools/dig unknown_member"},
		`{"size":0,"start":"2027-04-17"}`:                                                           {"/crew/size out_of_range", "/crew/start not_a_working_day"},
	} {
		assert.Equal(t, want, faulted(t, crewed(crew)), crew)
	}
	_, faults, err := ask(t, crewed(`{"start":"2027-04-17","holidays":["2027-04-19"]}`))
	require.NoError(t, err)
	require.Len(t, faults, 1)
	assert.Equal(t, `"2027-04-20"`, faults[0].Example)
	assert.Contains(t, faults[0].Detail, "2027-04-20")
	_, faults, err = ask(t, crewed(`{"waits":[{"task":"dig_bed","for":"place_stone"}]}`))
	require.NoError(t, err)
	require.Len(t, faults, 1)
	for _, op := range []string{"dig_bed waits for place_stone", "place_stone waits for wet_and_cure", "waits for dig_bed"} {
		assert.Contains(t, faults[0].Detail, op, "the circle is named")
	}
}

// A rate that is missing is named, with a crew as without.
func TestMissingRatesAreNamedBesideACrew(t *testing.T) {
	t.Parallel()
	list := sampleWith(t, func(d *pricing.Document) {
		var kept []pricing.RateDocument
		for _, r := range d.Labour.Rates {
			if r.Operation != "lay_edging" {
				kept = append(kept, r)
			}
		}
		d.Labour.Rates = kept
	})
	assert.Equal(t, []string{"/price_list missing_rate"}, faulted(t, crewed(`{"size":2}`), list))
}

func noticed(q *pricing.Quote, code string) bool {
	for _, n := range q.Notices {
		if n.Code == code {
			return true
		}
	}
	return false
}

func TestACrewThatNobodySaysIsAssumedAndSaid(t *testing.T) {
	t.Parallel()
	silent := sampleWith(t, func(d *pricing.Document) { d.Labour.CrewSize, d.Labour.HoursPerDay = nil, nil })
	q := quoteOf(t, crewed(`{}`), silent)
	assert.Equal(t, [2]int{2, 480}, [2]int{q.Plan.Crew.Size, int(q.Plan.Crew.PerDay)})
	assert.True(t, noticed(q, "crew_assumed"))
	assert.False(t, q.Plan.Calendar.IsDated())
	assert.False(t, noticed(quoteOf(t, crewed(`{"size":3,"hours_per_day":7}`), silent), "crew_assumed"))
	large := sampleWith(t, func(d *pricing.Document) {
		d.Labour.CrewSize, d.Labour.HoursPerDay = decPointer("4"), decPointer("7.5")
	})
	q = quoteOf(t, crewed(`{}`), large)
	assert.Equal(t, [2]int{4, 450}, [2]int{q.Plan.Crew.Size, int(q.Plan.Crew.PerDay)})
	assert.False(t, noticed(q, "crew_assumed"))
	assert.Equal(t, 3, quoteOf(t, crewed(`{"size":3}`), large).Plan.Crew.Size, "the request goes before the list")
}

// Without a start three days go by for the marks, whatever days they are: digging begins on the fifth working day.
func TestAPlanWithoutAStartCountsWorkingDays(t *testing.T) {
	t.Parallel()
	q := quoteOf(t, crewed(`{"hours_per_day":8}`))
	assert.EqualValues(t, 4*480, plannedOf(t, q, estimate.SetOut).Start)
	q = quoteOf(t, crewed(`{"hours_per_day":8,"utilities_marked":true}`))
	assert.EqualValues(t, 30, plannedOf(t, q, estimate.SetOut).Start, "nothing waits for marks that are there")
	assert.True(t, q.Plan.MarksFirst)
	list := sampleWith(t, func(d *pricing.Document) { d.Holds[0].WorkingDays = decPointer("1") })
	assert.EqualValues(t, 2*480, plannedOf(t, quoteOf(t, crewed(`{}`), list), estimate.SetOut).Start, "the list says how long")
	none := sampleWith(t, func(d *pricing.Document) { d.Holds = nil })
	q = quoteOf(t, crewed(`{}`), none)
	assert.EqualValues(t, 4*480, plannedOf(t, q, estimate.SetOut).Start, "common practice where the list says nothing")
	assert.Contains(t, plannedOf(t, q, estimate.SetOut).Waits[0].Holds[0].Source, "29 CFR 1926.651(b)")
}

// Marks for Monday 2027-04-12: Wednesday, Thursday and Friday before it are whole days, so the call is on Tuesday.
func TestMarkingBeforeTheStartIsAskedForInTime(t *testing.T) {
	t.Parallel()
	q := quoteOf(t, crewed(`{"start":"2027-04-12","utilities_marked":true}`))
	assert.Equal(t, "2027-04-06", q.Plan.MarkBy.String())
}

func TestGoodsAreOrderedBeforeTheTaskThatTakesThem(t *testing.T) {
	t.Parallel()
	list := sampleWith(t, func(d *pricing.Document) {
		for i := range d.Offers {
			d.Offers[i].LeadDays = decPointer("5")
		}
	})
	q := quoteOf(t, crewed(`{"start":"2027-04-12"}`), list)
	require.NotEmpty(t, q.Plan.Deliveries)
	bought := map[string]bool{}
	for i := range q.Lines {
		for _, o := range q.Lines[i].Orders {
			bought[o.Supplier] = true
		}
	}
	assert.Len(t, q.Plan.Deliveries, len(bought))
	// Called on Monday the 12th, marked by the 15th: materials come in on Friday the 16th, so they are ordered by the 11th.
	for _, d := range q.Plan.Deliveries {
		assert.Equal(t, estimate.HaulMaterials, d.For)
		assert.Equal(t, "2027-04-16", q.Plan.Calendar.Start(d.Needed).Day().String())
		assert.Equal(t, "2027-04-11", d.OrderBy.String())
		assert.True(t, d.Early)
	}
}

func TestHeavySlabsTakeTwo(t *testing.T) {
	t.Parallel()
	// A slab of 24 x 24 x 2 in weighs 96 lb in the sample list: above 51.
	text := `{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"slabs":[{"id":"a","unit":"slab-24","rows":2,"columns":2,"at":["0 ft","0 ft"]}],"crew":{"size":%d}}`
	one := quoteOf(t, fmt.Sprintf(text, 1))
	assert.True(t, noticed(one, "crew_too_small"))
	assert.Equal(t, 2, plannedOf(t, one, estimate.LaySlabs).Needed)
	assert.False(t, noticed(quoteOf(t, fmt.Sprintf(text, 2)), "crew_too_small"))
}

func TestAWaitForWhatTheJobLacksIsSaid(t *testing.T) {
	t.Parallel()
	assert.True(t, noticed(quoteOf(t, crewed(`{"waits":[{"task":"place_stone","for":"lay_slabs"}]}`)), "wait_unused"))
	assert.False(t, noticed(quoteOf(t, crewed(`{"waits":[{"task":"place_stone","for":"lay_edging"}]}`)), "wait_unused"))
}

// Over all sample jobs and crews: no task before what it waits for and its holds; never more people at work than there
// are; digging never before the marks; the plan no shorter than the critical path, and no longer with one more person.
func TestPlansOfAllJobsHold(t *testing.T) {
	t.Parallel()
	files, err := filepath.Glob(filepath.Join("..", "testdata", "jobs", "*.json"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		text := strings.TrimSpace(jobFile(t, filepath.Base(file)))
		for size := 1; size <= 4; size++ {
			q := quoteOf(t, withCrew(text, fmt.Sprintf(`{"size":%d,"start":"2027-04-14","holidays":["2027-04-20"]}`, size)))
			p := q.Plan
			c := p.Calendar
			assert.GreaterOrEqual(t, p.Length, p.PathLength)
			ends := map[estimate.Operation]schedule.Minutes{}
			for i := range p.Tasks {
				ends[p.Tasks[i].Operation] = p.Tasks[i].End
			}
			assert.Len(t, ends, len(p.Tasks), "an operation is one task")
			for i := range p.Tasks {
				task := &p.Tasks[i]
				for _, w := range task.Waits {
					end, ok := ends[w.For]
					require.True(t, ok)
					assert.GreaterOrEqual(t, task.Start, end)
					for _, h := range w.Holds {
						assert.GreaterOrEqual(t, float64(c.Start(task.Start)-c.End(end)), 60*float64(h.Hours))
						assert.GreaterOrEqual(t, int(c.Start(task.Start).Day()-c.End(end).Day()), h.WorkingDays)
					}
				}
				busy := 0
				for k := range p.Tasks {
					if o := &p.Tasks[k]; o.Start <= task.Start && task.Start < o.End {
						busy += o.People
					}
				}
				assert.LessOrEqual(t, busy, size, file)
				if marks, ok := ends[estimate.LocateUtilities]; ok && task.Operation != estimate.LocateUtilities {
					assert.Greater(t, task.Start, marks+3*480-480, "%s: %s before the marks", file, task.Operation)
				}
			}
		}
	}
}

// withCrew puts a member crew into the text of a job, instead of its own.
func withCrew(text, crew string) string {
	if at := strings.LastIndex(text, `"crew":`); at >= 0 {
		text = strings.TrimRight(strings.TrimSpace(text[:at]), ",") + "}"
	}
	return strings.TrimSuffix(text, "}") + `,"crew":` + crew + "}"
}

// Whatever a crew member says, it is answered or refused with faults below it.
func FuzzCrew(f *testing.F) {
	for _, seed := range []string{`{}`, `{"size":2,"start":"2027-04-12","starts_at":"07:30","breaks":[{"at":"12:00","minutes":30}],"work_days":["mon"],"holidays":["2027-05-31"]}`,
		`{"waits":[{"task":"place_stone","for":"lay_edging","hours":24}],"tools":{"dig_bed":"machine"}}`, `{"hours_per_day":0.5,"size":50}`, `{"start":"2027-04-12","zone":"America/Chicago"}`, `{"start":"2999-12-31"}`} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, crew string) {
		if strings.ContainsAny(crew, "\x00") || len(crew) > 2000 {
			return
		}
		var text = crewed(crew)
		q, faults, err := tryAsk(text)
		if err != nil {
			return // no JSON
		}
		if q == nil {
			require.NotEmpty(t, faults)
			return
		}
		assert.GreaterOrEqual(t, q.Plan.Length, q.Plan.PathLength)
	})
}

// One digger digs the bed and the trench, in the order that the request asks for.
func TestOneMachineDoesOneTaskAfterTheOther(t *testing.T) {
	t.Parallel()
	for _, wait := range []string{`{"task":"dig_trench","for":"dig_bed"}`, `{"task":"dig_bed","for":"dig_trench"}`} {
		q := quoteOf(t, crewed(`{"size":4,"tools":{"dig_bed":"machine","dig_trench":"machine"},"waits":[`+wait+`]}`))
		bed, trench := plannedOf(t, q, estimate.DigBed), plannedOf(t, q, estimate.DigTrench)
		assert.Equal(t, strings.HasPrefix(wait, `{"task":"dig_trench"`), bed.End <= trench.Start, wait)
	}
	// Four people could do both at once, two at each; the digger can't.
	q := quoteOf(t, crewed(`{"size":4,"tools":{"dig_bed":"machine","dig_trench":"machine"}}`))
	bed, trench := plannedOf(t, q, estimate.DigBed), plannedOf(t, q, estimate.DigTrench)
	assert.True(t, bed.End <= trench.Start || trench.End <= bed.Start)
	waits := append(append([]pricing.PlannedWait{}, bed.Waits...), trench.Waits...)
	assert.True(t, slices.ContainsFunc(waits, func(w pricing.PlannedWait) bool { return w.Reason == "both take the mini-digger" }))
}

func TestAnotherWaitOfTheRequestNeverShortensAPlan(t *testing.T) {
	t.Parallel()
	var operations []string
	base := quoteOf(t, crewed(`{"start":"2027-04-12"}`))
	for i := range base.Plan.Tasks {
		operations = append(operations, string(base.Plan.Tasks[i].Operation))
	}
	rapid.Check(t, func(r *rapid.T) {
		a, b := rapid.SampledFrom(operations).Draw(r, "task"), rapid.SampledFrom(operations).Draw(r, "for")
		q, faults, err := ask(r, crewed(fmt.Sprintf(`{"start":"2027-04-12","waits":[{"task":%q,"for":%q,"hours":%d}]}`, a, b, rapid.IntRange(0, 100).Draw(r, "hours"))))
		require.NoError(r, err)
		if len(faults) > 0 {
			assert.Equal(r, "circular_waits", faults[0].Code)
			return
		}
		if sameTools(base, q) {
			assert.GreaterOrEqual(r, q.Plan.Length, base.Plan.Length)
		}
	})
}

func sameTools(a, b *pricing.Quote) bool {
	for i := range a.Hires {
		if a.Hires[i].Chosen != b.Hires[i].Chosen {
			return false
		}
	}
	return len(a.Hires) == len(b.Hires)
}

// tryAsk is ask for texts that may be no JSON.
func tryAsk(text string) (*pricing.Quote, []document.Fault, error) {
	root, err := document.Parse([]byte(text))
	if err != nil {
		return nil, nil, err
	}
	return pricing.Estimate(context.Background(), pricing.Fixed(pricing.Sample()), root, []byte(text))
}
