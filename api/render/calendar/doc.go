// Package calendar writes the work plan of a quote as an iCalendar object (RFC 5545), for the calendars of crews: tasks,
// what has to be waited for, orders and deliveries, hired machines.
//
// A task is an event for each working day that it lies on, from when work at it begins on that day until it ends, breaks
// included. An event depends on others by RELATED-TO;RELTYPE=DEPENDS-ON (RFC 9253): the first one of a task on the last
// one of every task that it waits for, on the times to wait and on the goods that have to be there.
//
// Identifiers are the same whenever the same job is written again: they come from its reference (from the id of the answer
// where it has none), the operation, material or machine and the number of the day at it.
package calendar
