package pricing

// HoursOf gives tests the hours of work with a tool.
var HoursOf = (*Quote).hoursOf
