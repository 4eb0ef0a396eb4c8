package api

import (
	"strconv"

	"bedline/estimate"
	"bedline/estimate/earth"
	"bedline/estimate/measure"
	"bedline/pricing"
)

// Earthwork is the cut and fill of a digging that follows spot levels.
type Earthwork struct {
	Ground       string   `json:"ground"` // level, ruled or surface
	Cut          Quantity `json:"cut"`
	CutArea      Quantity `json:"cut_area"`
	CutDepth     Quantity `json:"cut_depth"`
	Fill         Quantity `json:"fill"`
	FillArea     Quantity `json:"fill_area"`
	FillDepth    Quantity `json:"fill_depth"`
	RestingShare Number   `json:"resting_share"`
}

// Loads is what it takes to move the spoil and the loose materials.
type Loads struct {
	Vehicles []VehicleUsed  `json:"vehicles"`
	Of       []MaterialLoad `json:"of"`
}

// VehicleUsed is what one load of a vehicle may weigh and hold.
type VehicleUsed struct {
	Vehicle string   `json:"vehicle"` // wheelbarrow, trailer or truck
	Payload Quantity `json:"payload"`
	Volume  Quantity `json:"volume"`
	Source  string   `json:"source,omitempty"`
}

// MaterialLoad is the spoil, or a loose material as it is bought.
type MaterialLoad struct {
	What     string        `json:"what"` // spoil or material
	Material string        `json:"material,omitempty"`
	Loose    Quantity      `json:"loose"`
	Mass     Quantity      `json:"mass"`
	By       []VehicleLoad `json:"by"`
}

// VehicleLoad is how many loads of one vehicle that is.
type VehicleLoad struct {
	Vehicle  string  `json:"vehicle"`
	Loads    int     `json:"loads"`
	ByMass   Number  `json:"by_mass"`
	ByVolume Number  `json:"by_volume"`
	Governs  string  `json:"governs"` // mass or volume
	Working  Working `json:"working"`
}

func (w writer) digging(d *estimate.DiggingTakeoff) Digging {
	out := Digging{Zone: d.Zone, Part: string(d.Part), Depth: w.depth(d.Depth), Area: w.area(d.Area), Volume: w.volume(d.Volume)}
	if e := d.Earthwork; e != nil {
		out.Earthwork = &Earthwork{Ground: groundWord(d.Ground), Cut: w.volume(e.Cut), CutArea: w.area(e.CutArea), CutDepth: w.depth(e.CutDepth),
			Fill: w.volume(e.Fill), FillArea: w.area(e.FillArea), FillDepth: w.depth(e.FillDepth)}
		if e.Area > 0 {
			out.Earthwork.RestingShare = Number(min(1, float64(e.Resting)/float64(e.Area)))
		}
	}
	return out
}

func groundWord(s earth.Shape) string {
	switch s {
	case earth.Flat:
		return "level"
	case earth.Ruled:
		return "ruled"
	default:
		return "surface"
	}
}

func (w writer) loads(q *pricing.Quote) Loads {
	out := Loads{Vehicles: make([]VehicleUsed, len(q.List.Hauling)), Of: make([]MaterialLoad, len(q.Loads))}
	for i := range q.List.Hauling {
		h := &q.List.Hauling[i]
		out.Vehicles[i] = VehicleUsed{Vehicle: string(h.Vehicle), Payload: w.mass(h.Payload), Volume: w.volume(h.Volume), Source: h.Source}
	}
	by := make([]VehicleLoad, len(q.Loads)*len(q.List.Hauling))
	for i := range q.Loads {
		l := &q.Loads[i]
		m := &out.Of[i]
		*m = MaterialLoad{What: "spoil", Loose: w.volume(l.Loose), Mass: w.mass(l.Mass), By: by[:len(l.By):len(l.By)]}
		by = by[len(l.By):]
		if l.Material != nil {
			m.What, m.Material = "material", l.Material.Key
		}
		for k := range l.By {
			v := &l.By[k]
			m.By[k] = VehicleLoad{Vehicle: string(v.Hauling.Vehicle), Loads: v.Loads, ByMass: Number(v.ByMass), ByVolume: Number(v.ByVolume), Governs: "volume", Working: Working(v.Working)}
			if v.MassGoverns() {
				m.By[k].Governs = "mass"
			}
		}
	}
	return out
}

func appendEarthwork(b []byte, v *Earthwork) []byte {
	b = append(b, `{"ground":`...)
	b = appendText(b, v.Ground)
	for _, m := range [...]struct {
		name  string
		value *Quantity
	}{{`,"cut":`, &v.Cut}, {`,"cut_area":`, &v.CutArea}, {`,"cut_depth":`, &v.CutDepth}, {`,"fill":`, &v.Fill}, {`,"fill_area":`, &v.FillArea}, {`,"fill_depth":`, &v.FillDepth}} {
		b = append(b, m.name...)
		b = appendQuantity(b, m.value)
	}
	b = append(b, `,"resting_share":`...)
	b = measure.AppendNumber(b, float64(v.RestingShare))
	return append(b, '}')
}

func appendLoads(b []byte, v *Loads) []byte {
	b = append(b, `{"vehicles":`...)
	b = appendList(b, v.Vehicles, appendVehicleUsed)
	b = append(b, `,"of":`...)
	b = appendList(b, v.Of, appendMaterialLoad)
	return append(b, '}')
}

func appendVehicleUsed(b []byte, v *VehicleUsed) []byte {
	b = append(b, `{"vehicle":`...)
	b = appendText(b, v.Vehicle)
	b = append(b, `,"payload":`...)
	b = appendQuantity(b, &v.Payload)
	b = append(b, `,"volume":`...)
	b = appendQuantity(b, &v.Volume)
	if v.Source != "" {
		b = append(b, `,"source":`...)
		b = appendText(b, v.Source)
	}
	return append(b, '}')
}

func appendMaterialLoad(b []byte, v *MaterialLoad) []byte {
	b = append(b, `{"what":`...)
	b = appendText(b, v.What)
	if v.Material != "" {
		b = append(b, `,"material":`...)
		b = appendText(b, v.Material)
	}
	b = append(b, `,"loose":`...)
	b = appendQuantity(b, &v.Loose)
	b = append(b, `,"mass":`...)
	b = appendQuantity(b, &v.Mass)
	b = append(b, `,"by":`...)
	b = appendList(b, v.By, appendVehicleLoad)
	return append(b, '}')
}

func appendVehicleLoad(b []byte, v *VehicleLoad) []byte {
	b = append(b, `{"vehicle":`...)
	b = appendText(b, v.Vehicle)
	b = append(b, `,"loads":`...)
	b = strconv.AppendInt(b, int64(v.Loads), 10)
	b = append(b, `,"by_mass":`...)
	b = measure.AppendNumber(b, float64(v.ByMass))
	b = append(b, `,"by_volume":`...)
	b = measure.AppendNumber(b, float64(v.ByVolume))
	b = append(b, `,"governs":`...)
	b = appendText(b, v.Governs)
	b = append(b, `,"working":`...)
	b = appendWorking(b, &v.Working)
	return append(b, '}')
}
