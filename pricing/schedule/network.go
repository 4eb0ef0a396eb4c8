package schedule

import (
	"fmt"
	"strings"
)

// Effort is the work of one person, in hundredths of an hour.
type Effort int

// Task is a piece of work that is done without a break but for those of the calendar. A whole one that fits into a working
// day is not begun on a day on which it can't be ended.
type Task struct {
	Key    string
	Effort Effort // of all people together, not below 0
	Most   int    // people that it has room for, 0 for any number
	Whole  bool
	Tool   string // that only one task can have at a time, empty for none
	After  []Wait
}

// Wait holds a task until another one has ended and the longest of three times has gone by since.
type Wait struct {
	For    string  // key of the other task
	Work   Minutes // of working time
	Clock  int     // minutes of the clock, nights and days without work among them
	Days   int     // whole weekdays without holidays, not counting the day on which the other task ends
	Reason string  // for people
	task   int
}

// CircleError says that tasks wait for each other in a circle: each for the next, the last for the first.
type CircleError struct{ Keys []string }

// Error names the circle.
func (e *CircleError) Error() string {
	return strings.Join(e.Keys, " waits for ") + " waits for " + e.Keys[0]
}

// UnknownTaskError says that a task waits for one that there is none of.
type UnknownTaskError struct{ Task, For string }

// Error names both.
func (e *UnknownTaskError) Error() string {
	return e.Task + " waits for " + e.For + ", which is no task"
}

// DuplicateTaskError says that two tasks have one key.
type DuplicateTaskError struct{ Key string }

// Error names the key.
func (e *DuplicateTaskError) Error() string { return "two tasks have the key " + e.Key }

// Network is tasks with their times on the calendar of a crew.
type Network struct {
	Tasks []Task // as given
	Crew  int

	calendar *Calendar
	people   []int
	lengths  []Minutes
	order    []int   // every task after those that it waits for; of several that may follow the first given
	next     [][]int // by task: those that wait for it
}

// NewNetwork lays tasks out for a crew of so many people, at least one. The errors are *CircleError, *UnknownTaskError
// and *DuplicateTaskError. The tasks are kept and must not be changed afterwards.
func NewNetwork(tasks []Task, crew int, calendar *Calendar) (*Network, error) {
	if crew < 1 {
		return nil, fmt.Errorf("laying out the tasks: a crew of %d does no work", crew)
	}
	n := &Network{Tasks: tasks, Crew: crew, calendar: calendar,
		people: make([]int, len(tasks)), lengths: make([]Minutes, len(tasks)), next: make([][]int, len(tasks))}
	for i := range tasks {
		t := &tasks[i]
		for k := range i {
			if tasks[k].Key == t.Key {
				return nil, &DuplicateTaskError{t.Key}
			}
		}
		n.people[i] = crew
		if t.Most > 0 {
			n.people[i] = min(crew, t.Most)
		}
		n.lengths[i] = lengthOf(t.Effort, n.people[i])
		for w := range t.After {
			wait := &t.After[w]
			wait.task = -1
			for k := range tasks {
				if tasks[k].Key == wait.For {
					wait.task = k
				}
			}
			if wait.task < 0 {
				return nil, &UnknownTaskError{t.Key, wait.For}
			}
			n.next[wait.task] = append(n.next[wait.task], i)
		}
	}
	if err := n.sort(); err != nil {
		return nil, err
	}
	return n, nil
}

// lengthOf is the time that people take for an effort, the begun minute full.
func lengthOf(e Effort, people int) Minutes {
	// A hundredth of an hour is three fifths of a minute.
	return Minutes((int(e)*3 + 5*people - 1) / (5 * people))
}

// sort puts every task behind those that it waits for.
func (n *Network) sort() error {
	waits := make([]int, len(n.Tasks))
	for i := range n.Tasks {
		waits[i] = len(n.Tasks[i].After)
	}
	n.order = make([]int, 0, len(n.Tasks))
	for len(n.order) < len(n.Tasks) {
		found := false
		for i := range n.Tasks {
			if waits[i] != 0 {
				continue
			}
			waits[i], found = -1, true
			n.order = append(n.order, i)
			for _, k := range n.next[i] {
				waits[k]--
			}
			break
		}
		if !found {
			return n.circle(waits)
		}
	}
	return nil
}

// circle finds a circle among the tasks that wait for ever: each of them waits for another of them.
func (n *Network) circle(waits []int) error {
	at := 0
	for waits[at] <= 0 {
		at++
	}
	seen := make([]int, len(n.Tasks))
	var path []int
	for seen[at] == 0 {
		path = append(path, at)
		seen[at] = len(path)
		for w := range n.Tasks[at].After {
			if k := n.Tasks[at].After[w].task; waits[k] > 0 {
				at = k
				break
			}
		}
	}
	e := &CircleError{}
	for _, i := range path[seen[at]-1:] {
		e.Keys = append(e.Keys, n.Tasks[i].Key)
	}
	return e
}

// Length is how long a task takes, and how many people do it.
func (n *Network) Length(task int) (length Minutes, people int) {
	return n.lengths[task], n.people[task]
}

// begin is the first place from another one on at which a task can begin. It never falls as that rises.
func (n *Network) begin(task int, at Minutes) Minutes {
	length, day := n.lengths[task], n.calendar.perDay
	if into := at % day; n.Tasks[task].Whole && length <= day && into+length > day {
		return at - into + day
	}
	return at
}

// beginBy is the last place up to another one at which a task can begin.
func (n *Network) beginBy(task int, at Minutes) Minutes {
	length, day := n.lengths[task], n.calendar.perDay
	if into := at % day; n.Tasks[task].Whole && length <= day && into+length > day {
		return at - (into + length - day)
	}
	return at
}

// after is the first place at which a task may start whose wait's other task ends at a place. It never falls as the end
// rises.
func (n *Network) after(w *Wait, end Minutes) Minutes {
	start := end + w.Work
	if w.Clock > 0 {
		start = max(start, n.calendar.From(n.calendar.End(end)+Clock(w.Clock)))
	}
	if w.Days > 0 {
		start = max(start, n.calendar.From(n.calendar.Marked(n.calendar.End(end).Day(), w.Days).Clock(0)))
	}
	return start
}

// Until is when a wait is over, by the clock, for a task that ended at a place.
func (n *Network) Until(w *Wait, end Minutes) Clock {
	until := n.calendar.End(end)
	if w.Clock > 0 {
		until += Clock(w.Clock)
	}
	if w.Work > 0 {
		until = max(until, n.calendar.Start(end+w.Work))
	}
	if w.Days > 0 {
		until = max(until, n.calendar.Marked(n.calendar.End(end).Day(), w.Days).Clock(0))
	}
	return until
}

// before is the last end, not before least, of the other task of a wait that lets a task start at a place. That least does
// is known.
func (n *Network) before(w *Wait, start, least Minutes) Minutes {
	if w.Clock <= 0 && w.Days <= 0 {
		return start - w.Work
	}
	most := start - w.Work
	for least < most {
		middle := least + (most-least+1)/2
		if n.after(w, middle) <= start {
			least = middle
		} else {
			most = middle - 1
		}
	}
	return least
}
