package pricing

import (
	"strconv"

	"bedline/estimate"
	"bedline/estimate/measure"
)

// Load is a loose material of the job, or its spoil, by the loads that it takes to move.
type Load struct {
	Material *estimate.Material // nil for the spoil
	Loose    measure.Volume     // as it is moved: bought, or dug and swollen
	Mass     measure.Mass
	By       []VehicleLoads // in the order of the list's vehicles
}

// VehicleLoads is how many loads of one vehicle a material takes: by what they may weigh and by what they hold, of which
// the greater governs, whole loads.
type VehicleLoads struct {
	Hauling  *Hauling
	ByMass   measure.Factor
	ByVolume measure.Factor
	Loads    int
	Working  estimate.Working
}

// MassGoverns tells that a vehicle is full by mass before it is by volume, or as soon.
func (v *VehicleLoads) MassGoverns() bool { return v.ByMass >= v.ByVolume }

// load reckons the loads of the spoil and of every loose material as it is bought.
func (q *Quote) load(needs []demand) {
	p := pencil{q.Job.System, q.List.Currency}
	q.Loads = make([]Load, 0, len(needs)+1)
	if spoil := &q.Takeoff.Spoil; spoil.Loose > 0 {
		q.Loads = append(q.Loads, q.loadOf(p, nil, spoil.Loose, spoil.Mass))
	}
	for k := range needs {
		if m := needs[k].material; m.Kind == estimate.LooseMaterial {
			cover := &q.Supply.Plan.Covers[k]
			q.Loads = append(q.Loads, q.loadOf(p, m, measure.Volume(cover.Bought), cover.Mass))
		}
	}
}

func (q *Quote) loadOf(p pencil, m *estimate.Material, loose measure.Volume, mass measure.Mass) Load {
	l := Load{Material: m, Loose: loose, Mass: mass, By: make([]VehicleLoads, len(q.List.Hauling))}
	for i := range q.List.Hauling {
		h := &q.List.Hauling[i]
		v := &l.By[i]
		*v = VehicleLoads{Hauling: h, ByMass: measure.Factor(float64(mass) / float64(h.Payload)), ByVolume: measure.Factor(float64(loose) / float64(h.Volume))}
		most := max(v.ByMass, v.ByVolume)
		v.Loads = measure.RoundUp(float64(most))
		word := " loads"
		if v.Loads == 1 {
			word = " load"
		}
		v.Working.Result = measure.FormatNumber(float64(most), 2) + ", " + strconv.Itoa(v.Loads) + word
		if v.MassGoverns() {
			v.Working.Label, v.Working.Expression = "by mass", p.mass(mass)+" / "+p.mass(h.Payload)
		} else {
			v.Working.Label, v.Working.Expression = "by volume", p.volume(loose)+" / "+p.volume(h.Volume)
		}
	}
	return l
}
