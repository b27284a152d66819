// Package rank has rank statistics, to compare measures and models with what people did: how far
// two lists agree in order, and how well one list lies above another.
//
// Lists are read only. A list with NaN has no order; results are then undefined. Safe for
// concurrent use.
package rank
