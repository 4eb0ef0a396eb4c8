// Package db keeps price lists in Postgres and serves them from memory.
//
// A published version never changes, so a version that was read once is not read again: requests are answered from
// memory, a look at the newest version numbers runs in the background, and when the database is away the lists that
// were read last go on being served.
package db
