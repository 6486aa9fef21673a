// Package build turns pieces into models: meshes that are judged, weighed,
// laid out for the printer and written to files. It is the one home for
// tolerance, cache, cancelling and progress.
//
// Guarantees: every mesh of a Model was judged as files will hold it, rounded
// to float32; Remarks tells what is wrong with it, with a place and a line of
// the recipe. The same piece and tolerance give the same meshes and the same
// bytes on any number of workers. Files appear all together or not at all. A
// piece too large to model ends in an error before any work is done on it.
//
// Not guaranteed: that a piece can be cast, set or worn. Build judges meshes,
// not metal.
//
// Lengths are mm, volumes mm3, weights g.
package build
