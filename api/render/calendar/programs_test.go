//go:build programs

package calendar_test

import (
	"bytes"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	ics "github.com/arran4/golang-ical"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api/render/internal/sample"
	"bedline/pricing"
)

// server starts Radicale, a CalDAV server (RFC 4791), on a free port with a store of its own, and gives its address.
func server(t *testing.T) string {
	t.Helper()
	l, err := (&net.ListenConfig{}).Listen(t.Context(), "tcp", "127.0.0.1:0")
	require.NoError(t, err)
	address := l.Addr().String()
	require.NoError(t, l.Close())
	dir := t.TempDir()
	config := filepath.Join(dir, "config")
	require.NoError(t, os.WriteFile(config, []byte("[server]\nhosts = "+address+"\n[auth]\ntype = none\n[rights]\ntype = authenticated\n[storage]\nfilesystem_folder = "+dir+"/store\n"), 0o600))
	var log bytes.Buffer
	command := exec.CommandContext(t.Context(), "radicale", "--config", config)
	command.Stdout, command.Stderr = &log, &log
	require.NoError(t, command.Start())
	t.Cleanup(func() {
		_ = command.Process.Kill()
		_ = command.Wait()
		if t.Failed() {
			t.Log(log.String())
		}
	})
	for range 200 {
		c, err := (&net.Dialer{Timeout: time.Second}).DialContext(t.Context(), "tcp", address)
		if err == nil {
			require.NoError(t, c.Close())
			return "http://" + address
		}
		time.Sleep(100 * time.Millisecond)
	}
	require.Fail(t, "the server does not answer", log.String())
	return ""
}

func ask(t *testing.T, method, url, body string, header ...string) (int, string) {
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), method, url, strings.NewReader(body))
	require.NoError(t, err)
	r.SetBasicAuth("crew", "crew")
	for i := 0; i+1 < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	answer, err := http.DefaultClient.Do(r)
	require.NoError(t, err)
	text, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	require.NoError(t, answer.Body.Close())
	return answer.StatusCode, string(text)
}

// told is what an event says, property by property, in a form in which two can be compared.
func told(e *ics.VEvent) []string {
	var out []string
	for i := range e.Properties {
		p := &e.Properties[i]
		line := p.IANAToken
		for _, k := range []string{"RELTYPE", "TZID", "VALUE"} {
			if v := p.ICalParameters[k]; len(v) > 0 {
				line += ";" + k + "=" + strings.Join(v, ",")
			}
		}
		out = append(out, line+":"+p.Value)
	}
	slices.Sort(out)
	return out
}

func byUID(events []*ics.VEvent) map[string][]string {
	out := map[string][]string{}
	for _, e := range events {
		out[value(e, ics.ComponentPropertyUniqueId)] = told(e)
	}
	return out
}

// A CalDAV server takes the calendar as a collection, and as one event after the other, and gives back every event as it
// was: identifiers, times, lengths, what they depend on, summaries, descriptions.
func TestProgramsACalDAVServerKeepsEveryEventAsItIs(t *testing.T) {
	home := server(t)
	quotes := map[string]*pricing.Quote{
		"floating": holiday(t),
		"chicago":  holiday(t, "2027-05-24", "2027-03-10", `"size": 2`, `"zone": "America/Chicago", "utilities_marked": true, "size": 1`),
	}
	for _, name := range sample.Names(t) {
		if q := sample.Quote(t, name); q.Plan.Calendar.IsDated() {
			quotes[name] = q
		}
	}
	code, text := ask(t, "MKCOL", home+"/crew/", "")
	require.Contains(t, []int{http.StatusCreated, http.StatusForbidden, http.StatusConflict, http.StatusMethodNotAllowed}, code, text)
	query := `<?xml version="1.0"?><C:calendar-query xmlns:D="DAV:" xmlns:C="urn:ietf:params:xml:ns:caldav"><D:prop><C:calendar-data/></D:prop>` +
		`<C:filter><C:comp-filter name="VCALENDAR"><C:comp-filter name="VEVENT"/></C:comp-filter></C:filter></C:calendar-query>`
	for name, q := range quotes {
		t.Run(name, func(t *testing.T) {
			for _, tag := range []string{"en-US", "es-US"} {
				url := home + "/crew/" + name + "-" + tag + "/"
				sent := written(t, q, tag)
				want := byUID(parsed(t, sent).Events())
				code, text := ask(t, http.MethodPut, url, string(sent), "Content-Type", "text/calendar; charset=utf-8")
				require.Equal(t, http.StatusCreated, code, text)

				code, text = ask(t, http.MethodGet, url, "")
				require.Equal(t, http.StatusOK, code, text)
				got := parsed(t, []byte(text))
				assert.Equal(t, want, byUID(got.Events()))
				if q.Terms.Crew.Zone != nil {
					require.NotEmpty(t, got.Timezones())
				}

				code, text = ask(t, "REPORT", url, query, "Content-Type", "application/xml", "Depth", "1")
				require.Equal(t, http.StatusMultiStatus, code, text)
				assert.Len(t, regexp.MustCompile(`BEGIN:VEVENT`).FindAllString(text, -1), len(want))
				for uid := range want {
					assert.Contains(t, text, uid)
				}

				// Put again, as when a job is quoted anew: the same events, none twice.
				code, text = ask(t, http.MethodPut, url, string(sent), "Content-Type", "text/calendar; charset=utf-8")
				require.Equal(t, http.StatusCreated, code, text)
				_, text = ask(t, http.MethodGet, url, "")
				assert.Len(t, parsed(t, []byte(text)).Events(), len(want))
			}
		})
	}
	if seen := os.Getenv("BEDLINE_SEEN"); seen != "" {
		require.NoError(t, os.WriteFile(filepath.Join(seen, "calendar.ics"), written(t, quotes["chicago"], "en-US"), 0o600))
	}
}
