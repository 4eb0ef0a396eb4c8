package schedule

// Times of a task on the network, were there people and tools enough for all that can be done at once.
type Times struct {
	EarlyStart, EarlyEnd Minutes
	LateStart, LateEnd   Minutes
	Slack                Minutes // how much later it may start without the whole ending later
	FreeSlack            Minutes // how much later it may start without any other task starting later
	Critical             bool    // it lies on a chain of tasks, each of which starts as soon as the one before lets it, up to the end of the whole
}

// Path is the network with its times.
type Path struct {
	Times  []Times // by task
	Length Minutes // from the first start to the last end
	Chain  []int   // one critical chain, from a task that waits for none to one that ends last
}

// Path reckons the times forward and backward.
//
// A wait of whole days or of hours of the clock swallows a delay that is shorter than what it rounds up, and so does a
// whole task that waits for the morning: a critical task before such a one may have slack.
func (n *Network) Path() *Path {
	p := &Path{Times: make([]Times, len(n.Tasks))}
	n.forward(p)
	n.backward(p.Times, p.Length)
	for i := range p.Times {
		t := &p.Times[i]
		t.Slack = t.LateStart - t.EarlyStart
	}
	n.drive(p)
	return p
}

func (n *Network) forward(p *Path) {
	for _, i := range n.order {
		t := &p.Times[i]
		for w := range n.Tasks[i].After {
			wait := &n.Tasks[i].After[w]
			t.EarlyStart = max(t.EarlyStart, n.after(wait, p.Times[wait.task].EarlyEnd))
		}
		t.EarlyStart = n.begin(i, t.EarlyStart)
		t.EarlyEnd = t.EarlyStart + n.lengths[i]
		p.Length = max(p.Length, t.EarlyEnd)
	}
}

// backward gives the latest times with which the whole ends by a place that can be kept.
func (n *Network) backward(times []Times, end Minutes) {
	for i := range times {
		times[i].LateEnd = end
	}
	for k := len(n.order) - 1; k >= 0; k-- {
		i := n.order[k]
		t := &times[i]
		t.LateStart = n.beginBy(i, t.LateEnd-n.lengths[i])
		t.LateEnd = t.LateStart + n.lengths[i]
		for w := range n.Tasks[i].After {
			wait := &n.Tasks[i].After[w]
			before := &times[wait.task]
			before.LateEnd = min(before.LateEnd, n.before(wait, t.LateStart, before.EarlyEnd))
		}
	}
}

// drive finds what sets the length, and the free slack.
func (n *Network) drive(p *Path) {
	last := -1
	for i := range p.Times {
		t := &p.Times[i]
		t.FreeSlack = p.Length - t.EarlyEnd
		t.Critical = t.EarlyEnd == p.Length
		if t.Critical && last < 0 {
			last = i
		}
	}
	drives := func(i int, w *Wait) bool {
		return n.begin(i, n.after(w, p.Times[w.task].EarlyEnd)) == p.Times[i].EarlyStart
	}
	for k := len(n.order) - 1; k >= 0; k-- {
		i := n.order[k]
		t := &p.Times[i]
		t.FreeSlack = n.beginBy(i, t.EarlyStart+t.FreeSlack) - t.EarlyStart
		for w := range n.Tasks[i].After {
			wait := &n.Tasks[i].After[w]
			before := &p.Times[wait.task]
			before.FreeSlack = min(before.FreeSlack, n.before(wait, t.EarlyStart, before.EarlyEnd)-before.EarlyEnd)
			before.Critical = before.Critical || t.Critical && drives(i, wait)
		}
	}
	for last >= 0 {
		p.Chain = append(p.Chain, last)
		at := last
		last = -1
		for w := range n.Tasks[at].After {
			if wait := &n.Tasks[at].After[w]; drives(at, wait) {
				last = wait.task
				break
			}
		}
	}
	for a, b := 0, len(p.Chain)-1; a < b; a, b = a+1, b-1 {
		p.Chain[a], p.Chain[b] = p.Chain[b], p.Chain[a]
	}
}
