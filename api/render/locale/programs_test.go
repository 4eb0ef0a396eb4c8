//go:build programs

package locale_test

import (
	"encoding/json"
	"html"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/govalues/decimal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api/render/locale"
	"bedline/pricing/money"
)

// asksIntl is a page that writes what ECMAScript's Intl (ECMA-402) makes of every day of a year, every half hour and some
// numbers. Its no-break spaces before the half of the day are written as plain ones.
const asksIntl = `<pre id="out"></pre><script>
const out = {};
for (const tag of TAGS) {
	const of = (o) => new Intl.DateTimeFormat(tag, {timeZone: "UTC", ...o});
	const long = of({dateStyle: "long"}), full = of({dateStyle: "full"}), medium = of({dateStyle: "medium"}), time = of({timeStyle: "short"});
	const day = of({weekday: "short", month: "short", day: "numeric"}), weekday = of({weekday: "long"}), short = of({weekday: "short"});
	const moment = of({dateStyle: "full", timeStyle: "short"});
	const o = out[tag] = {};
	for (let d = new Date(Date.UTC(2027, 0, 1)); d.getUTCFullYear() === 2027; d.setUTCDate(d.getUTCDate() + 1))
		o[d.toISOString().slice(0, 10)] = [long.format(d), full.format(d), medium.format(d), day.format(d), weekday.format(d), short.format(d)].join("|");
	for (let m = 0; m < 1440; m += 5) o[m] = time.format(new Date(Date.UTC(2027, 0, 1, 0, m)));
	o.moment = moment.format(new Date(Date.UTC(2027, 3, 5, 13, 5)));
	for (const n of [0, 1, -1, 999, 1000, 12345.678, -1234567.25, 0.05]) {
		o["number " + n] = new Intl.NumberFormat(tag, {maximumFractionDigits: 3}).format(n);
		o["percent " + n] = new Intl.NumberFormat(tag, {style: "percent", maximumFractionDigits: 3}).format(n / 100);
		o["dollars " + n] = new Intl.NumberFormat(tag, {style: "currency", currency: "USD"}).format(n);
	}
	for (const l of ["a", "a|b", "a|b|c", "a|b|c|d", "a|iglesia", "a|hielo", "a|hijo", "a|b|imagen"]) o["list " + l] = new Intl.ListFormat(tag).format(l.split("|"));
}
document.getElementById("out").textContent = JSON.stringify(out).replace(/\u202f/g, " ").replace(/(\d)\u00a0(?=[ap]\.)/g, "$1 ").replace(/([ap]\.)\u00a0(?=m)/g, "$1");
</script>`

func TestProgramsIntlWritesTheSame(t *testing.T) {
	tags, err := json.Marshal(locale.Tags())
	require.NoError(t, err)
	page := filepath.Join(t.TempDir(), "intl.html")
	require.NoError(t, os.WriteFile(page, []byte(strings.Replace(asksIntl, "TAGS", string(tags), 1)), 0o600))
	run := exec.Command("chromium", "--headless", "--no-sandbox", "--disable-gpu", "--dump-dom", "--user-data-dir="+t.TempDir(), "file://"+page)
	dom, err := run.Output()
	require.NoError(t, err)
	_, rest, _ := strings.Cut(string(dom), `<pre id="out">`)
	text, _, _ := strings.Cut(rest, "</pre>")
	var said map[string]map[string]string
	require.NoError(t, json.Unmarshal([]byte(html.UnescapeString(text)), &said))

	for _, tag := range locale.Tags() {
		l, intl := lookup(t, tag), said[tag]
		require.Greater(t, len(intl), 600, tag)
		for key, want := range intl {
			kind, value, _ := strings.Cut(key, " ")
			switch kind {
			case "moment":
				assert.Equal(t, want, l.DateTime(day(t, "2027-04-05").Clock(13*60+5)))
			case "number":
				assert.Equal(t, want, l.Decimal(decimal.MustParse(value)), "%s: %s", tag, key)
			case "percent":
				assert.Equal(t, want, l.Percent(decimal.MustParse(value)), "%s: %s", tag, key)
			case "dollars":
				usd := money.Currency{Code: "USD", Digits: 2}
				a, err := usd.Round(decimal.MustParse(value))
				require.NoError(t, err)
				assert.Equal(t, want, l.Money(a, usd), "%s: %s", tag, key)
			case "list":
				assert.Equal(t, want, l.List(strings.Split(value, "|")), "%s: %s", tag, key)
			default:
				if minute, err := time.ParseDuration(key + "m"); err == nil {
					assert.Equal(t, want, l.Hour(int(minute.Minutes())), "%s: %s", tag, key)
					continue
				}
				d := day(t, key)
				assert.Equal(t, want, strings.Join([]string{l.Date(d), l.FullDate(d), l.ShortDate(d), l.DayDate(d), l.Weekday(d), l.ShortWeekday(d)}, "|"), "%s: %s", tag, key)
			}
		}
	}
}
