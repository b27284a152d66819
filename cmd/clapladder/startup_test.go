package main

import (
	"os/exec"
	"path/filepath"
	"testing"
)

// BenchmarkStartUp builds the program and reports the processor time, user and system, that
// "version" takes:
//
//	go test -run '^$' -bench StartUp ./cmd/clapladder
func BenchmarkStartUp(b *testing.B) {
	program := filepath.Join(b.TempDir(), "program")
	if out, err := exec.Command("go", "build", "-o", program, ".").CombinedOutput(); err != nil {
		b.Fatalf("%v: %s", err, out)
	}
	total := 0.0
	for b.Loop() {
		run := exec.Command(program, "version")
		if err := run.Run(); err != nil {
			b.Fatal(err)
		}
		total += (run.ProcessState.UserTime() + run.ProcessState.SystemTime()).Seconds()
	}
	b.ReportMetric(1000*total/float64(b.N), "cpu-ms/op")
}
