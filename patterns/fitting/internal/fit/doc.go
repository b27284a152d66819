// Package fit finds the weights of the difficulty model from data about people, and says how well a
// model predicts whole data sets that it has not seen.
//
// Data come as a folder of CSV files ([ReadFolder]) and, apart from it, results of people who
// clapped phrases back ([ReadResults]), since such files may not be handed on. [Weights] fits,
// the functions of check.go leave
// data sets out. What they print with the examination of 2015 stands in figures.txt
// beside the command.
package fit
