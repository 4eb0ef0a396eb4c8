// Package bond holds fields of units: so far the grid of slabs, rows by columns with gaps between them.
package bond
