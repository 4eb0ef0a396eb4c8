package supply

// store lends memory that is taken back all at once, so that one search after the other does not ask for new.
type store[T any] struct {
	blocks [][]T
	at     int // the block that is lent from; those before are full
}

// take lends n values. They hold what was in them when they were last lent.
func (s *store[T]) take(n int) []T {
	for {
		if s.at == len(s.blocks) {
			size := 32
			if s.at > 0 {
				size = 2 * cap(s.blocks[s.at-1])
			}
			s.blocks = append(s.blocks, make([]T, 0, max(size, n)))
		}
		block := s.blocks[s.at]
		if start := len(block); n <= cap(block)-start {
			s.blocks[s.at] = block[:start+n]
			return block[start : start+n : start+n]
		}
		s.at++
	}
}

// zeroed lends n zero values.
func (s *store[T]) zeroed(n int) []T {
	list := s.take(n)
	clear(list)
	return list
}

// copied lends a copy of a list.
func (s *store[T]) copied(list []T) []T {
	if len(list) == 0 {
		return nil
	}
	c := s.take(len(list))
	copy(c, list)
	return c
}

// reclaim takes everything back: nobody may hold any of it any longer.
func (s *store[T]) reclaim() {
	for i := range s.blocks {
		s.blocks[i] = s.blocks[i][:0]
	}
	s.at = 0
}
