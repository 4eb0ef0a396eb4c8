package supply

// BreakEven compares bulk with bags for the need of that index, looking at quantities up to upTo. ok is false for a
// material that lacks one of the two forms.
func (s *Solver) BreakEven(need int, upTo Content) (result BreakEven, ok bool, err error) {
	return BreakEven{}, false, nil
}

// Curve is the least landed cost of the need of that index alone, in the form, against quantity, up to upTo.
func (s *Solver) Curve(need int, form Form, upTo Content) ([]Step, error) { return nil, nil }
