package pricing

// Content is a quantity with its unit ("0.5 ft3") or a whole number of units, pieces or packs: exactly one of the two.
// The zero value is an absent member.
type Content struct {
	Quantity string
	Count    int
}

// IsZero tells an absent member; encoding/json asks it for omitzero.
func (c Content) IsZero() bool { return c == Content{} }
