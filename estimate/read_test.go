package estimate_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/estimate/measure"
)

func TestItem38SignsAndUnits(t *testing.T) {
	t.Parallel()
	full := func(member, value string) string {
		values := map[string]string{"length": `"10 ft"`, "width": `"4 ft"`, "dig": `"2 in"`, "depth": `"2 in"`, "x": `"0 ft"`, "reveal": `"0 in"`, "gap": `"1 in"`,
			"clearance": `"0 in"`, "joint": `"0 in"`, "haul": `"10 ft"`}
		values[member] = value
		return `{"ground":{"soil":"loam","cover":"bare","haul":` + values["haul"] + `},"beds":[{"id":"b","outline":{"kind":"rectangle","at":[` + values["x"] + `,"0 ft"],"length":` +
			values["length"] + `,"width":` + values["width"] + `},"dig":` + values["dig"] + `,"stone":{"material":"stone","depth":` + values["depth"] +
			`},"edging":{"unit":"edger","course":"sailor","reveal":` + values["reveal"] + `,"side_clearance":` + values["clearance"] + `,"joint":{"width":` + values["joint"] +
			`}}}],"slabs":[{"id":"s","unit":"slab","rows":1,"columns":2,"gap":` + values["gap"] + `,"at":["1 ft","1 ft"]}]}`
	}
	tests := []struct{ name, member, value, fault string }{
		{"all is well", "x", `"0 ft"`, ""},
		{"coordinates may be negative", "x", `"-12 ft 6 in"`, ""},
		{"zero without a unit is refused", "dig", `0`, "/beds/0/dig unit_missing"},
		{"zero in a text without a unit is refused", "dig", `"0"`, "/beds/0/dig unit_missing"},
		{"zero with its unit is no digging", "dig", `"0 in"`, ""},
		{"a number without a unit is refused", "length", `12`, "/beds/0/outline/length unit_missing"},
		{"a text without a unit is refused", "length", `"12"`, "/beds/0/outline/length unit_missing"},
		{"lengths of sides must be more than zero", "length", `"0 ft"`, "/beds/0/outline/length not_positive"},
		{"widths must be more than zero", "width", `"-4 ft"`, "/beds/0/outline/width not_positive"},
		{"digging can't be negative", "dig", `"-2 in"`, "/beds/0/dig negative"},
		{"a layer has a depth", "depth", `"0 in"`, "/beds/0/stone/depth not_positive"},
		{"a reveal can't be negative", "reveal", `"-1 in"`, "/beds/0/edging/reveal negative"},
		{"a clearance can't be negative", "clearance", `"-1 in"`, "/beds/0/edging/side_clearance negative"},
		{"a joint can't be negative", "joint", `"-1/8 in"`, "/beds/0/edging/joint/width negative"},
		{"a gap can't be negative", "gap", `"-1 in"`, "/slabs/0/gap negative"},
		{"a haul can't be negative", "haul", `"-10 ft"`, "/ground/haul negative"},
		{"null is no length", "dig", `null`, "/beds/0/dig null"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			want := []string{}
			if test.fault != "" {
				want = []string{test.fault}
			}
			assert.Equal(t, want, faultsOf(t, full(test.member, test.value)))
		})
	}
}

func TestItem38UnknownMembersAreRefusedWhereTheyStand(t *testing.T) {
	t.Parallel()
	text := `{"ground":{"soil":"loam","cover":"bare","haul":"0 ft","colour":1},"beds":[{"id":"b","outlne":1,"outline":{"kind":"circle","radius":"4 ft","width":"2 ft"},
		"stone":{"material":"stone","depth":"2 in","deep":"3 in"},"edging":{"unit":"edger","course":"sailor","joint":{"width":"1/8 in","fll":"x"},"courses":1}}],
		"slabs":[{"id":"s","unit":"slab","rows":1,"columns":1,"at":["0 ft","0 ft"],"column":2}],"allowances":{"stone":5},"hedges":[]}`
	want := []string{"/ground/colour", "/beds/0/outlne", "/beds/0/outline/width", "/beds/0/stone/deep", "/beds/0/edging/joint/fll", "/beds/0/edging/courses", "/slabs/0/column",
		"/allowances/stone", "/hedges"}
	for i := range want {
		want[i] += " unknown_member"
	}
	assert.Equal(t, want, faultsOf(t, text))
}

func TestItem44LengthsAreReadAsACrewSaysThem(t *testing.T) {
	t.Parallel()
	for _, text := range []string{"70 in", "5 ft 10 in", `5' 10\"`, "5' 10″", "177.8 cm", "1778 mm", "1.778 m", "5.8333333333 ft"} {
		out := takeoff(t, plain(), job(beds(bed("b", `{"kind":"rectangle","length":"`+text+`","width":"2 ft"}`))))
		assert.InDelta(t, 70.0/12*2, ft2(out.Beds[0].Area), 1e-9, text)
	}
	for _, text := range []string{"5 ft 14 in", "1e2 in", "1,5 m", "5 ft 10 cm", "70", "70 inch and a bit", "1234567890123 in", "", "in", "5 10 in", "1 m 10 mm extra", "5 in 1 ft"} {
		got := faultsOf(t, job(beds(bed("b", `{"kind":"rectangle","length":"`+text+`","width":"2 ft"}`))))
		require.Len(t, got, 1, text)
		assert.Contains(t, got[0], "/beds/0/outline/length ", text)
	}
}

func TestItem46WhatContradictsItselfIsRefused(t *testing.T) {
	t.Parallel()
	square := rectangle("0 ft", "0 ft", "10 ft", "10 ft")
	tests := []struct {
		name, text string
		want       []string
	}{
		{"a job without beds and slabs", job(`"title":"x"`), []string{" empty_job"}},
		{"a job of empty lists", job(beds(), slabs()), []string{" empty_job"}},
		{"two beds of one id", job(beds(bed("b", square), bed("b", rectangle("20 ft", "0 ft", "1 ft", "1 ft")))), []string{"/beds/1/id duplicate_id"}},
		{"slabs with the id of a bed", job(beds(bed("b", square)), slabs(slabGroup("b", "slab", 1, 1, "1 ft", "1 ft"))), []string{"/slabs/0/id duplicate_id"}},
		{"slabs in no bed of the job", job(beds(bed("b", square)), slabs(slabGroup("s", "slab", 1, 1, "1 ft", "1 ft", `"in_bed":"c"`))), []string{"/slabs/0/in_bed unknown_bed"}},
		{"a material that the list does not have", job(beds(bed("b", square, `"stone":{"material":"ston","depth":"2 in"}`))), []string{"/beds/0/stone/material unknown_material"}},
		{"a unit where stone belongs", job(beds(bed("b", square, `"stone":{"material":"slab","depth":"2 in"}`))), []string{"/beds/0/stone/material wrong_material_kind"}},
		{"stone where a unit belongs", job(slabs(slabGroup("s", "stone", 1, 1, "1 ft", "1 ft"))), []string{"/slabs/0/unit wrong_material_kind"}},
		{"a pin where fabric belongs", job(beds(bed("b", square, `"fabric":{"material":"pin","under":"bed"}`))), []string{"/beds/0/fabric/material wrong_material_kind"}},
		{"a soil that the list does not have", `{"ground":{"soil":"rock","cover":"bare","haul":"0 ft"},` + beds(bed("b", square)) + `}`, []string{"/ground/soil unknown_soil"}},
		{"a side that the outline does not have", job(beds(bed("b", square, edging(`"sides":[0,4]`)))), []string{"/beds/0/edging/sides/1 unknown_side"}},
		{"a side named twice", job(beds(bed("b", square, edging(`"sides":[0,0]`)))), []string{"/beds/0/edging/sides/1 duplicate_item"}},
		{"a corner that the outline does not have", job(beds(bed("b", square, edging(`"corners":[4]`)))), []string{"/beds/0/edging/corners/0 unknown_corner"}},
		{"a sharp corner can't be edged alone", job(beds(bed("b", square, edging(`"sides":[0],"corners":[2]`)))), []string{"/beds/0/edging/corners unknown_corner"}},
		{"a circle with radius and diameter", job(beds(bed("b", `{"kind":"circle","radius":"4 ft","diameter":"8 ft"}`))), []string{"/beds/0/outline/diameter conflict"}},
		{"a circle of no size", job(beds(bed("b", `{"kind":"circle"}`))), []string{"/beds/0/outline/radius missing"}},
		{"two points", job(beds(bed("b", `{"kind":"polygon","points":[["0 ft","0 ft"],["1 ft","0 ft"]]}`))), []string{"/beds/0/outline/points out_of_range"}},
		{"a point twice", job(beds(bed("b", `{"kind":"polygon","points":[["0 ft","0 ft"],["1 ft","0 ft"],["12 in","0 ft"],["0 ft","1 ft"]]}`))), []string{"/beds/0/outline/points/2 duplicate_point"}},
		{"a bow tie", job(beds(bed("b", `{"kind":"polygon","points":[["0 ft","0 ft"],["4 ft","4 ft"],["4 ft","0 ft"],["0 ft","4 ft"]]}`))), []string{"/beds/0/outline/points outline_crosses_itself"}},
		{"a radius that does not fit", job(beds(bed("b", `{"kind":"rectangle","length":"10 ft","width":"4 ft","corner_radius":"25 in"}`))), []string{"/beds/0/outline/corner_radius radius_does_not_fit"}},
		{"too few radii", job(beds(bed("b", `{"kind":"polygon","points":[["0 ft","0 ft"],["4 ft","0 ft"],["0 ft","4 ft"]],"corner_radii":["1 in"]}`))), []string{"/beds/0/outline/corner_radii wrong_count"}},
		{"a bed of nothing", job(beds(bed("b", rectangle("0 ft", "0 ft", "1 cm", "5 mm")))), []string{"/beds/0/outline outline_too_small"}},
		{"units that stand on the ground", job(beds(bed("b", square, edging(`"reveal":"2 1/2 in"`)))), []string{"/beds/0/edging/reveal reveal_above_unit"}},
		{"an arc too tight for its units", job(beds(bed("b", `{"kind":"circle","radius":"5 in"}`, edging(`"curves":"cut"`)))), []string{"/beds/0/edging/unit radius_too_tight"}},
		{"a joint that may not be as wide as it is", job(beds(bed("b", square, edging(`"joint":{"width":"1/4 in","max":"1/8 in"}`)))), []string{"/beds/0/edging/joint/max out_of_range"}},
		{"a joint deeper than the unit", job(beds(bed("b", square, edging(`"joint":{"width":"1/4 in","depth":"3 in"}`)))), []string{"/beds/0/edging/joint/depth out_of_range"}},
		{"a joint as wide as the unit", job(beds(bed("b", square, edging(`"joint":{"width":"4 in"}`)))), []string{"/beds/0/edging/joint/width out_of_range"}},
		{"a slab joint deeper than the slab", job(slabs(slabGroup("s", "slab", 1, 2, "1 ft", "1 ft", `"gap":"1 in"`, `"joint":{"fill":"fill","depth":"3 in"}`))), []string{"/slabs/0/joint/depth out_of_range"}},
		{"no slabs", job(slabs(slabGroup("s", "slab", 0, 1, "1 ft", "1 ft"))), []string{"/slabs/0/rows out_of_range"}},
		{"a rectangle too long for the ground", job(beds(bed("b", rectangle("0 ft", "0 ft", "9999999 m", "1 m")))), []string{"/beds/0/outline/length too_large"}},
		{"a point too far out", job(beds(bed("b", `{"kind":"polygon","points":[["0 ft","0 ft"],["9999999 m","0 ft"],["0 ft","4 ft"]]}`))), []string{"/beds/0/outline/points/1 too_large"}},
		{"a circle too wide", job(beds(bed("b", `{"kind":"circle","diameter":"9999999 m"}`))), []string{"/beds/0/outline/diameter too_large"}},
		{"slabs too far out", job(slabs(slabGroup("s", "slab", 1, 1, "9999999 m", "1 ft"))), []string{"/slabs/0/at too_large"}},
		{"slabs that reach too far out", job(slabs(slabGroup("s", "slab", 1, 3, "999999 m", "1 ft"), slabGroup("u", "slab", 2, 1, "1 ft", "1 ft", `"gap":"1000001 m"`))), []string{"/slabs/1/at too_large"}},
		{"an outline of no known kind", job(beds(bed("b", `{"kind":"star","points":5}`))), []string{"/beds/0/outline/kind unknown_value"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			assert.Equal(t, test.want, faultsOf(t, test.text))
		})
	}
}

func TestItem06RadiiThatJustFitAreAccepted(t *testing.T) {
	t.Parallel()
	// Two radii of 2 ft use up a side of 4 ft; four of 2 ft make a 4 x 4 ft square a circle.
	out := takeoff(t, plain(), job(beds(bed("b", `{"kind":"rectangle","length":"4 ft","width":"4 ft","corner_radius":"24 in"}`))))
	assert.InDelta(t, math.Pi*4, ft2(out.Beds[0].Area), 1e-9)
	assert.InDelta(t, math.Pi*4, feet(out.Beds[0].Perimeter), 1e-9)
}

func TestItem47FaultsComeTogetherInTheOrderOfTheDocument(t *testing.T) {
	t.Parallel()
	text := `{"slabs":[{"id":"s","unit":"nope","rows":0,"columns":2,"gap":"-1 in","at":["1 ft"]}],
		"ground":{"haul":5,"soil":"rock"},
		"beds":[{"id":"B 1","dig":"two","outline":{"kind":"rectangle","length":"0 ft","width":"4"},"stone":{"depth":"2 in"}},
			{"id":"c","outline":{"kind":"circle","radius":"5 in"},"edging":{"unit":"edger","course":"cut"}}],
		"allowances":{"base":-5},"extra":1}`
	got := faultsOf(t, text)
	var pointers []string
	for _, g := range got {
		pointers = append(pointers, strings.Fields(g)[0])
	}
	assert.Equal(t, []string{"/slabs/0/unit", "/slabs/0/rows", "/slabs/0/gap", "/slabs/0/at", "/ground/haul", "/ground/soil", "/ground/cover",
		"/beds/0/id", "/beds/0/dig", "/beds/0/outline/length", "/beds/0/outline/width", "/beds/0/stone/material", "/beds/1/edging/course", "/allowances/base", "/extra"}, pointers)
}

func TestItem47GeometryFaultsOfAllBedsComeTogether(t *testing.T) {
	t.Parallel()
	ring := func(id string) string {
		return bed(id, `{"kind":"circle","radius":"5 in"}`, edging(`"curves":"cut"`))
	}
	got := faultsOf(t, job(beds(ring("a"), ring("b"), bed("c", rectangle("0 ft", "0 ft", "2 ft", "2 ft"))),
		slabs(slabGroup("s", "slab", 1, 3, "0 ft", "0 ft", `"in_bed":"c"`))))
	assert.Equal(t, []string{"/beds/0/edging/unit radius_too_tight", "/beds/1/edging/unit radius_too_tight", "/slabs/0/at outside_bed"}, got)
}

func TestItem47AFaultElsewhereDoesNotHideTheGeometry(t *testing.T) {
	t.Parallel()
	got := faultsOf(t, `{"ground":{"soil":"rock","cover":"bare","haul":"0 ft"},`+beds(bed("c", rectangle("0 ft", "0 ft", "2 ft", "2 ft")))+`,`+
		slabs(slabGroup("s", "slab", 1, 3, "0 ft", "0 ft", `"in_bed":"c"`))+`}`)
	assert.Equal(t, []string{"/ground/soil unknown_soil", "/slabs/0/at outside_bed"}, got)
}

func TestMessagesShowARightExample(t *testing.T) {
	t.Parallel()
	_, _, faults := take(t, catalogue(), job(beds(bed("b", `{"kind":"rectangle","length":12,"width":"4 ft"}`, `"stone":{"material":"stone-pack","depth":"2 in"}`))))
	require.Len(t, faults, 2)
	assert.NotEmpty(t, faults[0].Example)
	root, err := document.Parse([]byte(faults[0].Example))
	require.NoError(t, err)
	_, err = measure.ParseLength(root.Text)
	require.NoError(t, err, "the example must be a length")
	assert.Contains(t, faults[1].Detail, "stone-packed", "the nearest name is suggested")
}

func TestItem43LimitsHold(t *testing.T) {
	t.Parallel()
	many := func(n int) string {
		var list []string
		for i := range n {
			list = append(list, bed(fmt.Sprintf("b%d", i), rectangle(fmt.Sprintf("%d ft", 20*i), "0 ft", "10 ft", "4 ft"), stone2))
		}
		return job(beds(list...))
	}
	out := takeoff(t, plain(), many(100))
	assert.Len(t, out.Beds, 100)
	assert.InDelta(t, 4000*2.0/12, ft3(line(t, out, estimate.DecorativeStone, "stone").Measured), 1e-6)
	assert.Equal(t, []string{"/beds out_of_range"}, faultsOf(t, many(101)))

	out = takeoff(t, plain(), job(beds(bed("b", comb(5000)))))
	assert.Positive(t, out.Beds[0].Area)
	assert.NotEmpty(t, faultsOf(t, job(beds(bed("b", comb(5001))))))

	out = takeoff(t, plain(), job(slabs(slabGroup("s", "slab", 400, 250, "0 ft", "0 ft", base3, sand1))))
	assert.InDelta(t, 100000, line(t, out, estimate.Slabs, "slab").Measured.Value, 0)
	assert.Equal(t, []string{"/slabs/0/rows too_many"}, faultsOf(t, job(slabs(slabGroup("s", "slab", 401, 250, "0 ft", "0 ft")))))
	assert.Equal(t, []string{"/slabs/1/rows too_many"}, faultsOf(t, job(slabs(slabGroup("s", "slab", 400, 250, "0 ft", "0 ft"), slabGroup("u", "slab", 1, 1, "9000 ft", "0 ft")))))
}

// comb is an outline of n points: a bar with teeth of 1 ft, 1 ft apart.
func comb(n int) string {
	var points []string
	teeth := (n - 2) / 4
	for i := range teeth {
		x := 2 * i
		points = append(points, fmt.Sprintf(`["%d ft","2 ft"],["%d ft","6 ft"],["%d ft","6 ft"],["%d ft","2 ft"]`, x, x, x+1, x+1))
	}
	text := strings.Join(points, ",")
	extra := n - 4*teeth - 2
	last := 2*teeth - 1
	text += fmt.Sprintf(`,["%d ft","0 ft"]`, last)
	for i := range extra {
		text += fmt.Sprintf(`,["%d in","0 ft"]`, 12*last-12*(i+1))
	}
	return `{"kind":"polygon","points":[` + text + `,["0 ft","0 ft"]]}`
}
