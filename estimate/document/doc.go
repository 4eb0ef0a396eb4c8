// Package document holds a JSON text read strictly into an ordered tree, and a reader over the tree that collects
// every fault of a document with its place.
//
// Parse refuses what leaves room for two readings: duplicate members, text after the end, text that is not UTF-8,
// numbers beyond float64. A Reader then walks over the tree: each accessor names a member, says whether it must be
// there and what it must be, and notes a Fault where it is not so, so that one pass finds all of them. Close notes
// the members that nobody asked for.
//
// A Patcher applies RFC 6902 and RFC 7396 patches to a document, and says at which operation one fails.
//
// No error of this package repeats text of the document, except that pointers hold the names of members, and that the
// example of a failed test operation is the value that stands there.
package document
