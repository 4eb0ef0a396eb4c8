package supply

// store lends memory that is taken back all at once, so that one search after the other does not ask for new.
type store[T any] struct{ lent []T }

// take lends n values. They hold what was in them when they were last lent.
func (s *store[T]) take(n int) []T {
	start := len(s.lent)
	if cap(s.lent)-start < n {
		// What was lent before stays with its holders.
		s.lent, start = make([]T, 0, max(2*cap(s.lent), n, 16)), 0
	}
	s.lent = s.lent[:start+n]
	return s.lent[start : start+n : start+n]
}

// zeroed lends n zero values.
func (s *store[T]) zeroed(n int) []T {
	list := s.take(n)
	clear(list)
	return list
}

// copied lends a copy of a list.
func (s *store[T]) copied(list []T) []T {
	c := s.take(len(list))
	copy(c, list)
	return c
}

// reclaim takes everything back: nobody may hold any of it any longer.
func (s *store[T]) reclaim() { s.lent = s.lent[:0] }
