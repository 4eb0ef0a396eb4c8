package pricing

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/estimate/measure"
	"bedline/pricing/money"
	"bedline/pricing/supply"
)

// The prices are invented.
const yardText = `{"name":"yard","currency":"USD","system":"metric","effective":"2027-03-01",
"materials":[
 {"key":"sand","name":"Sand","kind":"loose","loose_density":"1000 kg/m3","compaction_factor":1,"surplus":{"per":"1 m3","resale":"10.00"}},
 {"key":"soil","name":"Soil","kind":"loose","loose_density":"1000 kg/m3","compaction_factor":1,"surplus":{"per":"1 m3","disposal":"20.00"}}],
"soils":[],
"suppliers":[{"key":"north-yard","name":"North yard","delivery":{"fee":"50.00","payload":"5000 kg"}}],
"offers":[
 {"key":"sand-bulk","supplier":"north-yard","material":"sand","form":"bulk","content":"1 m3","price":"30.00","load_with":"sand","handling_hours":0.1},
 {"key":"soil-bulk","supplier":"north-yard","material":"soil","form":"bulk","content":"1 m3","price":"40.00","load_with":"soil","lead_days":3}],
"labour":{"hourly_cost":"40.00","rates":[]},
"taxes":[{"name":"Sales tax","percent":10,"on":["materials","delivery"]}]}`

func yardMarket(t *testing.T, o options) (market, []demand) {
	t.Helper()
	d, err := ReadDocument([]byte(yardText))
	require.NoError(t, err)
	l, err := d.Compile(1)
	require.NoError(t, err)
	materials := l.Catalogue.Materials
	return market{list: l, system: measure.Metric, options: o}, l.demands(2, func(i int) (*estimate.Material, float64) { return &materials[i], 1.5 })
}

// 1.5 m3 of sand and of soil are bought as 2 m3 each: goods of 60.00 + 80.00. 4 t would ride in one drop, but the two can't
// share one: 2 x 50.00. Half a cubic metre of sand sells for 5.00, as much soil costs 10.00 to be rid of. 2 x 0.1 h at
// 40.00 are 8.00. 10 % of 140.00 and of 2 x 50.00 are 24.00.
func TestEachOptionCountsWhatItSays(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		options
		landed money.Amount
	}{
		"nothing beside goods and drops": {options{}, 24000},
		"the worth of what is left":      {options{Surplus: true}, 24500},
		"the crew's time":                {options{CrewTime: true}, 24800},
		"taxes":                          {options{Tax: true}, 26400},
		"all of it":                      {options{Surplus: true, CrewTime: true, Tax: true, WithinDays: 3, MostSuppliers: 1}, 27700},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			m, needs := yardMarket(t, c.options)
			plan, err := m.buyOnly(new(supply.Workplace), needs)
			require.NoError(t, err)
			assert.Equal(t, c.landed, plan.Landed)
			require.Len(t, plan.Suppliers, 1)
			assert.Equal(t, 2, plan.Suppliers[0].Trips)
			require.Len(t, plan.Suppliers[0].Loads, 2)
			assert.Equal(t, "sand", plan.Suppliers[0].Loads[0].With)
			handling, trips := m.list.CrewHours(&plan)
			assert.Equal(t, "0.2", handling.Trim(0).String())
			assert.Zero(t, trips)
		})
	}
}

func TestWhatComesTooLateIsToldWithTheSoonestOffer(t *testing.T) {
	t.Parallel()
	m, needs := yardMarket(t, options{WithinDays: 2})
	_, err := m.buyOnly(new(supply.Workplace), needs)
	require.Error(t, err)
	var faults document.Faults
	require.NoError(t, m.refuse(err, &faults, func(material string) []string { return []string{"/" + material} }))
	root, err := document.Parse([]byte(`{}`))
	require.NoError(t, err)
	list := faults.List(root)
	require.Len(t, list, 1)
	assert.Equal(t, document.Fault{Pointer: "/soil", Code: codeNoOffer, Detail: "names a material that can't be had within 2 days: the soonest is offer soil-bulk, in 3", Example: `"sand"`}, list[0])
}
