// Package supply finds the buying plan of a job: which packs of which offers from which supplier, delivered or picked
// up, for all materials together, at the least landed cost.
//
// Landed cost is the goods plus the delivery fees plus the trips of pick-ups, before tax; handling and taxes are part of
// it where the problem has them. All money is whole minor units; the amount of each line is rounded once, halves away
// from zero. Among plans of the same cost the one with
// the fewest drops and trips is taken, then the fewest packs (the sum of the counts), then the least surplus (the sum
// over the materials of surplus divided by need), then the one that buys more of the offer whose key sorts first.
//
// Two ways of a supplier that cost the same and take the same trips count as delivered.
//
// The search is exact. For every material and set of suppliers the best combination of its offers is listed. Over them
// a branch and bound decides each supplier's way (nothing, paid delivery, free delivery, pick-up). Where a payload or a
// threshold of goods ties the materials together, its price is sought at which the materials, looked at one by one,
// bound the whole best (Lagrangian relaxation); prices that were sought for one branch bound the others too. The branch
// of the least bound is looked into for plans that cost little more than it: the number of trips is split, then what the bound leaves open is gone through with all combinations that
// are not beaten in cost and load, or, where they are many, the steps of an offer are split. What is not found raises the
// bound.
//
// Where needs are not certain, Hedged and Confident weigh what is bought too much now against what may run short.
//
// It proves its answer or stops at a limit counted in steps of work, never in time, so that the answer is the same on
// every machine; a plan that is not proved says so and gives a bound.
//
// With thresholds of goods (free delivery, minimum order) a dearer price can make a plan cheaper, since it lifts the
// goods over the threshold; without them it never does.
package supply
