package render

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate/document"
	"bedline/pricing"
)

// manyOffers is the metric list of the tests with as many suppliers as are allowed, each of which sells the loose
// materials in bags and loads of its own sizes, with prices that break.
func manyOffers(t *testing.T, suppliers, sizes int) *pricing.List {
	text, err := os.ReadFile("../../testdata/price-lists/metric.json")
	require.NoError(t, err)
	var list map[string]any
	require.NoError(t, json.Unmarshal(text, &list))
	all, ok := list["suppliers"].([]any)
	require.True(t, ok)
	offers, ok := list["offers"].([]any)
	require.True(t, ok)
	for s := len(all); s < suppliers; s++ {
		key := fmt.Sprintf("s%d", s)
		all = append(all, map[string]any{"key": key, "name": "Supplier " + key,
			"delivery": map[string]any{"fee": fmt.Sprintf("%d.%02d", 31+s*7%23, s%100), "payload": fmt.Sprintf("%d kg", 900+37*s), "free_from": fmt.Sprintf("%d.00", 300+s*s%400)},
			"pick_up":  map[string]any{"trip_cost": fmt.Sprintf("%d.%02d", 4+s%11, s*13%100), "crew_hours": 0.5, "payload": fmt.Sprintf("%d kg", 400+17*s), "payload_volume": "0.8 m3"}})
		for m, material := range []string{"pebble-20", "base-crushed", "sand-bedding", "sand-joint"} {
			for k := range sizes {
				content := 15 + (7*k+s*3+m)%47
				price := float64(content)*0.11 + float64((s*31+k*17+m*5)%97)/50
				offers = append(offers, map[string]any{"key": fmt.Sprintf("%s-%s-bag-%d", key, material, k), "supplier": key, "material": material, "form": "bag",
					"content": fmt.Sprintf("%d L", content), "price": fmt.Sprintf("%.2f", price), "breaks": []any{map[string]any{"from": 5 + k, "price": fmt.Sprintf("%.2f", price*0.93)}}})
			}
			offers = append(offers, map[string]any{"key": fmt.Sprintf("%s-%s-bulk", key, material), "supplier": key, "material": material, "form": "bulk", "increment": "0.25 m3",
				"content": "1 m3", "price": fmt.Sprintf("%.2f", 41+float64((s*29+m*7)%300)/10)})
		}
	}
	list["suppliers"], list["offers"] = all, offers
	text, err = json.Marshal(list)
	require.NoError(t, err)
	d, err := pricing.ReadDocument(text)
	require.NoError(t, err)
	compiled, err := d.Compile(1)
	require.NoError(t, err)
	return compiled
}

func TestAMarketOfTooManyOffersIsSaidNotToBeDrawn(t *testing.T) {
	t.Parallel()
	for offers, drawn := range map[[2]int]bool{{2, 0}: true, {9, 4}: false} { // suppliers of the list, sizes of bags
		list := manyOffers(t, offers[0], offers[1])
		job := []byte(`{"reference":"L-1","units":"metric","price_list":"metric","ground":{"soil":"loam","cover":"turf","haul":"20 m"},
			"beds":[{"id":"b","outline":{"kind":"rectangle","length":"12 m","width":"9 m"},"dig":"50 mm","stone":{"material":"pebble-20","depth":"50 mm"},
			"edging":{"unit":"edger-200x100","course":"sailor","joint":{"width":"3 mm","fill":"sand-joint"},"base":{"material":"base-crushed","depth":"75 mm"},"sand":{"material":"sand-bedding","depth":"25 mm"}}}]}`)
		root, err := document.Parse(job)
		require.NoError(t, err)
		q, faults, err := pricing.Estimate(context.Background(), pricing.Fixed(list), root, job)
		require.NoError(t, err)
		require.Empty(t, faults)
		for _, l := range locales(t) {
			sheet := Cost(q, l)
			readable(t, "a market of many offers", sheet)
			assert.Equal(t, drawn, len(shapes(sheet, classBags)) > 0)
			left := l.Say("charts.cost.unproved", "materials", "Crushed stone base 0/32, Bedding sand 0/4, Joint sand 0/1, Rounded pebble 16/32")
			var written []string
			for _, label := range labels(sheet) {
				written = append(written, label.Text)
			}
			text := strings.Join(written, " ")
			assert.Equal(t, !drawn, strings.Contains(text, left), text)
			assert.Equal(t, !drawn, strings.Contains(sheet.Description, left), "those who do not see it are told as well")
		}
	}
}
