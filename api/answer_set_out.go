package api

// SetOut is what a crew needs to put the job on the ground.
type SetOut struct {
	Origin  *SetOutPoint `json:"origin,omitempty"`
	Towards *SetOutPoint `json:"towards,omitempty"`
	Every   Quantity     `json:"every"`
	Parts   []StakedPart `json:"parts"`
	Gauges  []Gauge      `json:"gauges"`
}

// SetOutPoint is a point as taped.
type SetOutPoint struct {
	X Quantity `json:"x"`
	Y Quantity `json:"y"`
}

// StakedPart is one bed, slab group, paved area or planter with its stakes.
type StakedPart struct {
	ID             string       `json:"id"`
	Kind           string       `json:"kind"` // bed, slabs, paving or planter
	Hole           *int         `json:"hole,omitempty"`
	Island         *int         `json:"island,omitempty"`
	Baseline       Baseline     `json:"baseline"`
	Stakes         []Stake      `json:"stakes"`
	Pivots         []Pivot      `json:"pivots"`
	Measures       []Measure    `json:"measures"`
	EqualDiagonals bool         `json:"equal_diagonals,omitempty"`
	RightAngles    []RightAngle `json:"right_angles"`
	Curves         []Curve      `json:"curves"`
	Stations       []Station    `json:"stations,omitempty"`
}

// Baseline is the line that stakes are taped from a second time.
type Baseline struct {
	First  string   `json:"first"`
	Second string   `json:"second"`
	Length Quantity `json:"length"`
}

// Stake is one stake.
type Stake struct {
	Label    string    `json:"label"`
	Marks    string    `json:"marks"` // corner, tangent, joint, start or pivot
	Side     *int      `json:"side,omitempty"`
	Corner   *int      `json:"corner,omitempty"`
	X        Quantity  `json:"x"`
	Y        Quantity  `json:"y"`
	ToFirst  Quantity  `json:"to_first"`
	ToSecond Quantity  `json:"to_second"`
	Down     *Quantity `json:"down,omitempty"` // but for pivots
}

// Pivot is an arc as it is swung from its centre.
type Pivot struct {
	Stake  string   `json:"stake"`
	Side   *int     `json:"side,omitempty"`
	Corner *int     `json:"corner,omitempty"`
	From   string   `json:"from"`
	To     string   `json:"to"`
	Radius Quantity `json:"radius"`
	Sweep  Quantity `json:"sweep"`
	Turn   string   `json:"turn"` // left or right
	Chord  Quantity `json:"chord"`
	Rise   Quantity `json:"rise"`
}

// Measure is a straight check from stake to stake.
type Measure struct {
	Kind   string   `json:"kind"` // side, diagonal or cross
	From   string   `json:"from"`
	To     string   `json:"to"`
	Length Quantity `json:"length"`
}

// RightAngle is a check of a corner by a triangle of sides 3, 4 and 5.
type RightAngle struct {
	At         string   `json:"at"`
	First      Leg      `json:"first"`
	Second     Leg      `json:"second"`
	Hypotenuse Quantity `json:"hypotenuse"`
}

// Leg is a measure from a corner towards a stake.
type Leg struct {
	Towards string   `json:"towards"`
	Length  Quantity `json:"length"`
}

// Curve is a curved line with running totals.
type Curve struct {
	From   string      `json:"from"`
	To     string      `json:"to"`
	Length Quantity    `json:"length"`
	Marks  []CurveMark `json:"marks"`
}

// CurveMark is a place on a curve.
type CurveMark struct {
	Along Quantity `json:"along"`
	X     Quantity `json:"x"`
	Y     Quantity `json:"y"`
	Stake string   `json:"stake,omitempty"`
}

// Station is a station of an outline by offsets, as taped.
type Station struct {
	Along Quantity `json:"along"`
	Out   Quantity `json:"out"`
	Stake string   `json:"stake"`
}

// Gauge is what a stick is marked with for one digging.
type Gauge struct {
	Zone  string      `json:"zone"`
	Part  string      `json:"part"` // trench, bed, pad or field
	Marks []DepthMark `json:"marks"`
}

// DepthMark is a mark of a gauge stick.
type DepthMark struct {
	Mark string   `json:"mark"`
	Lift *int     `json:"lift,omitempty"`
	Down Quantity `json:"down"`
}
