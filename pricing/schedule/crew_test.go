package schedule_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/pricing/schedule"
)

// waited is the first place at which a wait lets a task start, from the moments of the calendar alone.
func waited(c *schedule.Calendar, w schedule.Wait, end schedule.Minutes) schedule.Minutes {
	start := end + w.Work
	for w.Clock > 0 && c.Start(start) < c.End(end)+schedule.Clock(w.Clock) {
		start++
	}
	for w.Days > 0 && c.Start(start).Day() < c.Marked(c.End(end).Day(), w.Days) {
		start++
	}
	return start
}

func TestThePlanKeepsWaitsAndCountsPeople(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		tasks, calendar, crew := drawn(t, 8), drawnCalendar(t), rapid.IntRange(1, 4).Draw(t, "crew")
		network, err := schedule.NewNetwork(tasks, crew, calendar)
		require.NoError(t, err)
		path := network.Path()
		plan := network.Plan(path)
		ends := map[string]schedule.Minutes{}
		var last schedule.Minutes
		for i := range tasks {
			length, _ := network.Length(i)
			assert.Equal(t, plan.Starts[i]+length, plan.Ends[i])
			if tasks[i].Whole && length > 0 && length <= calendar.PerDay() {
				assert.Equal(t, plan.Starts[i]/calendar.PerDay(), (plan.Ends[i]-1)/calendar.PerDay(), "%s lies in one day", tasks[i].Key)
			}
			ends[tasks[i].Key] = plan.Ends[i]
			last = max(last, plan.Ends[i])
		}
		assert.Equal(t, last, plan.Length)
		assert.GreaterOrEqual(t, plan.Length, path.Length, "no plan is shorter than the critical path")
		for i := range tasks {
			for _, w := range tasks[i].After {
				assert.GreaterOrEqual(t, plan.Starts[i], waited(calendar, w, ends[w.For]), "%s waits for %s", tasks[i].Key, w.For)
			}
			busy := 0
			for k := range tasks {
				if tool := tasks[i].Tool; k != i && tool != "" && tool == tasks[k].Tool {
					assert.True(t, plan.Ends[i] <= plan.Starts[k] || plan.Ends[k] <= plan.Starts[i], "%s and %s have one tool", tasks[i].Key, tasks[k].Key)
				}
				if plan.Starts[k] <= plan.Starts[i] && plan.Starts[i] < plan.Ends[k] {
					_, people := network.Length(k)
					busy += people
				}
			}
			assert.LessOrEqual(t, busy, crew, "when %s starts", tasks[i].Key)
		}
		assert.True(t, slices.IsSortedFunc(plan.Order, func(a, b int) int { return int(plan.Starts[a] - plan.Starts[b]) }))
	})
}

// shortest tries every order of the tasks, each put at the first minute at which its waits are over and people are free
// all through it, whatever was put before: one of them is the shortest plan there is.
func shortest(network *schedule.Network, calendar *schedule.Calendar, crew int) schedule.Minutes {
	tasks := network.Tasks
	best := schedule.Minutes(1 << 40)
	ends := map[string]schedule.Minutes{}
	starts := make([]schedule.Minutes, len(tasks))
	var put func(placed []int)
	put = func(placed []int) {
		if len(placed) == len(tasks) {
			var length schedule.Minutes
			for _, e := range ends {
				length = max(length, e)
			}
			best = min(best, length)
			return
		}
		for i := range tasks {
			if slices.Contains(placed, i) {
				continue
			}
			var start schedule.Minutes
			ready := true
			for _, w := range tasks[i].After {
				end, ok := ends[w.For]
				if ready = ready && ok; ready {
					start = max(start, waited(calendar, w, end))
				}
			}
			if !ready {
				continue
			}
			length, people := network.Length(i)
			// Free people change only where a task ends: those are the only other places to try.
			tries := []schedule.Minutes{start}
			for _, k := range placed {
				tries = append(tries, ends[tasks[k].Key])
			}
			slices.Sort(tries)
			for _, at := range tries {
				if at < start {
					continue
				}
				if day := calendar.PerDay(); tasks[i].Whole && length <= day {
					for at/day != (at+length-1)/day {
						at++
					}
				}
				fits := true
				for _, k := range append([]int{-1}, placed...) { // people at work are most at the start or where another starts
					moment := at
					if k >= 0 {
						moment = starts[k]
					}
					if moment < at || moment >= at+max(length, 1) {
						continue
					}
					busy := people
					for _, o := range placed {
						if starts[o] <= moment && moment < ends[tasks[o].Key] {
							if tasks[o].Tool != "" && tasks[o].Tool == tasks[i].Tool {
								busy += crew
							}
							_, others := network.Length(o)
							busy += others
						}
					}
					fits = fits && busy <= crew
				}
				if fits {
					start = at
					break
				}
			}
			starts[i], ends[tasks[i].Key] = start, start+length
			put(append(placed, i))
			delete(ends, tasks[i].Key)
		}
	}
	put(nil)
	return best
}

func TestThePlanIsTheShortestOfAllOrders(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		tasks, calendar, crew := drawn(t, 5), drawnCalendar(t), rapid.IntRange(1, 3).Draw(t, "crew")
		for i := range tasks {
			tasks[i].Effort++ // work that takes no time needs nobody
		}
		network, err := schedule.NewNetwork(tasks, crew, calendar)
		require.NoError(t, err)
		plan := network.Plan(network.Path())
		require.True(t, plan.Shortest)
		assert.Equal(t, shortest(network, calendar, crew), plan.Length)
	})
}

func TestAnotherWaitNeverShortens(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		tasks, calendar, crew := drawn(t, 8), drawnCalendar(t), rapid.IntRange(1, 4).Draw(t, "crew")
		lay := func(tasks []schedule.Task) (*schedule.Path, *schedule.Plan) {
			network, err := schedule.NewNetwork(tasks, crew, calendar)
			require.NoError(t, err)
			path := network.Path()
			return path, network.Plan(path)
		}
		path, plan := lay(tasks)
		if len(tasks) < 2 {
			return
		}
		k := rapid.IntRange(1, len(tasks)-1).Draw(t, "task")
		more := slices.Clone(tasks)
		more[k].After = append(slices.Clone(tasks[k].After), drawnWait(t, tasks[rapid.IntRange(0, k-1).Draw(t, "for")].Key))
		path2, plan2 := lay(more)
		assert.GreaterOrEqual(t, path2.Length, path.Length)
		if plan.Shortest {
			assert.GreaterOrEqual(t, plan2.Length, plan.Length)
		}
	})
}

// A dozen tasks that nothing holds, of all sizes: the search stops at its limit and says so, or has proved what it found.
func TestAPlanOfManyFreeTasksIsNoLongerThanTheWorkAsksTwice(t *testing.T) {
	t.Parallel()
	var tasks []schedule.Task
	sum := 0
	for i := range 20 {
		effort := 137 + 61*i*i%1000
		tasks = append(tasks, schedule.Task{Key: string(rune('a' + i)), Effort: schedule.Effort(effort), Most: 1 + i%3})
		sum += effort
	}
	network, err := schedule.NewNetwork(tasks, 4, undated(t, 480))
	require.NoError(t, err)
	plan := network.Plan(network.Path())
	least := schedule.Minutes(sum * 3 / 5 / 4)
	assert.GreaterOrEqual(t, plan.Length, least)
	assert.Less(t, plan.Length, least*6/5)
	t.Log(plan.Length, least, plan.Shortest)
}
