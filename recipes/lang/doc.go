// Package lang reads recipes: it turns HCL text into typed blocks, with every
// value's origin, or into diagnostics that say where and what to do.
//
// It knows the manner of the language and nothing of the trade. A trade brings
// a table of kinds (type Kinds): for each block kind a documented struct and
// beside it one description of its words (type Desc), in the manner of Go's
// flag package. That one description drives decoding, ranges, defaults,
// suggestions, the written reference and the dials of a page.
//
// The phases, in order, each in a file of its own:
//
//	guard   size, encoding, bracket depth, tokens: before anything recurses
//	open    quotes, braces and brackets without a partner, each one fault
//	parse   HCL syntax; it and what is before it stop early
//	allow   expressions become a small tree of our own; the rest is refused
//	gather  names, kinds, words
//	link    every reference and name against the table of names
//	sort    blocks by their needs, stable in file order; circles named
//	decode  words into structs, ties solved, blocks derived, in that order
//
// Guaranteed: Read ends with a File or with at least one fault, never with a
// panic, in time and memory bounded by the size limits, whatever the bytes. The
// same bytes give the same result and the same diagnostics in the same order.
// A failed block is unknown: what depends on it stays silent, independent
// faults all show at once.
//
// Not guaranteed: that what is read makes sense in metal. Kinds judge their own
// values in Derive.
//
// Lengths are millimetres, angles degrees, as in recipes.
package lang
