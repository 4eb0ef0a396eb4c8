package schedule

import "slices"

// Plan says when the crew does each task. No more people are at work at any time than there are, and no tool is in two tasks.
type Plan struct {
	Starts, Ends []Minutes // by task
	Order        []int     // the tasks by their starts
	Length       Minutes   // to the last end
	Shortest     bool      // proved: no plan is shorter
}

// mostSteps limits the search for a shorter plan, in tasks put at a place.
const mostSteps = 20000

// Plan finds the shortest order of the tasks for the crew. The tasks start one after another in an order, each as soon as
// its waits are over, people enough and its tool are free; every order is tried that can still be shorter than the best so far, and
// every plan without needless pauses comes from one. The first order starts with what can start soonest, of several with
// the task that has to start first if nothing is to be late.
//
// Of plans of one length the first found is kept. Another wait never makes a shortest plan shorter.
func (n *Network) Plan(p *Path) *Plan {
	count := len(n.Tasks)
	s := &search{network: n, best: &Plan{}, late: slices.Clone(p.Times), steps: mostSteps, order: make([]int, 0, count),
		starts: make([]Minutes, count), ends: make([]Minutes, count), waits: make([]int, count), free: make([]Minutes, (count+1)*n.Crew)}
	for i := range n.Tasks {
		s.waits[i] = len(n.Tasks[i].After)
		s.left += n.lengths[i] * Minutes(n.people[i])
	}
	crew := Minutes(n.Crew)
	s.least = max(p.Length, (s.left+crew-1)/crew)
	s.place(0)
	s.best.Shortest = s.best.Length == s.least || s.steps > 0
	return s.best
}

// search carries a search under way.
type search struct {
	network *Network
	best    *Plan
	least   Minutes // no plan is shorter
	late    []Times // LateStart: the last start with which a plan can still be shorter than the best
	steps   int     // left

	starts, ends []Minutes
	waits        []int       // by task: how many of those that it waits for have no place yet; -1 once it has one itself
	order        []int       // the tasks with a place
	free         []Minutes   // by tasks with a place: from when each of the crew is free, rising
	left         Minutes     // of one person, in the tasks without a place
	ready        []candidate // of all levels of the search
}

// candidate is a task that can have its place next.
type candidate struct {
	task       int
	start, end Minutes
}

// place gives the tasks that have none their places, none to start before the given one, in all orders that can be shorter
// than the best.
func (s *search) place(from Minutes) {
	n := s.network
	if len(s.order) == len(n.Tasks) {
		s.keep()
		return
	}
	here := s.free[len(s.order)*n.Crew:][:n.Crew]
	first := len(s.ready)
	if s.candidates(here, from) {
		ready := s.ready[first:]
		soonest := ready[0].end
		for _, c := range ready {
			soonest = min(soonest, c.end)
		}
		for _, c := range ready {
			if s.done() {
				break
			}
			// What can be done whole before another starts is done first: it keeps nobody waiting.
			if c.start >= soonest && c.end > soonest || s.twin(c) {
				continue
			}
			s.put(c, here)
			s.place(c.start)
			s.take(c)
		}
	}
	s.ready = s.ready[:first]
}

// done tells that no search is left: the best can't be beaten, or the steps are spent. The first plan is always found.
func (s *search) done() bool {
	return s.best.Starts != nil && (s.best.Length == s.least || s.steps <= 0)
}

// candidates adds the tasks that can have the next place to ready; false if no order can be shorter than the best from here.
func (s *search) candidates(free []Minutes, from Minutes) bool {
	n := s.network
	if s.best.Starts != nil {
		sum := s.left
		for _, f := range free {
			sum += max(f, from)
		}
		if sum > (s.best.Length-1)*Minutes(n.Crew) {
			return false
		}
	}
	first := len(s.ready)
	for i := range n.Tasks {
		if s.waits[i] != 0 {
			continue
		}
		c := candidate{task: i, start: max(from, free[n.people[i]-1])}
		for w := range n.Tasks[i].After {
			wait := &n.Tasks[i].After[w]
			c.start = max(c.start, n.after(wait, s.ends[wait.task]))
		}
		c.start = n.begin(i, max(c.start, s.toolFree(n.Tasks[i].Tool)))
		c.end = c.start + n.lengths[i]
		if s.best.Starts != nil && c.start > s.late[i].LateStart {
			return false // starts only rise from here
		}
		s.ready = append(s.ready, c)
	}
	slices.SortStableFunc(s.ready[first:], func(a, b candidate) int {
		if a.start != b.start {
			return int(a.start - b.start)
		}
		return int(s.late[a.task].LateStart - s.late[b.task].LateStart)
	})
	return true
}

// toolFree is from when on a tool is free.
func (s *search) toolFree(tool string) Minutes {
	var free Minutes
	for k := len(s.order) - 1; k >= 0 && tool != ""; k-- {
		if i := s.order[k]; s.network.Tasks[i].Tool == tool {
			free = max(free, s.ends[i])
		}
	}
	return free
}

// twin tells that the task could as well have had its place before the last one: then that order is tried, not this.
func (s *search) twin(c candidate) bool {
	if len(s.order) == 0 {
		return false
	}
	last := s.order[len(s.order)-1]
	if c.start != s.starts[last] || c.task > last || s.ends[last] == s.starts[last] {
		return false
	}
	for w := range s.network.Tasks[c.task].After {
		if s.network.Tasks[c.task].After[w].task == last {
			return false
		}
	}
	return true
}

func (s *search) put(c candidate, free []Minutes) {
	n := s.network
	s.steps--
	s.starts[c.task], s.ends[c.task] = c.start, c.end
	s.order = append(s.order, c.task)
	s.waits[c.task] = -1
	for _, k := range n.next[c.task] {
		s.waits[k]--
	}
	people := n.people[c.task]
	s.left -= n.lengths[c.task] * Minutes(people)
	// Those who have been free longest do it; the others keep their places.
	after := s.free[len(s.order)*n.Crew:][:n.Crew]
	copy(after, free[people:])
	at := n.Crew - people
	for at > 0 && after[at-1] > c.end {
		at--
	}
	copy(after[at+people:], after[at:n.Crew-people])
	for k := range people {
		after[at+k] = c.end
	}
}

func (s *search) take(c candidate) {
	n := s.network
	s.left += n.lengths[c.task] * Minutes(n.people[c.task])
	for _, k := range n.next[c.task] {
		s.waits[k]++
	}
	s.waits[c.task] = 0
	s.order = s.order[:len(s.order)-1]
}

// keep takes a whole order for the best if it is shorter, and from then on looks for shorter ones still.
func (s *search) keep() {
	var length Minutes
	for _, e := range s.ends {
		length = max(length, e)
	}
	if s.best.Starts != nil && length >= s.best.Length {
		return
	}
	if s.best.Starts == nil {
		s.best.Starts, s.best.Ends, s.best.Order = make([]Minutes, len(s.starts)), make([]Minutes, len(s.ends)), make([]int, len(s.order))
	}
	copy(s.best.Starts, s.starts)
	copy(s.best.Ends, s.ends)
	copy(s.best.Order, s.order)
	s.best.Length = length
	if length > s.least {
		s.network.backward(s.late, length-1)
	}
}
