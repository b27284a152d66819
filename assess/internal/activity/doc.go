// Package activity measures how much clapping goes on, whoever claps: a curve over time that bursts
// of one hand and of many raise alike, and look-ups in it.
//
// # Conventions
//
// Times are seconds from the start of the recording. Heights are of the recording's strong bursts,
// 0 to 1.3. Values are never changed once made and may be read by many goroutines.
package activity
