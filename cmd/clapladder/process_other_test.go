//go:build !linux && !darwin

package main

func limitFiles(string) {}
