package edition_test

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api/render/edition"
	"bedline/api/render/internal/sample"
	"bedline/api/render/locale"
	"bedline/api/render/page"
	"bedline/estimate"
	"bedline/estimate/bond"
	"bedline/estimate/course"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
	"bedline/pricing"
	"bedline/pricing/money"
	"bedline/pricing/supply"
)

// readByCrews are the samples whose crew sheets were read line by line.
var readByCrews = [...]string{"patio-with-machines", "kidney-path", "sloping-bed", "wider-bed-change-order", "terrace-planters"}

func TestCrewsReadWhatWasReadBefore(t *testing.T) {
	t.Parallel()
	for _, name := range readByCrews {
		for _, tag := range []string{"en-US", "es-US"} {
			t.Run(name+" in "+tag, func(t *testing.T) {
				t.Parallel()
				golden(t, "crew-"+name+"."+tag, edition.Crew(sample.Quote(t, name), in(t, tag)))
			})
		}
	}
}

// unsaid are keys without a message and values without a place.
var unsaid = regexp.MustCompile(`(crew|head|part|fact)\.[a-z]\S*|\{\w*\}`)

func TestEveryCrewSheetIsWhole(t *testing.T) {
	everywhere(t, wholeSheet)
}

func TestACrewSheetOfLittleIsWhole(t *testing.T) {
	t.Parallel()
	for name, job := range map[string]string{
		"a bed of bare dug ground": `{"ground": {"soil": "clay", "cover": "turf", "haul": "20 ft"}, "beds": [{"id": "b", "outline": {"kind": "rectangle", "length": "10 ft", "width": "4 ft"}, "dig": "3 in"}]}`,
		"a planter alone":          `{"ground": {"soil": "clay", "cover": "turf", "haul": "20 ft"}, "planters": [{"id": "p", "length": "1 m", "width": "1 m", "wall": "20 mm", "fill": "300 mm", "at": ["0 m", "0 m"], "mix": [{"material": "topsoil", "parts": 1}]}]}`,
		"a post without a name": `{"ground": {"soil": "clay", "cover": "turf", "haul": "20 ft"}, "beds": [{"id": "b", "outline": {"kind": "rectangle", "length": "10 ft", "width": "4 ft"}, "dig": "3 in", "stone": {"material": "pebble-20", "depth": "2 in"}}],
			"obstacles": [{"kind": "post", "in_bed": "b", "at": ["4 ft", "2 ft"], "diameter": "4 in", "clear": "1 in"}]}`,
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			for _, tag := range locale.Tags() {
				wholeSheet(t, sample.Of(t, []byte(job)), in(t, tag))
			}
		})
	}
}

func wholeSheet(t *testing.T, q *pricing.Quote, l *locale.Locale) {
	t.Helper()
	d := edition.Crew(q, l)
	assert.Empty(t, unsaid.FindAllString(dump(d), -1))
	assert.Equal(t, l.Tag(), d.Language)
	assert.NotEmpty(t, d.Title)
	first, ok := d.Blocks[0].(*page.Heading)
	require.True(t, ok && first.Level == 1, "the document's own heading comes first")
	level, empty := 1, ""
	for _, b := range d.Blocks[1:] {
		h, heading := b.(*page.Heading)
		if !heading {
			empty = ""
		} else {
			assert.Truef(t, h.Level > 1 && h.Level <= level+1, "no level is left out before %q", h.Words)
			assert.Truef(t, empty == "" || h.Level == 3, "something stands under %q", empty)
			level, empty = h.Level, h.Words
		}
		if table, ok := b.(*page.Table); ok {
			assert.NotEmpty(t, table.Rows, table.Caption)
			assert.NotEmpty(t, table.Caption)
			assert.LessOrEqual(t, len(table.Columns), 7, "narrow enough for a phone: %s", table.Caption)
			for _, c := range table.Columns {
				assert.NotEmpty(t, c.Head, table.Caption)
			}
			for _, r := range table.Rows {
				require.Len(t, r.Cells, len(table.Columns), table.Caption)
				assert.NotEmpty(t, text(r.Cells[0]), "a row is headed: %s", table.Caption)
			}
		}
		if f, ok := b.(*page.Figure); ok {
			assert.NotNil(t, f.Sheet)
			assert.NotEmpty(t, f.Caption)
		}
	}
	assert.Empty(t, empty, "something stands under the last heading")
}

// sheet is a crew sheet to look things up in.
type sheet struct {
	l     *locale.Locale
	doc   *page.Document
	notes []*page.Note
}

func newSheet(q *pricing.Quote, l *locale.Locale) *sheet {
	s := &sheet{l: l, doc: edition.Crew(q, l)}
	for _, b := range s.doc.Blocks {
		if n, ok := b.(*page.Note); ok {
			s.notes = append(s.notes, n)
		}
	}
	return s
}

// rows are the cells of all rows, but for sums, of the tables with a column of each head, in the order of the document.
func (s *sheet) rows(heads ...string) [][]string {
	var out [][]string
	for _, b := range s.doc.Blocks {
		table, ok := b.(*page.Table)
		if !ok || !s.has(table, heads) {
			continue
		}
		for _, r := range table.Rows {
			if !r.Sum {
				cells := make([]string, len(r.Cells))
				for i := range cells {
					cells[i] = text(r.Cells[i])
				}
				out = append(out, cells)
			}
		}
	}
	return out
}

func (s *sheet) has(table *page.Table, heads []string) bool {
	for _, h := range heads {
		word := s.l.Say("crew.head." + h)
		if !slices.ContainsFunc(table.Columns, func(c page.Column) bool { return c.Head == word }) {
			return false
		}
	}
	return true
}

// sticks are the marks of every gauge stick by the name of its digging, in small letters, and by their own.
func (s *sheet) sticks() map[string]map[string]string {
	out := map[string]map[string]string{}
	for _, b := range s.doc.Blocks {
		table, ok := b.(*page.Table)
		if !ok {
			continue
		}
		for _, r := range table.Rows {
			switch {
			case s.has(table, []string{"stick"}):
				marks := map[string]string{}
				for i, c := range table.Columns[1:] {
					if words := text(r.Cells[1+i]); words != "" {
						marks[c.Head] = words
					}
				}
				out[strings.ToLower(text(r.Cells[0]))] = marks
			case s.has(table, []string{"mark", "finished"}):
				where, _, _ := strings.Cut(strings.ToLower(table.Caption), ":")
				if out[where] == nil {
					out[where] = map[string]string{}
				}
				out[where][text(r.Cells[0])] = text(r.Cells[1])
			}
		}
	}
	return out
}

// count reads a whole number of a cell.
func count(t *testing.T, s string) int {
	t.Helper()
	n, err := strconv.Atoi(strings.ReplaceAll(s, ",", ""))
	require.NoError(t, err)
	return n
}

func TestNothingOfTheQuoteIsLostToTheCrew(t *testing.T) {
	checks := []struct {
		lost string
		hold func(t *testing.T, q *pricing.Quote, s *sheet)
	}{
		{"no stake and no measure", checkStakes},
		{"no depth and no digging", checkDepths},
		{"no cut and no strip", checkCuts},
		{"no purchase", checkPurchases},
		{"no task and no wait", checkTasks},
		{"no notice", checkNotices},
		{"no place that is built", checkPlaces},
		{"only what is no business of the crew", checkEarnings},
	}
	everywhere(t, func(t *testing.T, q *pricing.Quote, l *locale.Locale) {
		s := newSheet(q, l)
		for _, c := range checks {
			t.Run(c.lost, func(t *testing.T) { c.hold(t, q, s) })
		}
	})
}

func checkStakes(t *testing.T, q *pricing.Quote, s *sheet) {
	l, system := s.l, q.Job.System
	var stakes, spans, right, arcs, curves, stations [][]string
	for i := range q.Takeoff.SetOut.Parts {
		p := &q.Takeoff.SetOut.Parts[i]
		label := func(k int) string { return p.Stakes[k].Label }
		fromTo := func(a, b int) string { return l.Say("crew.from_to", "from", label(a), "to", label(b)) }
		for k := range p.Stakes {
			v := &p.Stakes[k]
			stakes = append(stakes, []string{v.Label, l.Length(v.At.X, system), l.Length(v.At.Y, system), l.Length(v.ToFirst, system), l.Length(v.ToSecond, system)})
		}
		for _, v := range p.Spans {
			kinds := [...]string{outline.SideSpan: "side", outline.DiagonalSpan: "diagonal", outline.CrossSpan: "cross"}
			spans = append(spans, []string{l.Say("crew.measure."+kinds[v.Kind], "stakes", fromTo(v.From, v.To)), l.Length(v.Length, system)})
		}
		for _, v := range p.RightAngles {
			right = append(right, []string{label(v.At), l.Length(v.Hypotenuse, system)})
		}
		for _, v := range p.Pivots {
			arcs = append(arcs, []string{label(v.Stake), fromTo(v.From, v.To), l.Length(v.Radius, system)})
		}
		for _, v := range p.Curves {
			for _, m := range v.Marks {
				curves = append(curves, []string{l.Length(m.Along, system), l.Length(m.At.X, system), l.Length(m.At.Y, system)})
			}
		}
		for _, v := range p.Taped {
			stations = append(stations, []string{l.Length(v.Along, system), l.Length(v.Out, system), label(v.Stake)})
		}
	}
	pick := func(rows [][]string, columns ...int) [][]string {
		var out [][]string
		for _, r := range rows {
			var cells []string
			for _, c := range columns {
				cells = append(cells, r[c])
			}
			out = append(out, cells)
		}
		return out
	}
	whole := dump(s.doc)
	for i := range q.Takeoff.SetOut.Parts {
		b := &q.Takeoff.SetOut.Parts[i].Baseline
		assert.Contains(t, whole, l.Say("crew.baseline", "first", b.First, "second", b.Second, "length", l.Length(b.Length, system)))
	}
	assert.NotEmpty(t, stakes)
	assert.Equal(t, stakes, pick(s.rows("stake", "marks"), 0, 2, 3, 4, 5))
	assert.Equal(t, spans, pick(s.rows("measure"), 0, 1))
	assert.Equal(t, right, pick(s.rows("hypotenuse"), 0, 3))
	assert.Equal(t, arcs, pick(s.rows("chord"), 1, 2, 3))
	assert.Equal(t, curves, pick(s.rows("along", "x"), 0, 1, 2))
	assert.Equal(t, stations, pick(s.rows("along", "out"), 0, 1, 2))
}

func TestLevelsOfStakesAreToldWhereTheGroundFalls(t *testing.T) {
	t.Parallel()
	fall := 0
	for _, name := range sample.Names(t) {
		q, l := sample.Quote(t, name), locale.Default()
		said := map[string]string{}
		for _, r := range newSheet(q, l).rows("level") {
			said[r[0]] = r[6]
		}
		for i := range q.Takeoff.SetOut.Parts {
			for _, s := range q.Takeoff.SetOut.Parts[i].Stakes {
				if s.Kind == outline.PivotStake || s.Down <= 0 {
					continue
				}
				fall++
				assert.Equal(t, l.Depth(s.Down, q.Job.System)+" below the string", said[s.Label], "%s: stake %s", name, s.Label)
			}
		}
	}
	assert.Positive(t, fall)
}

func checkDepths(t *testing.T, q *pricing.Quote, s *sheet) {
	l, system := s.l, q.Job.System
	var diggings, said []string
	sticks := s.sticks()
	assert.Len(t, sticks, len(q.Takeoff.SetOut.Gauges))
	for _, g := range q.Takeoff.SetOut.Gauges {
		marks := map[string]string{}
		for _, m := range g.Marks {
			name := l.Say("crew.mark."+string(m.Kind), "n", l.Whole(m.Lift))
			switch {
			case m.Kind == estimate.FinishedSurface:
				assert.Zero(t, m.Down, "every stick has it, and the remark tells so")
			case m.Down > 0:
				marks[name] = l.Say("crew.down.finished", "depth", l.Depth(m.Down, system))
			case m.Down < 0:
				marks[name] = l.Say("crew.up.finished", "depth", l.Depth(-m.Down, system))
			default:
				marks[name] = l.Say("crew.at.finished")
			}
		}
		where := l.Say("crew.dug."+string(g.Part), "id", g.Zone)
		assert.Equal(t, marks, sticks[strings.ToLower(where)], where)
	}
	var earthworks [][]string
	for _, d := range q.Takeoff.Diggings {
		diggings = append(diggings, l.Depth(d.Depth, system)+" "+l.Area(d.Area, system)+" "+l.Volume(d.Volume, system))
		if e := d.Earthwork; e != nil {
			where := l.Say("crew.dug."+string(d.Part), "id", d.Zone)
			earthworks = append(earthworks, []string{strings.ToUpper(where[:1]) + where[1:], l.Volume(e.Cut, system), l.Depth(e.CutDepth, system), l.Area(e.CutArea, system),
				l.Volume(e.Fill, system), l.Depth(e.FillDepth, system), l.Area(e.FillArea, system)})
		}
	}
	said = nil
	for _, r := range s.rows("dug_depth") {
		said = append(said, strings.Join(r[1:], " "))
	}
	assert.Equal(t, diggings, said)
	assert.Equal(t, earthworks, s.rows("cut", "fill"))
	loads := s.rows("loose")
	require.Len(t, loads, len(q.Loads))
	for i := range q.Loads {
		for k := range q.Loads[i].By {
			assert.Equal(t, l.Whole(q.Loads[i].By[k].Loads), strings.Fields(loads[i][3+k])[0])
			assert.NotEqual(t, q.Loads[i].By[k].MassGoverns(), strings.Contains(loads[i][3+k], "("), "volume stands beside its loads")
		}
	}
	if len(q.Takeoff.Diggings) > 0 {
		assert.Contains(t, dump(s.doc), l.Volume(q.Takeoff.Spoil.Loose, system))
		assert.Contains(t, dump(s.doc), l.Mass(q.Takeoff.Spoil.Mass, system))
	}
}

func TestSticksOfManyMarksStandByThemselves(t *testing.T) {
	t.Parallel()
	for depth, alone := range map[string]bool{"6 in": false, "24 in": true} {
		t.Run(depth+" of base", func(t *testing.T) {
			t.Parallel()
			q := sample.Of(t, []byte(`{"ground": {"soil": "clay", "cover": "turf", "haul": "20 ft"},
				"beds": [{"id": "b", "outline": {"kind": "rectangle", "length": "10 ft", "width": "4 ft"}, "dig": "3 in", "stone": {"material": "pebble-20", "depth": "2 in"}}],
				"paving": [{"id": "p", "outline": {"kind": "rectangle", "at": ["0 ft", "20 ft"], "length": "8 ft", "width": "6 ft"}, "unit": "paver-8x4", "bond": "running",
					"joint": {"width": "1/8 in", "fill": "sand-joint"}, "base": {"material": "base-crushed", "depth": "`+depth+`"}, "sand": {"material": "sand-bedding", "depth": "1 in"}}]}`))
			for _, tag := range locale.Tags() {
				l := in(t, tag)
				wholeSheet(t, q, l)
				s := newSheet(q, l)
				checkDepths(t, q, s)
				assert.Equal(t, alone, len(s.rows("mark", "finished")) > 0)
			}
		})
	}
}

func checkCuts(t *testing.T, q *pricing.Quote, s *sheet) {
	l, system := s.l, q.Job.System
	var runs, courses []string
	cuts, cutFor := map[string]int{}, map[string]int{} // cutFor by run too
	passes, pieces := 0, 0
	add := func(c *course.Course) {
		passes += c.SawPasses
		keys := [...]string{course.Closer: "closer", course.Wedge: "wedge", course.Mitre: "mitre", course.Splay: "splay"}
		for _, k := range c.Cuts {
			words := strings.Join([]string{l.Say("crew.cut." + keys[k.Kind]), l.Angle(k.Angle), l.Depth(k.Off, system), l.Depth(k.Left, system), l.Depth(k.Length, system)}, " ")
			run := l.Say("crew.corner", "n", strconv.Itoa(k.Corner))
			if k.Side != outline.None {
				run = l.Say("crew.side", "n", strconv.Itoa(k.Side))
			}
			cuts[words] += k.Count
			cutFor[words+" "+run] += k.Count
		}
	}
	lay := func(c *course.Course) {
		for _, r := range c.Runs {
			runs = append(runs, strings.Join([]string{l.Length(r.RunLength, system), l.Whole(r.Units.Whole), l.Whole(r.Units.Cut), l.Depth(r.JointWidth, system)}, " "))
		}
		courses = append(courses, l.Whole(c.Units.Whole)+" "+l.Whole(c.Units.Cut))
	}
	for i := range q.Takeoff.Courses {
		add(q.Takeoff.Courses[i].Course)
		lay(q.Takeoff.Courses[i].Course)
	}
	for i := range q.Takeoff.Paving {
		p := &q.Takeoff.Paving[i]
		passes += p.Field.SawPasses
		pieces += len(p.Field.Pieces)
		if p.Border != nil {
			add(p.Border)
			lay(p.Border)
		}
	}
	cutsSaid, cutForSaid := map[string]int{}, map[string]int{}
	for _, r := range s.rows("cut_length") {
		words := strings.Join([]string{r[0], r[2], r[3], r[4], r[5]}, " ")
		cutsSaid[words] += count(t, r[1])
		for _, run := range strings.Split(r[6], ", ") {
			n := count(t, r[1]) // of the only run
			if name, its, ok := strings.Cut(run, " ("); ok {
				run, n = name, count(t, strings.TrimSuffix(its, ")"))
			}
			cutForSaid[words+" "+run] += n
		}
	}
	assert.Equal(t, cuts, cutsSaid)
	assert.Equal(t, cutFor, cutForSaid)
	var said []string
	for _, r := range s.rows("run", "laid_length") {
		said = append(said, strings.Join(r[1:5], " "))
	}
	assert.Equal(t, runs, said)
	assert.Len(t, s.rows("run", "starts"), len(runs))
	if passes > 0 {
		assert.Contains(t, dump(s.doc), l.Count("crew.saw_passes", passes))
	}
	sum := 0
	for _, r := range s.rows("passes_each") {
		sum += count(t, r[1])
	}
	assert.Equal(t, pieces, sum, "every cut piece of a field")

	var strips []string
	cloth, ofPieces, joined := 0, 0, 0
	for i := range q.Takeoff.Fabrics {
		for _, v := range q.Takeoff.Fabrics[i].Layout.Strips {
			strips = append(strips, l.Length(v.Length, system))
			cloth += len(v.Pieces)
			if len(v.Pieces) > 1 {
				ofPieces++
			}
		}
	}
	said = nil
	alike := func(name string) int {
		if m := regexp.MustCompile(`(\d+)\D+(\d+)`).FindStringSubmatch(name); m != nil {
			return count(t, m[2]) - count(t, m[1]) + 1
		}
		return 1
	}
	for _, r := range s.rows("strip") {
		said = append(said, slices.Repeat([]string{r[1]}, alike(r[0]))...)
		if strings.Contains(r[2], " + ") {
			joined += alike(r[0])
		}
	}
	assert.Equal(t, ofPieces, joined, "strips that are joined of pieces")
	assert.Equal(t, strips, said)
	sum = 0
	for _, r := range s.rows("roll") {
		rolls := alike(r[0])
		for _, piece := range strings.Split(r[1], "; ") {
			sum += rolls * count(t, strings.Fields(piece)[0])
		}
	}
	assert.Equal(t, cloth, sum, "every piece of cloth is cut from a roll")
}

func checkPurchases(t *testing.T, q *pricing.Quote, s *sheet) {
	l, plan := s.l, &q.Supply.Plan
	var bought, said []string
	for _, u := range plan.Suppliers { // a list for each supplier
		for _, b := range plan.Purchases {
			if b.Supplier == u.Supplier {
				m, ok := q.List.Catalogue.Material(b.Material)
				require.True(t, ok)
				bought = append(bought, strings.Join([]string{m.Name, l.Decimal(b.Count), l.Mass(b.Mass, q.Job.System), l.Money(b.Amount, q.List.Currency)}, " | "))
			}
		}
	}
	for _, r := range s.rows("pack") {
		said = append(said, strings.Join([]string{r[0], r[2], r[3], r[5]}, " | "))
	}
	assert.Equal(t, bought, said)
	assert.Len(t, bought, len(plan.Purchases))
	suppliers := s.rows("supplier", "goods")
	require.Len(t, suppliers, len(plan.Suppliers))
	for i, u := range plan.Suppliers {
		key := "crew.drops"
		if u.Way == supply.PickedUp {
			key = "crew.trips"
		}
		assert.Equal(t, []string{l.Count(key, u.Trips), l.Mass(u.Mass, q.Job.System), l.Money(u.Goods, q.List.Currency), l.Money(u.Charge, q.List.Currency)}, suppliers[i][1:])
	}
	assert.Len(t, s.rows("in_bags"), len(q.Supply.Comparison))
	if x := q.Supply.Short; x != nil {
		short := s.rows("chance")
		require.Len(t, short, len(x.Materials))
		for i := range short {
			assert.Equal(t, l.PercentOf(float64(x.Materials[i].Short), 1), short[i][3])
		}
	}
	orders := 0
	for _, b := range s.doc.Blocks {
		if list, ok := b.(*page.List); ok && list.Boxes {
			orders += len(list.Items)
		}
	}
	marking := 0
	if q.Plan.MarksFirst {
		marking = 1
	}
	assert.Equal(t, len(q.Plan.Deliveries)+marking, orders, "what is ordered before the first day")
}

func checkTasks(t *testing.T, q *pricing.Quote, s *sheet) {
	l := s.l
	var tasks []string
	for i := range q.Plan.Tasks {
		k := &q.Plan.Tasks[i]
		tasks = append(tasks, l.Say("crew.operation."+string(k.Operation))+" "+l.Whole(k.People)+" "+l.Decimal(k.Hours))
	}
	var said []string
	boxes := 0
	for _, r := range s.rows("when") {
		if r[3] != "" { // not one that goes on
			said = append(said, strings.Join(r[1:4], " "))
		}
	}
	assert.ElementsMatch(t, tasks, said)
	for _, b := range s.doc.Blocks {
		if table, ok := b.(*page.Table); ok && s.has(table, []string{"when"}) {
			for _, r := range table.Rows {
				if r.Box {
					boxes++
				}
			}
		}
	}
	assert.Equal(t, len(tasks), boxes, "every task is ticked off once")
	checkWaits(t, q, s)
	assert.Len(t, s.rows("holds_back"), len(q.Plan.Holds))
	hires := 0
	for i := range q.Hires {
		if q.Hires[i].Chosen {
			hires += len(q.Hires[i].Periods)
		}
	}
	assert.Len(t, s.rows("machine"), hires)
	whole := dump(s.doc)
	for i := range q.Hires {
		assert.Contains(t, whole, q.Hires[i].Machine.Name)
	}
	lifting := s.rows("limit")
	require.Len(t, lifting, len(q.Lifting))
	for i := range lifting {
		assert.Equal(t, l.Mass(q.Lifting[i].Mass, q.Job.System), lifting[i][1])
	}
}

// checkWaits looks for what every task waits for and why, in one item of a list.
func checkWaits(t *testing.T, q *pricing.Quote, s *sheet) {
	l := s.l
	var items []string
	for _, b := range s.doc.Blocks {
		if list, ok := b.(*page.List); ok && !list.Boxes {
			for _, item := range list.Items {
				items = append(items, strings.ToLower(text(item)))
			}
		}
	}
	between := strings.TrimSuffix(strings.TrimPrefix(l.Say("crew.wait", "task", "<", "for", ">"), "<"), ">.")
	for i := range q.Plan.Tasks {
		k := &q.Plan.Tasks[i]
		for _, w := range k.Waits {
			task, on := l.Say("crew.operation."+string(k.Operation)), l.Say("crew.operation."+string(w.For))
			reason, _ := l.Sentence(w.Reason)
			assert.True(t, slices.ContainsFunc(items, func(item string) bool {
				before, after, found := strings.Cut(item, between)
				return found && strings.Contains(before, strings.ToLower(task)) && strings.Contains(after, strings.ToLower(on)) && strings.Contains(after, strings.ToLower(reason))
			}), "%s waits for %s: %s", task, on, reason)
		}
	}
}

func checkNotices(t *testing.T, q *pricing.Quote, s *sheet) {
	l := s.l
	require.Len(t, s.notes, len(q.Notices))
	for i, n := range s.notes {
		at := slices.IndexFunc(q.Notices, func(x estimate.Notice) bool {
			said, _ := l.Sentence(x.Message)
			return strings.EqualFold(said, text(n.Text)) || strings.EqualFold(said, strings.TrimPrefix(text(n.Text), "[en]"))
		})
		require.GreaterOrEqual(t, at, 0, text(n.Text))
		assert.Equal(t, q.Notices[at].Source, n.Source)
		assert.Equal(t, q.Notices[at].Confirm != "", len(n.Ask) > 0)
		if i > 0 {
			assert.LessOrEqual(t, n.Tone, page.Caution)
			assert.GreaterOrEqual(t, s.notes[i-1].Tone, n.Tone, "cautions come first")
		}
	}
}

// amounts are how much of every material of a quote goes to every place.
func amounts(q *pricing.Quote, l *locale.Locale) []string {
	amount := func(a estimate.Amount) string {
		switch a.Kind {
		case estimate.LengthAmount:
			return l.Length(measure.Length(a.Value), q.Job.System)
		case estimate.AreaAmount:
			return l.Area(measure.Area(a.Value), q.Job.System)
		case estimate.VolumeAmount:
			return l.Volume(measure.Volume(a.Value), q.Job.System)
		case estimate.CountAmount:
		}
		return l.Number(math.Ceil(a.Value-1e-9), 0)
	}
	var out []string
	for i := range q.Lines {
		m := q.Lines[i].Material
		if m == nil {
			continue
		}
		for _, z := range m.Zones {
			out = append(out, m.Material.Name+" for "+z.ID)
			if z.Share.Kind != estimate.CountAmount {
				out[len(out)-1] += ": " + amount(z.Share)
			}
		}
		out = append(out, m.Material.Name+" to buy: "+amount(m.Required))
	}
	return out
}

// amounts are those that the sheet tells.
func (s *sheet) amounts() []string {
	var out []string
	for _, b := range s.doc.Blocks {
		table, ok := b.(*page.Table)
		if !ok || !s.has(table, []string{"purpose", "laid", "to_buy"}) {
			continue
		}
		for _, r := range table.Rows {
			if where := strings.Fields(text(r.Cells[2])); !r.Sum {
				out = append(out, text(r.Cells[1])+" for "+where[len(where)-1])
				if laid := text(r.Cells[3]); !counted.MatchString(laid) {
					out[len(out)-1] += ": " + laid
				}
			}
			if buy := text(r.Cells[4]); buy != "" {
				if counted.MatchString(buy) {
					buy = strings.Fields(buy)[0]
				}
				out = append(out, text(r.Cells[1])+" to buy: "+buy)
			}
		}
	}
	return out
}

// counted are amounts of things that are counted.
var counted = regexp.MustCompile(`^[\d,.]+ (units?|pieces?|rolls?|piezas?|rollos?)$`)

func checkPlaces(t *testing.T, q *pricing.Quote, s *sheet) {
	l := s.l
	whole := dump(s.doc)
	for i := range q.Takeoff.Paving {
		p := &q.Takeoff.Paving[i]
		bonds := [...]string{bond.Stack: "stack", bond.Running: "running", bond.Herringbone45: "herringbone_45", bond.Herringbone90: "herringbone_90", bond.BasketWeave: "basket_weave"}
		assert.Contains(t, whole, l.Say("crew.bond."+bonds[p.Area.Laying.Bond]))
		assert.Contains(t, whole, l.Say("crew.offcuts", "bought", l.Whole(p.Field.Bought.Units), "n", l.Whole(p.Field.Bought.FromOffcuts)))
	}
	for i := range q.Takeoff.Slabs {
		assert.Contains(t, whole, l.Length(q.Takeoff.Slabs[i].Grid.Length(), q.Job.System))
	}
	assert.Len(t, s.rows("planter"), len(q.Takeoff.Planters))
	zones := 0
	for i := range q.Lines {
		if m := q.Lines[i].Material; m != nil {
			zones += len(m.Zones)
		}
	}
	assert.Len(t, s.rows("purpose", "laid"), zones)
	assert.Equal(t, amounts(q, l), s.amounts())
	if o := q.ChangeOrder; o != nil {
		assert.Len(t, s.rows("work_change"), len(o.NewWork)+len(o.Dropped))
		assert.Len(t, s.rows("bought_before"), len(o.Stock))
	}
	for i := range q.Options {
		assert.Contains(t, whole, "### "+q.Options[i].Name)
	}
}

// sampleJob is the text of a sample job by its members.
func sampleJob(t *testing.T, name string) map[string]json.RawMessage {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join("../../../testdata/jobs", name+".json"))
	require.NoError(t, err)
	out := map[string]json.RawMessage{}
	require.NoError(t, json.Unmarshal(raw, &out))
	return out
}

// otherPercentages are commercial terms unlike those of any sample.
const otherPercentages = `{"contingency_percent": 7.77, "overhead_percent": 13.13, "markup_percent": 31.7, "discount_percent": 2.9, "deposit_percent": 0, "stages": [{"name": "once", "percent": 100}], "valid_days": 17}`

func TestWhatMakesAPriceOfTheCostMovesNoLetterOfTheCrewSheet(t *testing.T) {
	t.Parallel()
	for _, name := range sample.Names(t) {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			job := sampleJob(t, name)
			job["commercial"] = json.RawMessage(otherPercentages)
			changed, err := json.Marshal(job)
			require.NoError(t, err)
			was, is := sample.Quote(t, name), sample.Of(t, changed)
			require.NotEqual(t, was.Totals.Price, is.Totals.Price)
			assert.Equal(t, dump(edition.Crew(was, locale.Default())), dump(edition.Crew(is, locale.Default())))
		})
	}
}

func checkEarnings(t *testing.T, q *pricing.Quote, s *sheet) {
	words := regexp.MustCompile(`(?i)contingency|overhead|profit|markup|margin\b|deposit|imprevistos|gastos generales|ganancia|utilidad\b|anticipo`)
	l, whole := s.l, dump(s.doc)
	assert.Empty(t, words.FindAllString(whole, -1))
	t.Run("amounts", func(t *testing.T) {
		for _, amount := range []money.Amount{q.Totals.Contingency, q.Totals.Overhead, q.Totals.Profit, q.Totals.Discount, q.Totals.BeforeTax, q.Totals.Price} {
			if amount != 0 {
				assert.NotRegexp(t, `(^|[^\d,.])`+regexp.QuoteMeta(l.Money(amount, q.List.Currency))+`($|[^\d])`, whole)
			}
		}
	})
}

func TestSpanishHasEveryWordOfTheCrewSheet(t *testing.T) {
	t.Parallel()
	english, spanish, british := catalogue(t, "en-US", "crew"), catalogue(t, "es-US", "crew"), catalogue(t, "en-GB", "crew")
	require.Len(t, spanish, len(english))
	for key, message := range english {
		require.Contains(t, spanish, key)
		assert.ElementsMatch(t, holes.FindAllString(message, -1), holes.FindAllString(spanish[key], -1), "the same values: %s", key)
	}
	for key, message := range british {
		require.Contains(t, english, key)
		assert.NotEqual(t, english[key], message, "only what differs: %s", key)
		assert.ElementsMatch(t, holes.FindAllString(english[key], -1), holes.FindAllString(message, -1))
	}
}

func TestTasksAreCalledAsTheAnswerCallsThem(t *testing.T) {
	t.Parallel()
	for _, op := range pricing.Operations() {
		assert.Equal(t, pricing.Describe(op), locale.Default().Say("crew.operation."+string(op)))
		for _, tag := range locale.Tags() {
			assert.True(t, in(t, tag).Has("crew.operation."+string(op)))
		}
	}
}
