package edition

import (
	"bedline/api/render/page"
	"bedline/estimate"
)

// ground says what is dug out of the ground and where that goes.
func (c *customer) ground() {
	t := c.quote.Takeoff
	if t.Spoil.Bank <= 0 {
		return
	}
	var items []string
	if c.works(estimate.StripCover) {
		items = append(items, c.say("strip."+string(c.quote.Job.Ground.Cover)))
	}
	items = append(items, c.say("dug", "volume", c.words.Volume(t.Spoil.Bank, c.quote.Job.System)))
	if c.quote.List.Disposal != nil {
		items = append(items, c.say("hauled_away"))
	} else {
		items = append(items, c.say("hauled"))
	}
	c.add(&page.Heading{Level: 3, Words: c.say("ground")})
	c.list(items, false)
}

// stays says what is left where it is.
func (c *customer) stays() {
	var items []string
	for i := range c.quote.Takeoff.Obstacles {
		o := c.quote.Takeoff.Obstacles[i].Obstacle
		name := c.say("obstacle."+string(o.Kind), "id", o.ID)
		if o.ID == "" {
			name = c.say("obstacle_unnamed." + string(o.Kind))
		}
		if o.Clear > 0 {
			name = c.say("kept_clear", "what", name, "clear", c.words.Depth(o.Clear, c.quote.Job.System))
		}
		items = append(items, name)
	}
	if len(items) == 0 {
		return
	}
	c.add(&page.Heading{Level: 3, Words: c.say("stays")})
	c.list(items, false)
}

// works tells whether the job takes an operation.
func (c *customer) works(op estimate.Operation) bool {
	for i := range c.quote.Takeoff.Work {
		if c.quote.Takeoff.Work[i].Operation == op {
			return true
		}
	}
	return false
}

// priced tells whether the price counts an operation. Some have no rate in every price list.
func (c *customer) priced(op estimate.Operation) bool {
	for i := range c.quote.Lines {
		if w := c.quote.Lines[i].Work; w != nil && w.Operation == op {
			return true
		}
	}
	return false
}
