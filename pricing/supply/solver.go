package supply

// Solver is a problem made ready. It is not safe for concurrent use.
type Solver struct {
	problem Problem
}

// New makes a problem ready, or says what in it makes no sense (*InputError).
func New(p Problem) (*Solver, error) { return &Solver{problem: p}, nil }

// Solve is the cheapest plan of the problem. Errors: *InputError, *NoCoverError, ErrNoPlanInLimit.
func Solve(p Problem) (Plan, error) {
	s, err := New(p)
	if err != nil {
		return Plan{}, err
	}
	return s.Plan()
}

// Rivals are the plans of the problem under the usual restrictions: all bags, all bulk, each supplier alone and, where
// the cheapest plan uses more than two suppliers, at most two.
func Rivals(p Problem) []Rival {
	s, err := New(p)
	if err != nil {
		return nil
	}
	return s.Rivals()
}

// Plan is the cheapest plan.
func (s *Solver) Plan() (Plan, error) { return Plan{}, ErrNoPlanInLimit }

// Rivals are as the function Rivals says.
func (s *Solver) Rivals() []Rival { return nil }

// BreakEven compares bulk with bags for the need of that index, looking at quantities up to upTo. ok is false for a
// material that lacks one of the two forms.
func (s *Solver) BreakEven(need int, upTo Content) (result BreakEven, ok bool, err error) {
	return BreakEven{}, false, nil
}

// Curve is the least landed cost of the need of that index alone, in the form, against quantity, up to upTo.
func (s *Solver) Curve(need int, form Form, upTo Content) ([]Step, error) { return nil, nil }
