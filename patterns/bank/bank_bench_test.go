package bank

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// largeBank is the starter bank over and over, with IDs of its own, up to n phrases.
func largeBank(n int) *Bank {
	starter := Starter().Entries
	b := &Bank{}
	for i := range n {
		e := starter[i%len(starter)]
		e.ID = fmt.Sprintf("%s-%d", e.ID, i)
		b.Entries = append(b.Entries, e)
	}
	return b
}

func BenchmarkLoadBank5000(b *testing.B) {
	data, err := largeBank(5000).EncodeTOML()
	require.NoError(b, err)
	sheet, err := largeBank(5000).EncodeCSV(';')
	require.NoError(b, err)
	b.Run("toml", func(b *testing.B) {
		b.SetBytes(int64(len(data)))
		for b.Loop() {
			if _, err := Load("bank.toml", data); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("csv", func(b *testing.B) {
		b.SetBytes(int64(len(sheet)))
		for b.Loop() {
			if _, err := Load("bank.csv", sheet); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("every line wrong", func(b *testing.B) {
		wrong := []byte(strings.ReplaceAll(string(data), `id = "`, `id = "no `))
		for b.Loop() {
			if _, err := Load("bank.toml", wrong); err == nil {
				b.Fatal("no error")
			}
		}
	})
}

func BenchmarkFormatTOML5000(b *testing.B) {
	data, err := largeBank(5000).EncodeTOML()
	require.NoError(b, err)
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if _, err := FormatTOML("bank.toml", data); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSetPins5000(b *testing.B) {
	bank := largeBank(5000)
	data, err := bank.EncodeTOML()
	require.NoError(b, err)
	pins := make([]Pin, len(bank.Entries))
	for i, e := range bank.Entries {
		pins[i] = Pin{ID: e.ID, Tier: i%9 + 1}
	}
	for b.Loop() {
		if _, err := SetPins("bank.toml", data, pins); err != nil {
			b.Fatal(err)
		}
	}
}
