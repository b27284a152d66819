//go:build race

package history

const slowness = 15 // everything takes ten times as long
