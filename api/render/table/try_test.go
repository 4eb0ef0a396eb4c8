package table_test

import (
	"os"
	"testing"

	"bedline/api/render/internal/sample"
	"bedline/api/render/locale"
	"bedline/api/render/table"
)

func TestTry(t *testing.T) {
	q := sample.Quote(t, "bed-before-the-holiday")
	l, _ := locale.Lookup("en-US")
	os.MkdirAll("/tmp/w/try", 0o755)
	os.WriteFile("/tmp/w/try/l.csv", table.CSV(table.LineItems(q, l)), 0o644)
	os.WriteFile("/tmp/w/try/c.csv", table.CSV(table.Cuts(q, l)), 0o644)
	os.WriteFile("/tmp/w/try/s.csv", table.CSV(table.Shopping(q, l)), 0o644)
	b, err := table.Workbook(q, l)
	if err != nil {
		t.Fatal(err)
	}
	os.WriteFile("/tmp/w/try/w.xlsx", b, 0o644)
}
