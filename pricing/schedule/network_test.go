package schedule_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/pricing/schedule"
)

// hour is the effort of one person in an hour.
const hour schedule.Effort = 100

func undated(t require.TestingT, perDay schedule.Minutes) *schedule.Calendar {
	c, err := schedule.Undated(perDay)
	require.NoError(t, err)
	return c
}

// after is a task that one person does, after others.
func after(key string, hours int, others ...string) schedule.Task {
	task := schedule.Task{Key: key, Effort: schedule.Effort(hours) * hour, Most: 1}
	for _, o := range others {
		task.After = append(task.After, schedule.Wait{For: o})
	}
	return task
}

// building is the house of fourteen activities that textbooks of operations research find the critical path of
// (F. S. Hillier, G. J. Lieberman, Introduction to Operations Research, the chapter on projects with PERT/CPM; from memory).
// Its weeks are hours here: excavate, foundation, rough wall, roof, exterior plumbing, interior plumbing, exterior siding,
// exterior painting, electrical work, wallboard, flooring, interior painting, exterior fixtures, interior fixtures.
func building() []schedule.Task {
	return []schedule.Task{after("a", 2), after("b", 4, "a"), after("c", 10, "b"), after("d", 6, "c"), after("e", 4, "c"), after("f", 5, "e"),
		after("g", 7, "d"), after("h", 9, "e", "g"), after("i", 7, "c"), after("j", 8, "f", "i"), after("k", 4, "j"), after("l", 5, "j"),
		after("m", 2, "h"), after("n", 6, "k", "l")}
}

// The figures of the book: 44 in all along a-b-c-e-f-j-l-n; the others may slip by these.
func TestTheTextbookHouseTakesFortyFour(t *testing.T) {
	t.Parallel()
	network, err := schedule.NewNetwork(building(), 14, undated(t, 480))
	require.NoError(t, err)
	path := network.Path()
	assert.EqualValues(t, 44*60, path.Length)
	var chain []string
	for _, i := range path.Chain {
		chain = append(chain, network.Tasks[i].Key)
	}
	assert.Equal(t, "a b c e f j l n", strings.Join(chain, " "))
	slack := map[string]int{"d": 4, "g": 4, "h": 4, "i": 2, "k": 1, "m": 4}
	starts := map[string]int{"a": 0, "b": 2, "c": 6, "d": 16, "e": 16, "f": 20, "g": 22, "h": 29, "i": 16, "j": 25, "k": 33, "l": 33, "m": 38, "n": 38}
	// Only those whose followers all start later anyway can slip freely: i before j at 25, k before n at 38, m before the end.
	free := map[string]int{"i": 2, "k": 1, "m": 4}
	for i, task := range network.Tasks {
		times := path.Times[i]
		assert.EqualValues(t, slack[task.Key]*60, times.Slack, task.Key)
		assert.EqualValues(t, free[task.Key]*60, times.FreeSlack, task.Key)
		assert.EqualValues(t, starts[task.Key]*60, times.EarlyStart, task.Key)
		assert.Equal(t, slack[task.Key] == 0, times.Critical, task.Key)
	}
	plan := network.Plan(path)
	assert.Equal(t, path.Length, plan.Length, "with people enough nobody waits for anybody")
	assert.True(t, plan.Shortest)
}

// NAVEDTRA 14045, Builder Advanced, ch. 2: duration = man-days / (crew x availability x man-day equivalent), man-days of
// 8 h, the man-day equivalent of a 9-hour day 1.125. Hours of a price list are all at work: the availability is 1.
func TestDurationIsManDaysOverCrewAndManDayEquivalent(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		manDays, crew int
		perDay        float64
	}{{18, 2, 9}, {18, 4, 9}, {10, 2, 8}, {27, 3, 7.2}} {
		network, err := schedule.NewNetwork([]schedule.Task{{Key: "dig", Effort: schedule.Effort(c.manDays) * 8 * hour}}, c.crew, undated(t, schedule.Minutes(c.perDay*60)))
		require.NoError(t, err)
		length, people := network.Length(0)
		assert.Equal(t, c.crew, people)
		assert.InDelta(t, float64(c.manDays)/(float64(c.crew)*1*(c.perDay/8)), float64(length)/(c.perDay*60), 1e-9)
	}
}

func TestALengthIsItsEffortOverItsPeopleWithTheBegunMinute(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		effort             schedule.Effort
		most, crew         int
		minutes, allOfThem int
	}{{100, 0, 1, 60, 1}, {100, 0, 2, 30, 2}, {1, 0, 1, 1, 1}, {5, 0, 1, 3, 1}, {6, 0, 1, 4, 1}, {475, 2, 4, 143, 2}, {0, 0, 2, 0, 2}, {100, 3, 2, 30, 2}} {
		network, err := schedule.NewNetwork([]schedule.Task{{Key: "a", Effort: c.effort, Most: c.most}}, c.crew, undated(t, 480))
		require.NoError(t, err)
		length, people := network.Length(0)
		assert.EqualValues(t, c.minutes, length)
		assert.Equal(t, c.allOfThem, people)
	}
}

func TestWhatCannotBeLaidOutIsNamed(t *testing.T) {
	t.Parallel()
	lay := func(tasks ...schedule.Task) error {
		_, err := schedule.NewNetwork(tasks, 2, undated(t, 480))
		return err
	}
	var circle *schedule.CircleError
	require.ErrorAs(t, lay(after("a", 1), after("b", 1, "a", "d"), after("c", 1, "b"), after("d", 1, "c"), after("e", 1, "d")), &circle)
	assert.Equal(t, "b waits for d waits for c waits for b", circle.Error(), "those before and behind the circle are not of it")
	require.ErrorAs(t, lay(after("a", 1, "a")), &circle)
	assert.Equal(t, []string{"a"}, circle.Keys)
	var unknown *schedule.UnknownTaskError
	require.ErrorAs(t, lay(after("a", 1, "z")), &unknown)
	assert.Equal(t, schedule.UnknownTaskError{Task: "a", For: "z"}, *unknown)
	var double *schedule.DuplicateTaskError
	require.ErrorAs(t, lay(after("a", 1), after("a", 1)), &double)
	_, err := schedule.NewNetwork(nil, 0, undated(t, 480))
	assert.ErrorContains(t, err, "crew of 0")
}

// Joints are filled by Friday noon and cure for 24 h: on Saturday nobody works, so stone comes on Monday morning. Cured
// for 8 h it would be Monday too, for 3 h the same Friday.
func TestHoldsGoOnOverNightsAndWeekends(t *testing.T) {
	t.Parallel()
	calendar := dated(t, schedule.Hours{Start: day(t, "2027-04-16"), StartsAt: 8 * 60, PerDay: 480, WorkDays: weekdays})
	for clock, want := range map[int]string{24 * 60: "2027-04-19T08:00", 8 * 60: "2027-04-19T08:00", 3 * 60: "2027-04-16T15:00", 71 * 60: "2027-04-19T11:00"} {
		stone := after("stone", 2)
		stone.After = []schedule.Wait{{For: "joints", Clock: clock}}
		network, err := schedule.NewNetwork([]schedule.Task{after("joints", 4), stone}, 1, calendar)
		require.NoError(t, err)
		plan := network.Plan(network.Path())
		assert.Equal(t, want, calendar.Start(plan.Starts[1]).String())
	}
}

func TestOthersWorkOnWhileOneTaskHolds(t *testing.T) {
	t.Parallel()
	stone := after("stone", 2)
	stone.After = []schedule.Wait{{For: "joints", Clock: 24 * 60}}
	network, err := schedule.NewNetwork([]schedule.Task{after("joints", 4), stone, after("planters", 3)}, 1, undated(t, 480))
	require.NoError(t, err)
	plan := network.Plan(network.Path())
	// Joints until 12:00 of the first day, stone from the same hour of the second: the planters are filled meanwhile.
	assert.Equal(t, []schedule.Minutes{0, 720, 240}, plan.Starts)
	assert.True(t, plan.Shortest)
}

// drawn is a random small network: tasks wait only for those before them.
func drawn(t *rapid.T, most int) []schedule.Task {
	n := rapid.IntRange(1, most).Draw(t, "tasks")
	tasks := make([]schedule.Task, n)
	for i := range tasks {
		tasks[i] = schedule.Task{Key: string(rune('a' + i)), Effort: schedule.Effort(rapid.IntRange(0, 2000).Draw(t, "effort")), Most: rapid.IntRange(0, 3).Draw(t, "most"),
			Whole: rapid.IntRange(0, 3).Draw(t, "whole") == 0, Tool: rapid.SampledFrom([]string{"", "", "saw"}).Draw(t, "tool")}
		for k := range i {
			if rapid.IntRange(0, 2).Draw(t, "waits") == 0 {
				tasks[i].After = append(tasks[i].After, drawnWait(t, tasks[k].Key))
			}
		}
	}
	return tasks
}

func drawnWait(t *rapid.T, key string) schedule.Wait {
	w := schedule.Wait{For: key}
	switch rapid.IntRange(0, 5).Draw(t, "kind") {
	case 0:
		w.Work = schedule.Minutes(rapid.IntRange(1, 600).Draw(t, "work"))
	case 1:
		w.Clock = rapid.IntRange(1, 4000).Draw(t, "clock")
	case 2:
		w.Days = rapid.IntRange(1, 4).Draw(t, "days")
	}
	return w
}

func drawnCalendar(t *rapid.T) *schedule.Calendar {
	if rapid.Bool().Draw(t, "undated") {
		return undated(t, schedule.Minutes(rapid.IntRange(60, 600).Draw(t, "per day")))
	}
	return dated(t, schedule.Hours{Start: day(t, "2027-04-12"), StartsAt: 450, PerDay: schedule.Minutes(rapid.IntRange(60, 600).Draw(t, "per day")),
		Breaks: []schedule.Break{{At: 480, Length: 30}}, WorkDays: weekdays, Holidays: []schedule.Day{day(t, "2027-04-15"), day(t, "2027-04-19")}})
}

// The forward pass is the longest of all ways through the network, each walked on its own.
func TestTheLengthIsTheLongestWayThrough(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		tasks := drawn(t, 7)
		for i := range tasks {
			tasks[i].Whole = false
			for w := range tasks[i].After {
				tasks[i].After[w].Clock, tasks[i].After[w].Days = 0, 0
			}
		}
		network, err := schedule.NewNetwork(tasks, 3, undated(t, 480))
		require.NoError(t, err)
		path := network.Path()
		byKey := map[string]int{}
		for i := range tasks {
			byKey[tasks[i].Key] = i
		}
		var longest schedule.Minutes
		through := make([]schedule.Minutes, len(tasks)) // the longest way that a task lies on
		var walk func(i int, behind schedule.Minutes, way []int)
		walk = func(i int, behind schedule.Minutes, way []int) {
			length, _ := network.Length(i)
			behind += length
			way = append(way, i)
			longest = max(longest, behind)
			for _, k := range way {
				through[k] = max(through[k], behind)
			}
			for _, w := range tasks[i].After {
				walk(byKey[w.For], behind+w.Work, way)
			}
		}
		for i := range tasks {
			walk(i, 0, nil)
		}
		assert.Equal(t, longest, path.Length)
		for i := range tasks {
			assert.Equal(t, longest-through[i], path.Times[i].Slack, "a task may slip by what the longest way through it lacks")
			assert.Equal(t, through[i] == longest, path.Times[i].Critical)
		}
	})
}

// Slack is what can be added before a task: as much as it says leaves the end alone, a minute more moves it.
func TestSlackIsHowFarATaskMaySlip(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		tasks, calendar := drawn(t, 7), drawnCalendar(t)
		network, err := schedule.NewNetwork(tasks, 3, calendar)
		require.NoError(t, err)
		path := network.Path()
		k := rapid.IntRange(0, len(tasks)-1).Draw(t, "task")
		slipped := func(by schedule.Minutes) *schedule.Path {
			late := append([]schedule.Task{{Key: "slip"}}, tasks...)
			late[k+1].After = append(append([]schedule.Wait{}, tasks[k].After...), schedule.Wait{For: "slip", Work: path.Times[k].EarlyStart + by})
			network, err := schedule.NewNetwork(late, 3, calendar)
			require.NoError(t, err)
			return network.Path()
		}
		assert.Equal(t, path.Length, slipped(path.Times[k].Slack).Length)
		assert.Greater(t, slipped(path.Times[k].Slack+1).Length, path.Length)
		free := slipped(path.Times[k].FreeSlack)
		for i := range tasks {
			if i != k {
				assert.Equal(t, path.Times[i].EarlyStart, free.Times[i+1].EarlyStart)
			}
		}
	})
}
