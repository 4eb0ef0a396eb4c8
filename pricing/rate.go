package pricing

import (
	"github.com/govalues/decimal"

	"bedline/estimate"
	"bedline/estimate/measure"
)

// Tool tells whether work is done by hand or with a machine.
type Tool string

// The tools.
const (
	ByHand    Tool = "hand"
	ByMachine Tool = "machine"
)

// RateKind is the sort of quantity that an operation's hours are per.
type RateKind uint8

// The sorts of quantity.
const (
	PerCount RateKind = iota + 1
	PerLength
	PerArea
	PerVolume
)

// String names the sort for a message.
func (k RateKind) String() string {
	switch k {
	case PerCount:
		return "count"
	case PerLength:
		return "length"
	case PerArea:
		return "area"
	case PerVolume:
		return "volume"
	}
	return "nothing"
}

// RateKindOf is the sort of quantity that the rates of an operation are per; ok is false for an unknown operation.
func RateKindOf(operation estimate.Operation) (kind RateKind, ok bool) {
	switch operation {
	case estimate.LocateUtilities, estimate.CleanUp, estimate.LayEdging, estimate.LaySlabs, estimate.CutUnits:
		return PerCount, true
	case estimate.SetOut, estimate.FillJoints, estimate.WetAndCure:
		return PerLength, true
	case estimate.StripCover, estimate.TrimFormation, estimate.CompactBase, estimate.LayFabric, estimate.ScreedSand, estimate.LayPaving:
		return PerArea, true
	case estimate.DigTrench, estimate.DigBed, estimate.HaulSpoil, estimate.HaulMaterials, estimate.PlaceBase, estimate.PlaceStone, estimate.FillPlanters:
		return PerVolume, true
	}
	return 0, false
}

// Operations are all operations that hours can be given for, in the order in which a crew does them.
func Operations() []estimate.Operation {
	return []estimate.Operation{
		estimate.LocateUtilities, estimate.SetOut, estimate.StripCover, estimate.DigTrench, estimate.DigBed,
		estimate.HaulSpoil, estimate.TrimFormation, estimate.HaulMaterials, estimate.LayFabric, estimate.PlaceBase, estimate.CompactBase,
		estimate.ScreedSand, estimate.LayEdging, estimate.LaySlabs, estimate.LayPaving, estimate.CutUnits,
		estimate.FillJoints, estimate.WetAndCure, estimate.PlaceStone, estimate.FillPlanters, estimate.CleanUp,
	}
}

// Covers are the kinds of ground cover that a rate may be narrowed to.
func Covers() []string {
	return []string{string(estimate.Bare), string(estimate.Turf), string(estimate.Mulch), string(estimate.Gravel), string(estimate.Brush)}
}

// Rate is the working time of one person for a quantity of an operation.
type Rate struct {
	Operation  estimate.Operation
	Soil       string         // empty for any
	Cover      string         // empty for any
	Tool       Tool           // empty for any
	AccessFrom measure.Length // the narrowest way in that it holds for, 0 for any
	UnitMassTo measure.Mass   // the heaviest unit that it holds for, 0 for any
	HaulTo     measure.Length // the longest haul it holds for, 0 for any
	Kind       RateKind
	Written    Content         // the quantity, as the list says it
	Hours      decimal.Decimal // for that quantity, as the list says it
	Source     string
	Requested  bool           // set by the request, not by the list
	Stretch    measure.Factor // 1; above it the haul over HaulTo, when the haul is longer than any in the list

	per   float64 // the quantity in base units
	hours float64
}

// ForCount is the working time for n units, pieces or jobs; 0 unless the rate is per count.
func (r Rate) ForCount(n int) measure.Hours { return r.of(PerCount, float64(n)) }

// ForLength is the working time for a length; 0 unless the rate is per length.
func (r Rate) ForLength(l measure.Length) measure.Hours { return r.of(PerLength, float64(l)) }

// ForArea is the working time for an area; 0 unless the rate is per area.
func (r Rate) ForArea(a measure.Area) measure.Hours { return r.of(PerArea, float64(a)) }

// ForVolume is the working time for a volume; 0 unless the rate is per volume.
func (r Rate) ForVolume(v measure.Volume) measure.Hours { return r.of(PerVolume, float64(v)) }

func (r Rate) of(kind RateKind, quantity float64) measure.Hours {
	if r.Kind != kind {
		return 0
	}
	return measure.Hours(quantity / r.per * r.hours * float64(r.Stretch))
}

// RateQuery is the work that a rate is looked for.
type RateQuery struct {
	Operation estimate.Operation
	Soil      string
	Cover     string
	Tool      Tool           // empty: whatever has no tool or is by hand
	Haul      measure.Length // of the spoil
	Access    measure.Length // width of the way in; 0 for wide enough for anything
	UnitMass  measure.Mass   // of the unit that is laid or cut; 0 for none
}

// fits says whether a rate holds for the work, but for the haul.
func (r *Rate) fits(q *RateQuery) bool {
	switch {
	case r.Operation != q.Operation, r.Soil != "" && r.Soil != q.Soil, r.Cover != "" && r.Cover != q.Cover,
		q.Tool == "" && r.Tool == ByMachine, q.Tool != "" && r.Tool != "" && r.Tool != q.Tool, q.Tool == ByMachine && r.Tool == "",
		q.Access > 0 && float64(q.Access) < float64(r.AccessFrom)*(1-1e-9),
		r.UnitMassTo > 0 && float64(q.UnitMass) > float64(r.UnitMassTo)*(1+1e-9):
		return false
	}
	return true
}

// Rate is the narrowest rate that fits: a rate fits unless it names another soil, cover or tool, a wider way in, a
// lighter unit or a shorter haul. Work with a machine needs a rate that names the machine. Of those that fit, the one
// that names more is narrower; soil counts before cover, cover before tool, then the way in, the mass of the unit and
// the haul; of those that name the same, the one with the widest way in, the lightest unit, the shortest haul. Where
// none fits but for the haul, the one with the longest haul is stretched in proportion to the distance and beyond is true.
func (l *List) Rate(q RateQuery) (rate Rate, ok, beyond bool) {
	var far *Rate
	var best *Rate
	for i := range l.rates {
		r := &l.rates[i]
		if !r.fits(&q) {
			continue
		}
		if r.HaulTo > 0 && float64(q.Haul) > float64(r.HaulTo)*(1+1e-9) {
			if far == nil || r.HaulTo > far.HaulTo || r.HaulTo == far.HaulTo && r.narrowness() > far.narrowness() {
				far = r
			}
			continue
		}
		if best == nil || r.narrower(best) {
			best = r
		}
	}
	switch {
	case best != nil:
		return *best, true, false
	case far != nil:
		stretched := *far
		stretched.Stretch = q.Haul.Over(far.HaulTo)
		return stretched, true, true
	}
	return Rate{}, false, false
}

// Rates are all rates in the order of the list; a copy.
func (l *List) Rates() []Rate { return append([]Rate(nil), l.rates...) }

// narrowness counts what the rate names; what comes first weighs more, any two more than one.
func (r *Rate) narrowness() int {
	n := 0
	for i, named := range [...]bool{r.HaulTo > 0, r.UnitMassTo > 0, r.AccessFrom > 0, r.Tool != "", r.Cover != "", r.Soil != ""} {
		if named {
			n += 64 + 1<<i
		}
	}
	return n
}

func (r *Rate) narrower(than *Rate) bool {
	a, b := r.narrowness(), than.narrowness()
	switch {
	case a != b:
		return a > b
	case r.AccessFrom != than.AccessFrom:
		return r.AccessFrom > than.AccessFrom
	case r.UnitMassTo != than.UnitMassTo:
		return r.UnitMassTo < than.UnitMassTo
	}
	return r.HaulTo < than.HaulTo
}
