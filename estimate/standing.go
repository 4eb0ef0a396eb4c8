package estimate

// stand checks that planters and obstacles lie in their beds.
func (t *taker) stand() {}

// fillPlanters reckons the soil of the planters.
func (t *taker) fillPlanters() {}
