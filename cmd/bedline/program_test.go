package main_test

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline"
	"bedline/db/dbtest"
)

// binary is the program under test, built once.
var binary string

func TestMain(m *testing.M) {
	dir, err := os.MkdirTemp("", "bedline")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	binary = filepath.Join(dir, "bedline")
	if out, err := exec.Command("go", "build", "-tags", "nomsgpack", "-o", binary, ".").CombinedOutput(); err != nil {
		fmt.Fprintf(os.Stderr, "building the program: %v\n%s", err, out)
		os.Exit(1)
	}
	code := dbtest.Run(m)
	_ = os.RemoveAll(dir)
	os.Exit(code)
}

// command runs the program to its end.
func command(t *testing.T, stdin string, args ...string) (stdout, stderr string, code int) {
	t.Helper()
	c := exec.Command(binary, args...)
	c.Stdin = strings.NewReader(stdin)
	var out, errs bytes.Buffer
	c.Stdout, c.Stderr = &out, &errs
	if err := c.Run(); err != nil {
		var exit *exec.ExitError
		require.ErrorAs(t, err, &exit)
	}
	return out.String(), errs.String(), c.ProcessState.ExitCode()
}

// service is a running program.
type service struct {
	url     string
	process *exec.Cmd
	ended   chan error
}

// serve starts the service on a free port and waits until it says where it listens.
func serve(t *testing.T, args ...string) *service {
	t.Helper()
	c := exec.Command(binary, append([]string{"serve", "--listen", "127.0.0.1:0"}, args...)...)
	pipe, err := c.StderrPipe()
	require.NoError(t, err)
	require.NoError(t, c.Start())
	s := &service{process: c, ended: make(chan error, 1)}
	address := make(chan string, 1)
	go func() {
		lines := bufio.NewScanner(pipe)
		for lines.Scan() {
			var record struct{ Msg, Address string }
			if json.Unmarshal(lines.Bytes(), &record) == nil && record.Msg == "listening" {
				address <- record.Address
			}
		}
		s.ended <- c.Wait()
		close(address)
	}()
	select {
	case s.url = <-address:
		require.NotEmpty(t, s.url, "the service ended before it listened")
	case <-time.After(60 * time.Second):
		_ = c.Process.Kill()
		t.Fatal("the service does not say where it listens")
	}
	t.Cleanup(func() { _ = c.Process.Kill() })
	return s
}

func (s *service) stop(t *testing.T) {
	t.Helper()
	require.NoError(t, s.process.Process.Signal(syscall.SIGTERM))
	select {
	case err := <-s.ended:
		assert.NoError(t, err, "exit code 0 after a stop signal")
	case <-time.After(30 * time.Second):
		t.Fatal("the service does not stop")
	}
}

func (s *service) do(t *testing.T, method, path, body string, header ...string) (int, http.Header, string) {
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), method, s.url+path, strings.NewReader(body))
	require.NoError(t, err)
	if body != "" {
		r.Header.Set("Content-Type", "application/json")
	}
	for i := 0; i+1 < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	response, err := http.DefaultClient.Do(r)
	require.NoError(t, err)
	defer response.Body.Close()
	text, err := io.ReadAll(response.Body)
	require.NoError(t, err)
	return response.StatusCode, response.Header, string(text)
}

func read(t *testing.T, name string) string {
	t.Helper()
	text, err := os.ReadFile(name)
	require.NoError(t, err)
	return string(text)
}

const jobs = "../../testdata/jobs/"

func TestTheProgramGivesTheAnswersOfTheServiceWithNoServer(t *testing.T) {
	t.Parallel()
	s := serve(t)
	files, err := filepath.Glob(jobs + "*.json")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		status, _, served := s.do(t, http.MethodPost, "/v1/estimates", read(t, file))
		require.Equal(t, http.StatusOK, status, served)
		printed, _, code := command(t, "", "estimate", file)
		assert.Zero(t, code)
		assert.Equal(t, served+"\n", printed, file)
		piped, _, code := command(t, read(t, file), "estimate", "-")
		assert.Zero(t, code)
		assert.Equal(t, printed, piped, file)
	}
	out, _, code := command(t, `{"beds":[]}`, "estimate", "-")
	assert.Equal(t, 1, code, "a refusal is an exit code of 1")
	assert.Contains(t, out, `"status":422`)
	s.stop(t)
}

func TestWithoutADatabasePublishingIsRefusedWithTheCure(t *testing.T) {
	t.Parallel()
	s := serve(t)
	_, header, list := s.do(t, http.MethodGet, "/v1/price-lists/standard", "")
	status, _, text := s.do(t, http.MethodPut, "/v1/price-lists/standard", list, "If-Match", header.Get("ETag"))
	assert.Equal(t, http.StatusForbidden, status)
	assert.Contains(t, text, "--database")
	s.stop(t)
}

func TestAListFromAFileIsTheListThatJobsArePricedWith(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	out, _, code := command(t, "", "prices", "export")
	require.Zero(t, code)
	mine := filepath.Join(dir, "mine.json")
	require.NoError(t, os.WriteFile(mine, []byte(strings.Replace(out, `"hourly_cost": "38.00"`, `"hourly_cost": "45.00"`, 1)), 0o600))
	require.NotEqual(t, out, read(t, mine))

	said, _, code := command(t, "", "prices", "check", mine)
	assert.Zero(t, code)
	assert.Contains(t, said, "no faults")

	table := filepath.Join(dir, "mine.csv")
	_, _, code = command(t, "", "prices", "export", "--prices", mine, "--as", "csv", "-o", table)
	require.Zero(t, code)
	fromJSON, _, code := command(t, "", "estimate", "--prices", mine, jobs+"garage-bed.json")
	require.Zero(t, code)
	fromCSV, _, code := command(t, "", "estimate", "--prices", table, jobs+"garage-bed.json")
	require.Zero(t, code)
	assert.Equal(t, fromJSON, fromCSV)
	assert.Contains(t, fromJSON, "h x 45.00")

	bad := filepath.Join(dir, "bad.json")
	require.NoError(t, os.WriteFile(bad, []byte(strings.Replace(out, `"hourly_cost": "38.00"`, `"hourly_cost": "-1"`, 1)), 0o600))
	_, faults, code := command(t, "", "prices", "check", bad)
	assert.Equal(t, 1, code)
	assert.Contains(t, faults, "/labour/hourly_cost")
	_, _, code = command(t, "", "serve", "--prices", bad)
	assert.Equal(t, 1, code, "the service does not start with an impossible list")
}

func TestWrongUsageIsSaidWithAnExitCodeOfTwo(t *testing.T) {
	t.Parallel()
	_, said, code := command(t, "", "estimat")
	assert.Equal(t, 2, code)
	assert.NotEmpty(t, said)
	_, said, code = command(t, "", "prices", "import", jobs+"garage-bed.json")
	assert.Equal(t, 2, code, "import needs a database")
	assert.Contains(t, said, "--database")
	out, _, code := command(t, "", "--help")
	assert.Zero(t, code)
	assert.Contains(t, out, "serve")
}

func TestAStopSignalLetsTheRequestInFlightFinish(t *testing.T) {
	t.Parallel()
	s := serve(t)
	job := read(t, jobs+"garage-bed.json")
	conn, err := net.Dial("tcp", strings.TrimPrefix(s.url, "http://"))
	require.NoError(t, err)
	defer conn.Close()
	// Half of a request is on its way when the signal comes.
	_, err = fmt.Fprintf(conn, "POST /v1/estimates HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: %d\r\n\r\n%s", len(job), job[:len(job)/2])
	require.NoError(t, err)
	time.Sleep(300 * time.Millisecond)
	require.NoError(t, s.process.Process.Signal(syscall.SIGTERM))
	time.Sleep(300 * time.Millisecond)
	_, err = io.WriteString(conn, job[len(job)/2:])
	require.NoError(t, err)
	response, err := http.ReadResponse(bufio.NewReader(conn), nil)
	require.NoError(t, err)
	defer response.Body.Close()
	assert.Equal(t, http.StatusOK, response.StatusCode)
	text, err := io.ReadAll(response.Body)
	require.NoError(t, err)
	assert.True(t, json.Valid(text))
	assert.NoError(t, <-s.ended)
}

func TestTheHealthcheckAsksTheServiceOnThisMachine(t *testing.T) {
	t.Parallel()
	s := serve(t)
	_, _, code := command(t, "", "healthcheck", "--listen", strings.TrimPrefix(s.url, "http://"))
	assert.Zero(t, code)
	s.stop(t)
	_, _, code = command(t, "", "healthcheck", "--listen", strings.TrimPrefix(s.url, "http://"))
	assert.Equal(t, 1, code)
}

func TestRestartingPostgresBetweenTwoRequestsLosesNothing(t *testing.T) {
	t.Parallel()
	cluster := dbtest.Private(t, false)
	url := cluster.Database(t)
	said, errs, code := command(t, "", "migrate", "--database", url)
	require.Zero(t, code, errs)
	assert.Contains(t, said, "up to date")
	s := serve(t, "--database", url)
	job := read(t, jobs+"garage-bed.json")

	// The start list is version 1; a dearer hour is published over HTTP as version 2.
	status, header, list := s.do(t, http.MethodGet, "/v1/price-lists/standard", "")
	require.Equal(t, http.StatusOK, status)
	dearer := strings.Replace(list, `"hourly_cost": "38.00"`, `"hourly_cost": "45.00"`, 1)
	require.NotEqual(t, list, dearer)
	status, _, text := s.do(t, http.MethodPut, "/v1/price-lists/standard", dearer, "If-Match", header.Get("ETag"))
	require.Equal(t, http.StatusOK, status, text)
	status, _, text = s.do(t, http.MethodPut, "/v1/price-lists/standard", list, "If-Match", header.Get("ETag"))
	require.Equal(t, http.StatusPreconditionFailed, status, text)

	status, _, before := s.do(t, http.MethodPost, "/v1/estimates", job)
	require.Equal(t, http.StatusOK, status, before)
	assert.Contains(t, before, `"price_list":{"name":"standard","version":2`)

	cluster.Restart(t)

	status, _, after := s.do(t, http.MethodPost, "/v1/estimates", job)
	require.Equal(t, http.StatusOK, status, after)
	assert.Equal(t, before, after)
	pinned := strings.Replace(job, `"price_list": "standard"`, `"price_list": "standard", "price_list_version": 1`, 1)
	status, _, old := s.do(t, http.MethodPost, "/v1/estimates", pinned)
	require.Equal(t, http.StatusOK, status, old)
	assert.Contains(t, old, `"price_list":{"name":"standard","version":1`)

	// Publishing works over the new connections, and a replica that starts now knows everything.
	said, errs, code = command(t, list, "prices", "export", "--database", url, "--version", "2")
	require.Zero(t, code, errs)
	assert.Equal(t, dearer, said)
	replica := serve(t, "--database", url)
	status, _, again := replica.do(t, http.MethodPost, "/v1/estimates", job)
	require.Equal(t, http.StatusOK, status)
	assert.Equal(t, before, again)
	replica.stop(t)
	s.stop(t)
}

func TestImportPublishesTheNextVersionOnce(t *testing.T) {
	t.Parallel()
	url := dbtest.New(t)
	file := filepath.Join(t.TempDir(), "list.json")
	out, _, code := command(t, "", "prices", "export")
	require.Zero(t, code)
	require.NoError(t, os.WriteFile(file, []byte(out), 0o600))
	said, errs, code := command(t, "", "prices", "import", file, "--database", url)
	require.Zero(t, code, errs)
	assert.Equal(t, "published standard version 1\n", said)
	said, _, code = command(t, "", "prices", "import", file, "--database", url)
	require.Zero(t, code)
	assert.Equal(t, "standard is version 1 already\n", said)
}

// BenchmarkStart measures from the start of the process to its first answer with the built-in list, and the memory that
// it holds then. On an idle machine the first is to stay under a second, the second under 60 MB:
//
//	go test -run '^$' -bench Start -benchtime 5x ./cmd/bedline
func BenchmarkStart(b *testing.B) {
	job, err := os.ReadFile(jobs + "garage-bed.json")
	require.NoError(b, err)
	var memory float64
	for range b.N {
		listener, err := net.Listen("tcp", "127.0.0.1:0")
		require.NoError(b, err)
		address := listener.Addr().String()
		require.NoError(b, listener.Close())
		c := exec.CommandContext(b.Context(), binary, "serve", "--listen", address)
		require.NoError(b, c.Start())
		for {
			response, err := http.Post("http://"+address+"/v1/estimates", "application/json", bytes.NewReader(job))
			if err != nil {
				time.Sleep(2 * time.Millisecond)
				continue
			}
			require.Equal(b, http.StatusOK, response.StatusCode)
			_ = response.Body.Close()
			break
		}
		b.StopTimer()
		status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", c.Process.Pid))
		require.NoError(b, err)
		for line := range strings.Lines(string(status)) {
			if kilobytes, ok := strings.CutPrefix(line, "VmRSS:"); ok {
				var n float64
				_, err := fmt.Sscan(kilobytes, &n)
				require.NoError(b, err)
				memory = max(memory, n/1024)
			}
		}
		require.NoError(b, c.Process.Kill())
		_ = c.Wait()
		b.StartTimer()
	}
	b.ReportMetric(memory, "MB")
}

func TestTheProgramAndTheContractAreOfOneRelease(t *testing.T) {
	t.Parallel()
	out, _, code := command(t, "", "version")
	require.Zero(t, code)
	release := strings.TrimSuffix(strings.Fields(out)[1], ",")
	assert.Contains(t, string(bedline.OpenAPI()), "\n  version: "+release+"\n")
}

func TestTheProgramWritesEveryFormAsTheServiceSendsIt(t *testing.T) {
	t.Parallel()
	s := serve(t)
	const file = jobs + "bed-before-the-holiday.json"
	for _, tt := range []struct {
		flags          []string
		accept, query  string
		language, says string
	}{
		{[]string{"--as", "html"}, "text/html", "", "", `lang="en-US"`},
		{[]string{"--as", "html", "--edition", "crew", "--language", "es-US"}, "text/html", "?edition=crew", "es-US", `lang="es-US"`},
		{[]string{"--as", "pdf", "--edition", "crew", "--paper", "a4"}, "application/pdf", "?edition=crew&paper=a4", "", "%PDF-"},
		{[]string{"--as", "svg", "--view", "section"}, "image/svg+xml", "?view=section", "", "<svg"},
		{[]string{"--as", "csv", "--table", "shopping"}, "text/csv", "?table=shopping", "", "\r\n"},
		{[]string{"--as", "xlsx"}, "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", "", "", "PK"},
		{[]string{"--as", "ics"}, "text/calendar", "", "", "BEGIN:VCALENDAR"},
	} {
		printed, _, code := command(t, "", append([]string{"estimate", file}, tt.flags...)...)
		assert.Zero(t, code, tt.flags)
		assert.Contains(t, printed, tt.says)
		status, _, served := s.do(t, http.MethodPost, "/v1/estimates"+tt.query, read(t, file), "Accept", tt.accept, "Accept-Language", tt.language)
		assert.Equal(t, http.StatusOK, status)
		assert.True(t, served == printed, "%s: the same bytes", tt.flags)
	}
	out, _, code := command(t, "", "estimate", file, "--view", "plan")
	assert.Equal(t, 1, code, "a view of JSON")
	assert.Contains(t, out, `"status":400`)
	_, said, code := command(t, "", "estimate", file, "--as", "png")
	assert.Equal(t, 2, code)
	assert.Contains(t, said, "json")
	s.stop(t)
}
