//go:build geos

package geos

import (
	"bufio"
	"bytes"
	_ "embed"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

//go:embed testdata/oracle.c
var source []byte

// Jobs are collected and sent to GEOS together.
type Jobs struct{ text bytes.Buffer }

// Measure asks for the area and the length of a polygon.
func (j *Jobs) Measure(p Polygon) {
	j.text.WriteString("measure")
	j.polygon(p)
}

// Union asks for the area and the length of the union of polygons.
func (j *Jobs) Union(list []Polygon) {
	fmt.Fprintf(&j.text, "union %d", len(list))
	for _, p := range list {
		j.polygon(p)
	}
}

// Clip asks for the intersections of one polygon with each of many, done so many rounds.
func (j *Jobs) Clip(field Polygon, units []Polygon, rounds int) {
	fmt.Fprintf(&j.text, "clip %d %d", rounds, len(units))
	j.polygon(field)
	for _, p := range units {
		j.polygon(p)
	}
}

func (j *Jobs) polygon(p Polygon) {
	b := strconv.AppendInt(append(j.text.AvailableBuffer(), ' '), int64(len(p)), 10)
	for _, ring := range p {
		b = strconv.AppendInt(append(b, ' '), int64(len(ring)+1), 10)
		for k := range len(ring) + 1 {
			v := ring[k%len(ring)]
			b = strconv.AppendFloat(append(b, ' '), v[0], 'g', -1, 64)
			b = strconv.AppendFloat(append(b, ' '), v[1], 'g', -1, 64)
		}
	}
	j.text.Write(append(b, '\n'))
}

// Answers are read in the order of the jobs.
type Answers struct {
	tb   testing.TB
	text *bufio.Scanner
}

// Run builds the program round GEOS and sends it the jobs.
func (j *Jobs) Run(tb testing.TB) *Answers {
	tb.Helper()
	dir := tb.TempDir()
	program, file := filepath.Join(dir, "oracle"), filepath.Join(dir, "oracle.c")
	require.NoError(tb, os.WriteFile(file, source, 0o600))
	out, err := exec.Command("cc", "-O2", "-o", program, file, "-lgeos_c").CombinedOutput()
	require.NoError(tb, err, "needs a C compiler and the package libgeos-dev: %s", out)
	c := exec.Command(program)
	c.Stdin = &j.text
	var answers, faults bytes.Buffer
	c.Stdout, c.Stderr = &answers, &faults
	require.NoError(tb, c.Run(), faults.String())
	text := bufio.NewScanner(&answers)
	text.Split(bufio.ScanWords)
	return &Answers{tb, text}
}

func (a *Answers) number() float64 {
	require.True(a.tb, a.text.Scan(), "an answer is missing")
	v, err := strconv.ParseFloat(a.text.Text(), 64)
	require.NoError(a.tb, err)
	return v
}

// Measured are the area and the length of the next measure or union.
func (a *Answers) Measured() (area, length float64) {
	area = a.number()
	return area, a.number()
}

// Clipped are the areas of the parts of each of n intersections, and the time that they took in the fastest round.
func (a *Answers) Clipped(n int) ([][]float64, time.Duration) {
	took := time.Duration(a.number())
	parts := make([][]float64, n)
	for i := range parts {
		parts[i] = make([]float64, int(a.number()))
		for k := range parts[i] {
			parts[i][k] = a.number()
		}
	}
	return parts, took
}
