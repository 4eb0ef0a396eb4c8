//go:build programs

package table_test

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api/render/internal/sample"
	"bedline/api/render/table"
	"bedline/pricing"
)

// profile has LibreOffice reckon every workbook anew as it is opened (Tools, Options, Calc, Formula, Recalculation on File
// Load: Always).
const profile = `<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item>
</oor:items>
`

// office runs LibreOffice on files of a folder, with a profile of its own.
func office(t testing.TB, dir, to string, files ...string) {
	t.Helper()
	home := t.TempDir()
	require.NoError(t, os.MkdirAll(filepath.Join(home, "user"), 0o700))
	require.NoError(t, os.WriteFile(filepath.Join(home, "user/registrymodifications.xcu"), []byte(profile), 0o600))
	arguments := append([]string{"-env:UserInstallation=file://" + home, "--headless", "--convert-to", to, "--outdir", dir}, files...)
	out, err := exec.CommandContext(t.Context(), "soffice", arguments...).CombinedOutput()
	require.NoError(t, err, string(out))
}

// asCSV converts every sheet of a workbook, values as they are.
const asCSV = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,false,false,false,false,-1"

var reckoned = regexp.MustCompile(`(<f>[^<]*</f>)<v>[^<]*</v>`)

// spoilt is a workbook with wrong values beside all its formulas: whoever shows the right ones has reckoned them.
func spoilt(t testing.TB, text []byte) (out []byte, formulas int) {
	t.Helper()
	in, err := zip.NewReader(bytes.NewReader(text), int64(len(text)))
	require.NoError(t, err)
	var buffer bytes.Buffer
	w := zip.NewWriter(&buffer)
	for _, f := range in.File {
		from, err := f.Open()
		require.NoError(t, err)
		part, err := io.ReadAll(from)
		require.NoError(t, err)
		if strings.HasPrefix(f.Name, "xl/worksheets/sheet") {
			formulas += len(reckoned.FindAll(part, -1))
			part = reckoned.ReplaceAll(part, []byte("$1<v>-77</v>"))
		}
		to, err := w.Create(f.Name)
		require.NoError(t, err)
		_, err = to.Write(part)
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	return buffer.Bytes(), formulas
}

func sheetOf(t testing.TB, dir, name, sheet string) [][]string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(dir, name+"-"+sheet+".csv"))
	if os.IsNotExist(err) {
		return nil
	}
	require.NoError(t, err)
	r := csv.NewReader(bytes.NewReader(text))
	r.FieldsPerRecord = -1
	rows, err := r.ReadAll()
	require.NoError(t, err)
	return rows
}

// LibreOffice reckons every workbook anew, with all values beside the formulas wrong, and comes to the totals, the taxes
// and the payments of the quote to the smallest unit.
func TestProgramsLibreOfficeReckonsTheTotalsOfEveryWorkbook(t *testing.T) {
	quotes := combined(t)
	for _, name := range sample.Names(t) {
		quotes["sample "+name] = sample.Quote(t, name)
	}
	dir := t.TempDir()
	var files []string
	for _, name := range slices.Sorted(maps.Keys(quotes)) {
		text, err := table.Workbook(quotes[name], english(t))
		require.NoError(t, err)
		text, formulas := spoilt(t, text)
		require.Greater(t, formulas, 10)
		file := filepath.Join(dir, name+".xlsx")
		require.NoError(t, os.WriteFile(file, text, 0o600))
		files = append(files, file)
	}
	office(t, dir, asCSV, files...)
	for name, q := range quotes {
		t.Run(name, func(t *testing.T) {
			rows := sheetOf(t, dir, name, "Totals")
			require.NotEmpty(t, rows)
			checkTotals(t, q, rows)
			checkReckoned(t, q, sheetOf(t, dir, name, "Taxes"), sheetOf(t, dir, name, "Payments"))
			assert.Len(t, sheetOf(t, dir, name, "Line items"), len(q.Lines)+1)
		})
	}
}

// LibreOffice opens the CSV with as many rows and columns as were written, and what looks like a formula stays text.
func TestProgramsLibreOfficeOpensTheCSV(t *testing.T) {
	dir := t.TempDir()
	q := sample.Quote(t, "walk-and-seat")
	lines := table.LineItems(q, english(t))
	lines.Rows[0][3].Words = "=1+1"
	text := table.CSV(lines)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "lines.csv"), text, 0o600))
	office(t, dir, "xlsx", filepath.Join(dir, "lines.csv"))
	read, err := os.ReadFile(filepath.Join(dir, "lines.xlsx"))
	require.NoError(t, err)
	f := open(t, read)
	rows := raw(t, f, f.GetSheetName(0))
	want, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, len(want))
	assert.Equal(t, want[0], rows[0])
	assert.Contains(t, []string{"'=1+1", "=1+1"}, rows[1][3])
	formula, err := f.GetCellFormula(f.GetSheetName(0), "D2")
	require.NoError(t, err)
	assert.Empty(t, formula)
	for i := range q.Lines {
		same(t, q.List.Currency.Format(q.Lines[i].Amount), rows[i+1][17], "amount")
	}
}

// Every sheet of a workbook as it is printed, to be looked at.
func TestProgramsSheetsPrintOnPages(t *testing.T) {
	seen := os.Getenv("BEDLINE_SEEN")
	if seen == "" {
		seen = t.TempDir()
	}
	dir := t.TempDir()
	quotes := map[string]*pricing.Quote{"workbook": sample.Quote(t, "patio-with-machines"), "workbook-rounded": commercial(t, "USD", "bed-before-the-holiday", wishes["up to fifty"])}
	for name, q := range quotes {
		text, err := table.Workbook(q, english(t))
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(dir, name+".xlsx"), text, 0o600))
		require.NoError(t, os.WriteFile(filepath.Join(seen, name+".xlsx"), text, 0o600))
		office(t, dir, "pdf", filepath.Join(dir, name+".xlsx"))
		out, err := exec.CommandContext(t.Context(), "pdftoppm", "-r", "100", "-png", filepath.Join(dir, name+".pdf"), filepath.Join(seen, name)).CombinedOutput()
		require.NoError(t, err, string(out))
		out, err = exec.CommandContext(t.Context(), "pdftotext", filepath.Join(dir, name+".pdf"), "-").Output()
		require.NoError(t, err)
		assert.NotContains(t, string(out), "###", "a column is too narrow for its numbers")
		assert.NotContains(t, string(out), "#NAME")
		assert.NotContains(t, string(out), "Err:")
	}
}
