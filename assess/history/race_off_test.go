//go:build !race

package history

const slowness = 1
