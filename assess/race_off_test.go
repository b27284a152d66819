//go:build !race

package assess

const underRace = false
