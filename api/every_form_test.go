package api_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	ics "github.com/arran4/golang-ical"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"
	"pgregory.net/rapid"

	"bedline/api"
	"bedline/api/render/locale"
	"bedline/pricing"
)

// asked is one form of an estimate, as a client asks for it.
type asked struct{ query, accept string }

var everyForm = []asked{{"", "application/json"}, {"?edition=customer", htmlType}, {"?edition=crew", htmlType}, {"?edition=customer&paper=a4", pdfType}, {"?edition=crew", pdfType},
	{"?view=plan", svgType}, {"?view=section", svgType}, {"?view=fabric", svgType}, {"?view=cost", svgType}, {"?view=tasks", svgType},
	{"?table=line-items", csvType}, {"?table=cuts", csvType}, {"?table=shopping", csvType}, {"", xlsxType}, {"", icsType}}

func serviceOf(t requirer, lists ...*pricing.List) *api.Handler {
	t.Helper()
	handler, err := api.New(api.Config{Lists: pricing.Fixed(lists...), Timeout: 10 * time.Minute})
	require.NoError(t, err)
	return handler
}

func (a asked) of(h *api.Handler, job, language string) *httptest.ResponseRecorder {
	r := httptest.NewRequest("POST", "/v1/estimates"+a.query, strings.NewReader(job))
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("Accept", a.accept)
	r.Header.Set("Accept-Language", language)
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

// requirer is a test or a draw of one.
type requirer interface {
	require.TestingT
	Helper()
}

// sound reads an answer as the programs do that it is for.
func (a asked) sound(t requirer, w *httptest.ResponseRecorder) {
	t.Helper()
	text := w.Body.Bytes()
	if a.accept == icsType && w.Code == 422 {
		require.Contains(t, w.Body.String(), "/crew/start", a)
		return
	}
	require.Equal(t, 200, w.Code, "%v: %.300s", a, text)
	if a.accept != "application/json" {
		require.LessOrEqual(t, len(text), 10_000_000, "%v: maxLength of the contract", a)
		require.Regexp(t, `^inline; filename="[a-z0-9]+(-[a-z0-9]+)*\.[a-z]+"$`, w.Header().Get("Content-Disposition"), a)
	}
	switch a.accept {
	case "application/json":
		require.True(t, json.Valid(text), a)
	case htmlType:
		wellFormed(t, text)
		root, err := html.Parse(bytes.NewReader(text))
		require.NoError(t, err, a)
		for n := range root.Descendants() {
			require.NotContains(t, []atom.Atom{atom.Script, atom.Iframe, atom.Img, atom.Link, atom.Object, atom.Form}, n.DataAtom, a)
			for _, attribute := range n.Attr {
				require.False(t, strings.HasPrefix(attribute.Key, "on"), "%v: %s", a, attribute.Key)
			}
		}
	case svgType:
		wellFormed(t, text)
		require.NotContains(t, string(text), "NaN", a)
		require.NotContains(t, string(text), "<script", a)
	case csvType:
		rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll() // which holds that all have as many fields
		require.NoError(t, err, a)
		for _, row := range rows {
			for _, cell := range row {
				require.NotContains(t, []string{"=", "@", "\t"}, cell[:min(1, len(cell))], a)
			}
		}
		require.NotRegexp(t, "[^\r]\n", string(text), a)
	case xlsxType:
		book, err := excelize.OpenReader(bytes.NewReader(text))
		require.NoError(t, err, a)
		for _, sheet := range book.GetSheetList() {
			_, err := book.GetRows(sheet)
			require.NoError(t, err, a)
		}
		require.NoError(t, book.Close())
	case icsType:
		_, err := ics.ParseCalendar(bytes.NewReader(text))
		require.NoError(t, err, a)
		lines := strings.Split(strings.TrimSuffix(string(text), "\r\n"), "\r\n")
		for _, line := range lines {
			require.LessOrEqual(t, len(line), 75, a)
			require.NotContains(t, line, "\n", a)
			require.NotContains(t, line, "\r", a)
			require.Regexp(t, `^( |(BEGIN|END|VERSION|PRODID|CALSCALE|NAME|X-WR-CALNAME|X-WR-CALDESC|DESCRIPTION|TZID|DTSTART|DTSTAMP|DURATION|TZOFFSETFROM|TZOFFSETTO|TZNAME|UID|SEQUENCE|SUMMARY|CATEGORIES|RELATED-TO|TRANSP)[;:])`, line, a)
		}
	case pdfType:
		require.True(t, bytes.HasPrefix(text, []byte("%PDF-1.7\n")), a)
		require.True(t, bytes.HasSuffix(text, []byte("%%EOF\n")), a)
	}
}

func wellFormed(t requirer, text []byte) {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(text))
	d.Entity = xml.HTMLEntity
	for {
		_, err := d.Token()
		if errors.Is(err, io.EOF) {
			return
		}
		require.NoError(t, err)
	}
}

// renamed is the sample list with the words of a speaker in it.
func renamed(t requirer, speakAny func() string) *pricing.List {
	speak := func() string { // a list takes no blank names
		if words := speakAny(); strings.TrimSpace(words) != "" {
			return words
		}
		return "x"
	}
	d := pricing.Sample().Document()
	for i := range d.Materials {
		d.Materials[i].Name = speak()
	}
	for i := range d.Suppliers {
		d.Suppliers[i].Name = speak()
	}
	for i := range d.Equipment {
		d.Equipment[i].Name = speak()
	}
	for i := range d.Taxes {
		d.Taxes[i].Name = speak()
	}
	list, err := d.Compile(1)
	require.NoError(t, err)
	return list
}

// worded is a job of many parts with the words of a speaker in it.
func worded(t requirer, speak func() string) string {
	words := func() string {
		text, err := json.Marshal(speak())
		require.NoError(t, err)
		return string(text)
	}
	return `{"reference":` + words() + `,"title":` + words() + `,"ground":{"soil":"loam","cover":"turf","haul":"60 ft"},
	"beds":[{"id":"b","outline":{"kind":"rectangle","length":"14 ft","width":"6 ft"},"dig":"2 in","fabric":{"material":"fabric-woven","under":"bed"},"stone":{"material":"pebble-20","depth":"2 in"},
		"edging":{"unit":"edger-8x4","course":"sailor","base":{"material":"base-crushed","depth":"4 in"},"sand":{"material":"sand-bedding","depth":"1 in"},"joint":{"width":"1/8 in","fill":"sand-polymeric"}}}],
	"slabs":[{"id":"s","in_bed":"b","unit":"slab-18","rows":1,"columns":2,"gap":"2 in","at":["6 ft","2 ft"],"base":{"material":"base-crushed","depth":"4 in"}}],
	"crew":{"size":2,"start":"2027-05-24","zone":"America/Chicago"},
	"commercial":{"quoted_on":"2027-03-30","deposit_percent":40,"stages":[{"name":` + words() + `,"percent":35},{"name":"On completion","percent":25}]},
	"options":[{"name":` + words() + `,"changes":{"slabs":null}}]}`
}

// printable are words as the service takes them: one line without control characters.
func printable(words string) string {
	words = strings.Map(func(r rune) rune {
		if r < ' ' || 0x7f <= r && r < 0xa0 || r == '\u2028' || r == '\u2029' {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(words, ""))
	if runes := []rune(words); len(runes) > 64 {
		words = string(runes[:64])
	}
	if words == "" {
		return "x"
	}
	return words
}

var nasty = []string{"</style><script>alert(1)</script>", `"><img src=x onerror=alert(1)>`, "]]><!--", "=cmd|'/C calc'!A0", "@SUM(1)", "+1", "-1", "'=1", "; filename=x", `\`, `a\nb`, `\,;:"`,
	"\u202eevil\u202c", "\u2066x", "שלום", "مرحبا بالعالم", "🪨🌿👩‍🌾", "é", "e\u0301\u0301\u0301", "\ufeff", "\ufffe", "\uffff", "\U0010ffff", "\u00ad", "\u200b", "{n} {of} {title}", "%s%d%!", "&L&R&D", "&amp;&#0;",
	"${x}", "{{.}}", "()", "<<>>", "BEGIN:VEVENT", "END:VCALENDAR", "&", "'", "''", "_x000D_", "%0d%0aX: y", "________", "W", " ", "  x  ", "\u00a0", "1e308", "[1]", "http://[", "日本語の庭", strings.Repeat("w", 64), strings.Repeat("\U0001F33F", 64)}

func TestNastyWordsStayWordsInEveryForm(t *testing.T) {
	t.Parallel()
	for turn := range 6 {
		t.Run(fmt.Sprint("turn ", turn), func(t *testing.T) {
			t.Parallel()
			next := turn * 11
			speak := func() string { next++; return nasty[next%len(nasty)] }
			h := serviceOf(t, renamed(t, speak))
			next = turn * 11
			job := worded(t, speak)
			for _, form := range everyForm {
				w := form.of(h, job, locale.Tags()[turn%len(locale.Tags())])
				require.Equal(t, 200, w.Code, "%v: %.300s", form, w.Body)
				form.sound(t, w)
			}
		})
	}
}

func TestAnyWordsStayWordsInEveryForm(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.OneOf(rapid.String(), rapid.StringOf(rapid.Rune()), rapid.SampledFrom(nasty),
			rapid.Map(rapid.SliceOfN(rapid.SampledFrom(nasty), 2, 3), func(s []string) string { return strings.Join(s, "") }))
		var said []string
		speak := func() string {
			if len(said) < 8 {
				said = append(said, printable(words.Draw(t, "words")))
			}
			return rapid.SampledFrom(said).Draw(t, "one")
		}
		job := worded(t, speak)
		h := serviceOf(t, renamed(t, speak))
		form := rapid.SampledFrom(everyForm).Draw(t, "form")
		w := form.of(h, job, rapid.SampledFrom(locale.Tags()).Draw(t, "language"))
		require.Equal(t, 200, w.Code, "%.300s", w.Body)
		form.sound(t, w)
	})
}

// What a job may not say is refused before anything is written from it.
func TestWordsThatAreNoLineAreRefused(t *testing.T) {
	t.Parallel()
	h := serviceOf(t, pricing.Sample())
	for _, words := range []string{"a\r\nX-Injected: y", "a\nb", "\x00", "\u2028", "\x7f", strings.Repeat("w", 10_000), ""} {
		for _, form := range everyForm[:2] {
			title, err := json.Marshal(words)
			require.NoError(t, err)
			w := form.of(h, strings.Replace(job, "{", `{"title":`+string(title)+",", 1), "")
			if words == "" {
				assert.Equal(t, 200, w.Code, "nothing is no title")
				continue
			}
			assert.Equal(t, 422, w.Code)
			assert.Contains(t, w.Body.String(), `"/title"`)
		}
	}
}

// edging is a job for the lists of odd currencies, which have few materials.
const edging = `{"price_list":"LIST","title":"Strip","ground":{"soil":"loam","cover":"bare","haul":"10 m"},"crew":{"start":"2027-05-24"},
	"beds":[{"id":"strip","outline":{"kind":"rectangle","length":"5 m","width":"1 m"},"edging":{"unit":"edger-200x100","course":"sailor","base":{"material":"base-crushed","depth":"75 mm"},"joint":{"width":"3 mm","fill":"sand-joint"}}}]}`

func listOf(t testing.TB, name string) *pricing.List {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "testdata", "price-lists", name+".json"))
	require.NoError(t, err)
	d, err := pricing.ReadDocument(text)
	require.NoError(t, err)
	list, err := d.Compile(1)
	require.NoError(t, err)
	return list
}

func TestEveryCurrencyIsWrittenInEveryFormAndLanguage(t *testing.T) {
	t.Parallel()
	h := serviceOf(t, listOf(t, "yen"), listOf(t, "dinar"))
	for list, amount := range map[string]string{"yen": `[0-9]{3,}`, "dinar": `[0-9]+\.[0-9]{3}`} {
		for _, tag := range locale.Tags() {
			for _, form := range everyForm {
				w := form.of(h, strings.Replace(edging, "LIST", list, 1), tag)
				form.sound(t, w)
				require.Equal(t, 200, w.Code)
				if form.query == "?table=shopping" {
					rows, err := csv.NewReader(w.Body).ReadAll()
					require.NoError(t, err)
					at := slices.IndexFunc(rows[0], func(head string) bool {
						return strings.HasPrefix(head, "Amount") || strings.HasPrefix(head, "Importe") || strings.HasPrefix(head, "Total")
					})
					require.GreaterOrEqual(t, at, 0, rows[0])
					assert.Regexp(t, "^"+amount+"$", rows[1][at])
				}
			}
		}
	}
}

func TestEverySampleJobIsWrittenInEveryFormAndLanguage(t *testing.T) {
	t.Parallel()
	dinars := pricing.Sample().Document()
	dinars.Currency = "KWD"
	list, err := dinars.Compile(1)
	require.NoError(t, err)
	h := serviceOf(t, list, listOf(t, "metric"))
	files, err := filepath.Glob("../testdata/jobs/*.json")
	require.NoError(t, err)
	for i, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			t.Parallel()
			text, err := os.ReadFile(file)
			require.NoError(t, err)
			for k, form := range everyForm {
				// One language for each, all in turn: the packages that write the forms hold each language by itself.
				form.sound(t, form.of(h, string(text), locale.Tags()[(i+k)%len(locale.Tags())]))
			}
		})
	}
}

func TestOddJobsAreWrittenInEveryForm(t *testing.T) {
	t.Parallel()
	h := serviceOf(t, pricing.Sample())
	for name, job := range map[string]string{
		"a bed without anything":        `{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"beds":[{"id":"b","outline":{"kind":"circle","radius":"5 ft"}}]}`,
		"a bed that is only dug":        `{"ground":{"soil":"loam","cover":"turf","haul":"0 ft"},"beds":[{"id":"b","outline":{"kind":"circle","radius":"5 ft"},"dig":"2 in"}]}`,
		"a bed as small as it may be":   `{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"beds":[{"id":"b","outline":{"kind":"rectangle","length":"11 mm","width":"11 mm"},"dig":"1 mm"}]}`,
		"a bed long and thin":           `{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"beds":[{"id":"b","outline":{"kind":"rectangle","length":"1000 ft","width":"1 in"},"stone":{"material":"pebble-20","depth":"2 in"}}]}`,
		"beds far apart":                `{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"beds":[{"id":"a","outline":{"kind":"rectangle","length":"1 ft","width":"1 ft"}},{"id":"b","outline":{"kind":"rectangle","at":["9000 ft","9000 ft"],"length":"1 ft","width":"1 ft"}}]}`,
		"an option without anything":    `{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"beds":[{"id":"b","outline":{"kind":"circle","radius":"5 ft"}}],"options":[{"name":"o","changes":{"beds":[{"id":"b","outline":{"kind":"circle","radius":"6 ft"}}]}}]}`,
		"a change of nothing":           `{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"beds":[{"id":"b","outline":{"kind":"circle","radius":"5 ft"}}],"changes_from":{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"beds":[{"id":"b","outline":{"kind":"circle","radius":"5 ft"}}]}}`,
		"a job called nothing":          `{"title":" ","reference":"\u00a0","ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"beds":[{"id":"b","outline":{"kind":"circle","radius":"5 ft"}}],"options":[{"name":" ","changes":{"beds":[{"id":"b","outline":{"kind":"circle","radius":"6 ft"}}]}}],"changes_from":{"title":" ","ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"beds":[{"id":"b","outline":{"kind":"circle","radius":"4 ft"}}]}}`,
		"a planter of nothing":          `{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"planters":[{"id":"p","length":"6 ft","width":"3 ft","fill":"1 ft","at":["0 ft","0 ft"],"mix":[{"material":"compost","parts":1}]}]}`,
		"a bed without anything, dated": `{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"crew":{"start":"2027-05-24","zone":"Pacific/Apia"},"beds":[{"id":"b","outline":{"kind":"circle","radius":"5 ft"}}]}`,
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			for _, form := range everyForm {
				w := form.of(h, job, "")
				if w.Code == 422 && !strings.Contains(job, "crew") && form.accept != icsType {
					t.Log(w.Body)
				}
				form.sound(t, w)
			}
		})
	}
}
