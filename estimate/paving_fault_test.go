package estimate_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestFaultsOfPavingNameTheMemberThatMustChange(t *testing.T) {
	t.Parallel()
	square := rectangle("0 m", "0 m", "2 m", "2 m")
	tile := func(members ...string) string { return job(paving(paved("a", "tile", "stack", square, members...))) }
	for _, c := range []struct {
		name, text string
		want       []string
	}{
		{"nothing but an id", job(`"paving":[{"id":"a"}]`), []string{"/paving/0/outline missing", "/paving/0/unit missing", "/paving/0/bond missing"}},
		{"an unknown bond", job(paving(paved("a", "tile", "flemish", square))), []string{"/paving/0/bond unknown_value"}},
		{"an unknown unit", job(paving(paved("a", "tiel", "stack", square))), []string{"/paving/0/unit unknown_material"}},
		{"a unit that is no unit", job(paving(paved("a", "sand", "stack", square))), []string{"/paving/0/unit wrong_material_kind"}},
		{"an unknown bed", tile(`"in_bed":"garage"`), []string{"/paving/0/in_bed unknown_bed"}},
		{"one id twice", job(paving(paved("a", "tile", "stack", square), paved("a", "tile", "stack", square))), []string{"/paving/1/id duplicate_id"}},
		{"an id of a bed", job(beds(bed("a", square)), paving(paved("a", "tile", "stack", square))), []string{"/paving/0/id duplicate_id"}},
		{"an unknown member", tile(`"patern":1`), []string{"/paving/0/patern unknown_member"}},
		{"an offset in stack bond", tile(`"offset":0.5`), []string{"/paving/0/offset conflict"}},
		{"an offset of more than a unit", job(paving(paved("a", "tile", "running", square, `"offset":1.5`))), []string{"/paving/0/offset out_of_range"}},
		{"direction and side", tile(`"direction":3`, `"along_side":1`), []string{"/paving/0/along_side conflict"}},
		{"two directions", tile(`"direction":3`, `"start":{"at":["0 m","0 m"],"direction":3}`), []string{"/paving/0/start/direction conflict"}},
		{"a side that is not there", tile(`"along_side":4`), []string{"/paving/0/along_side unknown_side"}},
		{"a side that is an arc", job(paving(paved("a", "tile", "stack", `{"kind":"circle","radius":"1 m"}`, `"along_side":0`))), []string{"/paving/0/along_side unknown_side"}},
		{"a start without a place", tile(`"start":{"direction":3}`), []string{"/paving/0/start/at missing"}},
		{"a start beyond the horizon", tile(`"start":{"at":["2000000 m","0 m"],"direction":3}`), []string{"/paving/0/start/at too_large"}},
		{"a joint without unit", tile(`"joint":{"width":3}`), []string{"/paving/0/joint/width unit_missing"}},
		{"a joint as wide as the unit", tile(`"joint":{"width":"100 mm"}`), []string{"/paving/0/joint/width out_of_range"}},
		{"a widest joint below the width", tile(`"joint":{"width":"5 mm","max":"4 mm"}`), []string{"/paving/0/joint/max out_of_range"}},
		{"a joint deeper than the unit", tile(`"joint":{"width":"5 mm","depth":"51 mm"}`), []string{"/paving/0/joint/depth out_of_range"}},
		{"a fill that is no loose material", tile(`"joint":{"width":"5 mm","fill":"tile"}`), []string{"/paving/0/joint/fill wrong_material_kind"}},
		{"a reveal above the unit", tile(`"reveal":"51 mm"`), []string{"/paving/0/reveal reveal_above_unit"}},
		{"a border without its course", tile(`"border":{}`), []string{"/paving/0/border/course missing"}},
		{"a border of an unknown unit", tile(`"border":{"course":"sailor","unit":"x"}`), []string{"/paving/0/border/unit unknown_material"}},
		{"a border's joint as wide as its unit", tile(`"border":{"course":"sailor","joint":{"width":"100 mm"}}`), []string{"/paving/0/border/joint/width out_of_range"}},
		{"a border that leaves nothing", job(paving(paved("a", "tile", "stack", rectangle("0 m", "0 m", "2 m", "0.2 m"), `"border":{"course":"sailor"}`))), []string{"/paving/0/border no_field"}},
		{"a border too wide for its arc", job(paving(paved("a", "tile", "stack", `{"kind":"circle","radius":"0.09 m"}`, `"border":{"course":"sailor"}`))), []string{"/paving/0/unit radius_too_tight"}},
		{"a border of its own unit too wide for its arc", job(paving(paved("a", "tile", "stack", `{"kind":"circle","radius":"0.19 m"}`, `"border":{"course":"soldier","unit":"brick"}`))),
			[]string{"/paving/0/border/unit radius_too_tight"}},
		{"more units than a job may have", job(paving(paved("a", "tile", "stack", rectangle("0 m", "0 m", "40 m", "40 m")))), []string{"/paving/0/outline too_many"}},
		{"more units in two areas", job(paving(paved("a", "tile", "stack", rectangle("0 m", "0 m", "25 m", "25 m")), paved("b", "tile", "stack", rectangle("30 m", "0 m", "25 m", "25 m")))),
			[]string{"/paving/1/outline too_many"}},
		{"faults of two areas together", job(paving(paved("a", "odd", "herringbone_45", square), paved("b", "odd", "basket_weave", square))), []string{"/paving/0/unit unit_size", "/paving/1/unit unit_size"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			_, _, faults := take(t, pavingUnits(plain()), c.text)
			var got []string
			for _, f := range faults {
				got = append(got, f.Pointer+" "+f.Code)
				assert.NotEmpty(t, f.Detail)
			}
			assert.Equal(t, c.want, got)
		})
	}
}

func TestAJobMayBeOfPavingAlone(t *testing.T) {
	t.Parallel()
	out := takeoff(t, pavingUnits(plain()), job(paving(paved("a", "tile", "stack", rectangle("0 m", "0 m", "2 m", "2 m")))))
	assert.Len(t, out.Paving, 1)
	assert.Contains(t, codes(out), "edge_restraint")
	assert.Equal(t, []string{" empty_job"}, faultsOf(t, job(`"title":"x"`)))
}

func TestTheSawOfPavingIsWarnedOf(t *testing.T) {
	t.Parallel()
	out := takeoff(t, pavingUnits(plain()), job(paving(paved("a", "tile", "stack", rectangle("0 m", "0 m", "1 m", "1 m"), fromOrigin))))
	assert.NotContains(t, codes(out), "silica_dust", "nothing is cut")
	out = takeoff(t, pavingUnits(plain()), job(paving(paved("a", "tile", "stack", rectangle("0 m", "0 m", "1.05 m", "1 m"), fromOrigin))))
	assert.Contains(t, codes(out), "silica_dust")
	heavy := takeoff(t, pavingUnits(plain()), job(paving(paved("a", "slab-heavy", "stack", rectangle("0 m", "0 m", "2 m", "2 m"), sand1, base3))))
	assert.Contains(t, codes(heavy), "heavy_unit")
	assert.Contains(t, codes(heavy), "thin_base")
}
