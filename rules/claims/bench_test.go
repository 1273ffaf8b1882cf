package claims

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

// BenchmarkRead reads all labelled texts, each as its own listing.
func BenchmarkRead(b *testing.B) {
	e := testEngine(b)
	all := readLabelled(b, "listings.tsv")
	size := 0
	for _, l := range all {
		size += len(l.title) + len(l.text)
	}
	b.SetBytes(int64(size))
	b.ReportAllocs()
	for b.Loop() {
		for _, l := range all {
			e.Read(l.texts(), Options{})
		}
	}
}

// BenchmarkReadLong reads one long description.
func BenchmarkReadLong(b *testing.B) {
	e := testEngine(b)
	var text strings.Builder
	for _, l := range readLabelled(b, "listings.tsv") {
		text.WriteString(l.title + ". " + l.text + "\n")
	}
	b.SetBytes(int64(text.Len()))
	b.ReportAllocs()
	for b.Loop() {
		e.Read([]Text{{listing.Description, text.String()}}, Options{})
	}
}

func BenchmarkDisguised(b *testing.B) {
	e := testEngine(b)
	all := readLabelled(b, "listings.tsv")
	size := 0
	for _, l := range all {
		size += len(l.title)
	}
	b.SetBytes(int64(size))
	for b.Loop() {
		for _, l := range all {
			e.Disguised(l.title)
		}
	}
}

func BenchmarkNew(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		_, err := New(testMakers)
		require.NoError(b, err)
	}
}
