// Package geos asks GEOS, the geometry engine of many map systems, for a second opinion in tests. All of it but this
// page stands behind the build tag geos.
package geos
