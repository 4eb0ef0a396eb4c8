// Package fabric cuts sheet goods for the ground: strips with laps, joins, the rolls that they come from and the pins
// that hold them.
package fabric
