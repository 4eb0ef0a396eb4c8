package estimate

import "bedline/estimate/measure"

// Shallowest is the layer of the job that is laid to the least depth, in words. It is false for a job without layers.
func (j *Job) Shallowest() (what string, depth measure.Length, ok bool) {
	look := func(name, of string, d measure.Length) {
		if d > 0 && (!ok || d < depth) {
			what, depth, ok = "the "+name+" of "+of, d, true
		}
	}
	layer := func(name, of string, l *Layer) {
		if l != nil {
			look(name, of, l.Depth)
		}
	}
	for i := range j.Beds {
		b := &j.Beds[i]
		layer("stone", b.ID, b.Stone)
		if b.Edging != nil {
			layer("base under the edging", b.ID, b.Edging.Base)
			layer("sand under the edging", b.ID, b.Edging.Sand)
		}
	}
	for i := range j.Slabs {
		layer("base", j.Slabs[i].ID, j.Slabs[i].Base)
		layer("sand", j.Slabs[i].ID, j.Slabs[i].Sand)
	}
	for i := range j.Paving {
		layer("base", j.Paving[i].ID, j.Paving[i].Base)
		layer("sand", j.Paving[i].ID, j.Paving[i].Sand)
	}
	for i := range j.Planters {
		look("fill", j.Planters[i].ID, j.Planters[i].Fill)
	}
	return what, depth, ok
}
