package earth

// Triangles are the triangles of the surface, for tests.
func (s *Surface) Triangles() (triangles [][3]Spot) {
	for _, t := range s.triangles {
		triangles = append(triangles, [3]Spot{s.spots[t[0]], s.spots[t[1]], s.spots[t[2]]})
	}
	return triangles
}

// Spots are the spots that the surface is made of, for tests.
func (s *Surface) Spots() []Spot { return s.spots }
