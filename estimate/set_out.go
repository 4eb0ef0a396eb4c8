package estimate

// setOut gives what the crew needs to put the job on the ground.
func (t *taker) setOut() {}
