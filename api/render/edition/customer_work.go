package edition

import (
	"strings"

	"bedline/api/render/page"
	"bedline/estimate"
	"bedline/estimate/measure"
	"bedline/pricing"
)

// included lists what the price pays for.
func (c *customer) included() {
	c.heading("included")
	items := []string{c.say("included.materials")}
	for _, op := range pricing.Operations() {
		if c.priced(op) {
			items = append(items, c.work(c.quote, op))
		}
	}
	for i := range c.quote.Lines {
		if c.quote.Lines[i].Hire != nil {
			items = append(items, c.say("included.machines"))
			break
		}
	}
	if c.quote.Takeoff.Spoil.Bank > 0 && c.quote.List.Disposal != nil {
		items = append(items, c.say("included.dumping"))
	}
	list := &page.List{Columns: true}
	for _, words := range items {
		list.Items = append(list.Items, page.Plain(words))
	}
	c.add(list)
}

// work names a kind of work of a job. Units of edging and of borders are laid alike, and what is dug under all that is laid
// is one kind of digging.
func (c *customer) work(q *pricing.Quote, op estimate.Operation) string {
	key := "work." + string(op)
	if op == estimate.DigTrench {
		var under []string
		if len(q.Takeoff.Courses) > 0 {
			under = append(under, c.say("under.edging"))
		}
		if len(q.Takeoff.Slabs) > 0 {
			under = append(under, c.say("under.slabs"))
		}
		if len(q.Takeoff.Paving) > 0 {
			under = append(under, c.say("under.paving"))
		}
		return c.say(key, "what", c.words.List(under))
	}
	if op == estimate.LayEdging {
		for i := range q.Takeoff.Paving {
			if q.Takeoff.Paving[i].Border == nil {
				continue
			}
			if len(q.Takeoff.Courses) > 0 {
				return c.say(key + "_both")
			}
			return c.say(key + "_border")
		}
	}
	return c.say(key)
}

// leastFill is the ground below which low ground is rounding error; a square of 1 cm.
const leastFill measure.Area = 1e-4

// excluded lists what a reader might take to be in the price and is not: first what this job leaves out, then what such
// work leaves out as a rule.
func (c *customer) excluded() {
	q := c.quote
	c.heading("excluded")
	var items []string
	say := func(key string, values ...string) { items = append(items, c.say("excluded."+key, values...)) }
	if c.noticed("fill_needed") {
		for i := range q.Takeoff.Diggings {
			if d := &q.Takeoff.Diggings[i]; d.Earthwork != nil && d.Earthwork.FillArea > leastFill {
				say("fill", "id", d.Zone, "part", c.say("part."+string(d.Part)), "volume", c.words.Volume(d.Earthwork.Fill, q.Job.System))
			}
		}
	}
	if c.noticed("disposal_unpriced") {
		say("dumping")
	}
	if len(q.Takeoff.Paving) > 0 {
		say("edges")
	}
	if len(q.Takeoff.Planters) > 0 {
		say("planters")
	}
	if len(q.Takeoff.Beds)+len(q.Takeoff.Planters) > 0 {
		say("plants")
	}
	for i := range q.Takeoff.Obstacles {
		if q.Takeoff.Obstacles[i].Obstacle.Kind == estimate.Tree {
			say("trees")
			break
		}
	}
	if q.Takeoff.Spoil.Bank > 0 {
		say("marking")
		say("found")
		say("drainage")
	}
	say("permits")
	say("clearing")
	say("repairs")
	say("upkeep")
	c.list(items, false)
	c.paragraph("excluded_end")
}

// noticed tells whether the quote has a notice of a code.
func (c *customer) noticed(code string) bool {
	for i := range c.quote.Notices {
		if c.quote.Notices[i].Code == code {
			return true
		}
	}
	return false
}

// asked are the notices that a customer is asked about or told of, each in words of its own: those of the quote are the
// crew's, and some tell hours or costs. Any other code stays with the crew. Codes of one line are one question.
var asked = [...]struct {
	key   string
	codes []string
}{
	{"utilities", []string{"utilities"}},
	{"footings", []string{"footings_and_roots"}},
	{"near_footing", []string{"near_footing"}},
	{"root_zone", []string{"root_zone_dug"}},
	{"drainage", []string{"drainage", "shallow_fall"}},
	{"fill", []string{"fill_needed"}},
	{"levels", []string{"ground_taken_level", "ground_taken_ruled", "ground_beyond_spots", "grades_meet"}},
	{"tape", []string{"tie_misfit"}},
	{"no_base", []string{"no_base"}},
	{"edges", []string{"edge_restraint"}},
	{"way_in", []string{"machine_way_in"}},
	{"planters", []string{"heavy_planter"}},
	{"dumping", []string{"disposal_unpriced"}},
}

// toConfirm lists what crew and customer settle before work starts.
func (c *customer) toConfirm() {
	var items []string
	for i := range asked {
		for _, code := range asked[i].codes {
			if c.noticed(code) {
				items = append(items, c.say("confirm."+asked[i].key))
				break
			}
		}
	}
	var unpriced []string
	for _, op := range pricing.Operations() {
		if op.MayLackRate() && c.works(op) && !c.priced(op) {
			unpriced = append(unpriced, c.work(c.quote, op))
		}
	}
	if len(unpriced) > 0 {
		items = append(items, c.say("confirm.work", "work", strings.Join(unpriced, "; ")))
	}
	if len(items) > 0 {
		c.heading("confirm")
		c.paragraph("confirm_intro")
		c.list(items, true)
	}
	c.add(&page.Note{Tone: page.Caution, Kind: c.say("kind.caution"), Text: page.Plain(c.say("codes_first"))})
}
