// Package schedule finds when the tasks of a job are done: a network of tasks that wait for each other, the calendar of a
// crew, the critical path, and a plan in which the people of the crew are never in two places.
//
// All working time is in whole minutes of the crew's working day (Minutes), counted from the first minute of the first
// day; a Calendar turns it into days and hours of the clock (Clock). There is no time zone: a day has 24 hours. Nothing
// here reads a clock.
//
// The network is reckoned by the critical path method: a forward pass gives the earliest, a backward pass the latest start
// of every task, and their difference is its slack. Waits are finish to start, with working time, hours of the clock or
// whole days between. The crew plan then finds the shortest order of the tasks in which no more people are at work than
// there are, nor a tool in two tasks: each task is done by as many of them as it has room for, without a break but for the calendar's, and the
// others do another one meanwhile. The search goes through all orders that can be shorter than the best so far, and stops
// at a limit counted in steps, so that the answer is the same on every machine; a plan that is not proved the shortest
// says so.
package schedule
