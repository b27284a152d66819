//go:build race

package assess

const underRace = true // everything takes ten times as long
