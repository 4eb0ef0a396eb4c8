package pricing

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"bedline/estimate/measure"
)

// PatchOperation is one operation of a JSON Patch (RFC 6902).
type PatchOperation struct {
	Op    string // test, add or replace
	Path  string
	Value []byte // JSON
}

// patch changes the document of the list to the new figures. What is changed is tested first, with all that stands beside
// it, so that the patch is refused by any version of the list in which that is not the same.
func (c *Calibration) patch() ([]PatchOperation, error) {
	out := []PatchOperation{{"test", "/name", appendText(nil, c.List.Name)}}
	tested := map[string]bool{} // only looked up
	for i := range c.Figures {
		f := &c.Figures[i]
		if f.New.Equal(f.Old) {
			continue
		}
		var one []PatchOperation
		parent := f.Pointer[:strings.LastIndexByte(f.Pointer, '/')]
		if !tested[parent] {
			tested[parent] = true
			text, err := c.written(f)
			if err != nil {
				return nil, err
			}
			one = append(one, PatchOperation{"test", parent, text})
		}
		op := "add"
		if f.Listed {
			op = "replace"
		}
		one = append(one, PatchOperation{op, f.Pointer, []byte(plain(f.New))})
		if source := f.source(); source != "" {
			op := "add"
			if f.listedSource() != "" {
				op = "replace"
			}
			one = append(one, PatchOperation{op, parent + "/source", appendText(nil, source)})
		}
		out = append(out, one...)
	}
	if len(out) == 1 { // nothing changes
		return nil, nil
	}
	return out, nil
}

// written is the object that a figure is a member of, as the document of the list has it.
func (c *Calibration) written(f *Calibrated) ([]byte, error) {
	var part described = &c.List.document.Allowances
	switch f.Kind {
	case CalibratedRate:
		part = f.Written
	case CalibratedCompaction:
		part = f.written
	}
	w := &writer{digits: c.List.Currency.Digits}
	w.braces(part)
	var b bytes.Buffer
	if err := json.Compact(&b, w.out); err != nil {
		return nil, fmt.Errorf("writing what stands at %s: %w", f.Pointer, err)
	}
	return b.Bytes(), nil
}

func (c *Calibrated) listedSource() string {
	switch c.Kind {
	case CalibratedRate:
		return c.Rate.Source
	case CalibratedCompaction:
		return c.Material.Source
	}
	return ""
}

const (
	rateFrom       = "Calibrated from "
	compactionFrom = "Compaction factor calibrated from "
)

// source says where a new figure comes from, and keeps what the list said before; allowances have none. A sentence of an
// earlier calibration gives way.
func (c *Calibrated) source() string {
	before, out := c.listedSource(), ""
	jobs := strconv.Itoa(c.Counted()) + " past job"
	if c.Counted() != 1 {
		jobs += "s"
	}
	share := measure.FormatNumber(float64(c.Estimate.Share)*100, 0) + " % of it; before " + plain(c.Old)
	switch c.Kind {
	case CalibratedRate:
		if strings.HasPrefix(before, rateFrom) {
			_, before, _ = strings.Cut(strings.TrimSuffix(before, ")"), " (")
		}
		out = rateFrom + jobs + ", " + share + " h"
		if before != "" {
			before = " (" + before + ")"
		}
	case CalibratedCompaction:
		before, _, _ = strings.Cut(before, compactionFrom)
		out = compactionFrom + jobs + ", " + share
		if before = strings.TrimSuffix(before, "; "); before != "" && utf8.RuneCountInString(before+"; "+out) <= mostSource {
			out = before + "; " + out
		}
		return out
	}
	if utf8.RuneCountInString(out+before) > mostSource {
		return out
	}
	return out + before
}
