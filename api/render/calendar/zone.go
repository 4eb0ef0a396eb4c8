package calendar

import (
	"fmt"
	"time"

	ics "github.com/arran4/golang-ical"
)

// observances writes the time zone (RFC 5545, 3.6.5): what holds when the plan begins, and every change from then on to
// a year after its end, for whoever moves an event. Each observance stands by itself, since rules that last for ever are
// more than a database of zones says.
func (w *writer) observances(from, until time.Time) {
	z := ics.NewTimezone(w.zone.String())
	at := from
	for {
		name, offset := at.Zone()
		begins, ends := at.ZoneBounds()
		before := offset
		if begins.IsZero() {
			begins = time.Date(1970, 1, 1, 0, 0, 0, 0, time.FixedZone("", offset))
		} else {
			_, before = begins.Add(-time.Second).Zone()
		}
		var c *ics.ComponentBase
		if at.IsDST() {
			d := &ics.Daylight{}
			z.Components = append(z.Components, d)
			c = &d.ComponentBase
		} else {
			c = &z.AddStandard().ComponentBase
		}
		// The moment of the change by the clock as it was before.
		c.SetProperty(ics.ComponentPropertyDtStart, begins.In(time.FixedZone("", before)).Format(local))
		c.SetProperty(ics.ComponentProperty(ics.PropertyTzoffsetfrom), utcOffset(before))
		c.SetProperty(ics.ComponentProperty(ics.PropertyTzoffsetto), utcOffset(offset))
		c.SetProperty(ics.ComponentProperty(ics.PropertyTzname), name)
		if ends.IsZero() || ends.After(until.AddDate(1, 0, 0)) {
			break
		}
		at = ends
	}
	w.out.AddVTimezone(z)
}

// utcOffset is RFC 5545, 3.3.14: -0600. Seconds are written only where there are any.
func utcOffset(seconds int) string {
	sign := '+'
	if seconds < 0 {
		sign, seconds = '-', -seconds
	}
	text := fmt.Sprintf("%c%02d%02d", sign, seconds/3600, seconds/60%60)
	if seconds%60 != 0 {
		text += fmt.Sprintf("%02d", seconds%60)
	}
	return text
}
