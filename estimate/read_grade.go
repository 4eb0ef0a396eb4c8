package estimate

import (
	"errors"
	"strconv"

	"bedline/estimate/document"
	"bedline/estimate/earth"
	"bedline/estimate/outline"
)

// The limits of the levels of a job; the contract states the same.
const (
	maxBedSpots  = 500  // of a bed or paved area
	maxJobSpots  = 2000 // over a job
	leastPercent = 0.01
	mostPercent  = 50 // steeper ground is a bank and not a finished surface
)

// Codes of the faults of falls and spot levels.
const (
	codeCurvedSide  = "side_not_straight"
	codeSpotsDiffer = "spot_levels_differ"
)

// grade reads the members fall and spot_levels of a bed or paved area. The outline is nil where it could not be read;
// then the side of the fall is not checked.
func (b *jobReader) grade(r document.Reader, o *outline.Outline) Grade {
	var g Grade
	if fr, ok := r.Object("fall", document.Optional); ok {
		g.Fall = b.fall(fr, o)
	}
	if r.Has("spot_levels") {
		b.spots(r, &g)
	}
	return g
}

func (b *jobReader) fall(r document.Reader, o *outline.Outline) *Fall {
	percent, percentOK := r.Number("percent", document.Required, leastPercent, mostPercent)
	side, sideOK := r.Int("away_from_side", document.Required, 0, maxPoints-1)
	r.Close()
	if !sideOK || o == nil {
		return nil
	}
	if side >= o.Sides() {
		b.faults.Add(r.At("away_from_side"), codeUnknownSide, "the outline has no such side: they are numbered from 0 to "+strconv.Itoa(o.Sides()-1), "0")
		return nil
	}
	f := &Fall{Rate: percent / 100, Side: side}
	var straight bool
	if f.From, f.To, straight = o.SideLine(side); !straight {
		detail, example := "is a curved side: the ground falls away from the line of a straight one", ""
		for i := range o.Sides() {
			if _, _, ok := o.SideLine(i); ok {
				example = strconv.Itoa(i)
				break
			}
		}
		if example == "" {
			detail += ", and this outline has none"
		}
		b.faults.Add(r.At("away_from_side"), codeCurvedSide, detail, example)
		return nil
	}
	if !percentOK {
		return nil
	}
	return f
}

func (b *jobReader) spots(r document.Reader, g *Grade) {
	good := true
	if !r.Each("spot_levels", document.Optional, 1, maxBedSpots, func(_ int, v document.Value) {
		sr, ok := v.Object()
		if !ok {
			good = false
			return
		}
		s := SpotLevel{Pointer: v.Pointer()}
		var atOK, downOK bool
		s.At, atOK = b.point(sr, "at", document.Required)
		s.Down, downOK = sr.Length("down", document.Required, document.AnySign)
		sr.Close()
		if atOK && downOK {
			g.Spots = append(g.Spots, s)
		} else {
			good = false
		}
	}) {
		good = false
	}
	if b.spotLevels += len(g.Spots); b.spotLevels > maxJobSpots {
		b.faults.Add(r.At("spot_levels"), codeTooMany, "brings the spot levels of the job over "+strconv.Itoa(maxJobSpots)+": send its beds in several jobs", "")
		g.Spots = nil
		return
	}
	if len(g.Spots) == 0 {
		return
	}
	spots := make([]earth.Spot, len(g.Spots))
	for i, s := range g.Spots {
		spots[i] = earth.Spot{At: s.At, Level: 0 - s.Down}
	}
	ground, err := earth.NewSurface(spots)
	for _, e := range unjoin(err) {
		b.spotFault(g.Spots, e)
	}
	if !good {
		g.Spots, ground = nil, nil
	}
	g.Ground = ground
}

// spotFault reports what is wrong with spot levels, at the last that would have to change.
func (b *jobReader) spotFault(spots []SpotLevel, err error) {
	var (
		conflict *earth.SpotConflictError
		far      *earth.SpotNumberError
	)
	switch {
	case errors.As(err, &conflict):
		b.faults.Add(spots[conflict.J].Pointer+"/down", codeSpotsDiffer, "differs from "+spots[conflict.I].Pointer+
			", which is in the same place: "+both(spots[conflict.J].Down)+" against "+both(spots[conflict.I].Down)+"; measure it again and keep one", "")
	case errors.As(err, &far):
		b.faults.Add(spots[far.Spot].Pointer, codeTooLarge, tooFarOut, "")
	}
}
