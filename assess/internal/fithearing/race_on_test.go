//go:build race

package main

const underRace = true // everything takes ten times as long
