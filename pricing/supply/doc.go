// Package supply finds the buying plan of a job: which packs of which offers from which supplier, delivered or picked
// up, for all materials together, at the least landed cost.
//
// Landed cost is the goods plus the delivery fees plus the trips of pick-ups, before tax. All money is whole minor
// units; the amount of each line is rounded once, halves away from zero. Among plans of the same cost the one with
// the fewest drops and trips is taken, then the fewest packs (the sum of the counts), then the least surplus (the sum
// over the materials of surplus divided by need), then the one that buys more of the offer whose key sorts first.
//
// The search is exact. Every material's useful combinations of its offers are listed; over them a branch and bound
// decides each supplier's way (nothing, paid delivery, free delivery, pick-up) and then, where a payload or a
// threshold of goods binds, the number of drops. It proves its answer or stops at a limit counted in steps of work,
// never in time, so that the answer is the same on every machine; a plan that is not proved says so and gives a bound.
package supply
