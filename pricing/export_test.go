package pricing

import (
	"bedline/pricing/money"
	"bedline/pricing/schedule"
)

// HoursOf gives tests the hours of work with a tool.
var HoursOf = (*Quote).hoursOf

// HireFor gives tests the hires of a machine for tasks that follow each other, each from a start to an end.
func HireFor(e *Equipment, c *schedule.Calendar, tasks [][2]schedule.Minutes) ([]HirePeriod, money.Amount) {
	var uses []use
	for _, t := range tasks {
		uses = addUse(c, uses, t[0], t[1])
	}
	return e.hire(c, uses)
}
