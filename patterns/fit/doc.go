// Package fit finds the weights of the difficulty model from data about people, and says how well a model
// predicts people it has not seen.
//
// Data come as a folder of CSV files ([ReadFolder]) and, apart from it, results of people who clapped phrases back
// ([ReadResults]). [Weights] fits; the functions of check.go leave out one phrase or one source at a time and compare.
package fit
