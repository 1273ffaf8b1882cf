package history

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"counterfoil/fixtures/export"
	"counterfoil/parse/listing"
	"counterfoil/parse/table"
	"counterfoil/rules"
)

// week invents an export with three photos a listing. In the second week every
// twentieth price is another one.
func week(b *testing.B, rows, n int) []*listing.Listing {
	kinds := map[string]export.Kind{}
	var csv bytes.Buffer
	require.NoError(b, export.Write(&csv, rows, 2026, func(id string, k export.Kind) { kinds[id] = k }))
	var batch []*listing.Listing
	table.Stream(&csv, "export.csv", table.Options{}, func(l *listing.Listing) {
		l.Key, l.SHA256 = l.Value(listing.ListingID), fmt.Sprintf("%064x", n)
		l.Photos, l.PhotosKnown = export.Photos(l.Key, l.Value(listing.PartNumber), kinds[l.Key])
		if len(batch)%20 == 0 && n > 1 {
			l.Set(listing.Field{Name: listing.Price, Value: fmt.Sprintf("%d.00", 400+n), Raw: "changed"})
		}
		batch = append(batch, l)
	})
	return batch
}

func factsOf(b *testing.B, batch []*listing.Listing, n int) *rules.Result {
	f, err := rules.Build(batch, rules.Options{AsOf: day("2026-09-01").AddDate(0, 0, 7*(n-1))})
	require.NoError(b, err)
	return &rules.Result{Facts: f}
}

func size(b *testing.B, file string) int64 {
	info, err := os.Stat(file)
	require.NoError(b, err)
	return info.Size()
}

// BenchmarkRecord writes a first week, and a second one in which 5 % changed.
func BenchmarkRecord(b *testing.B) {
	for _, rows := range []int{10_000, 100_000} {
		one, two := week(b, rows, 1), week(b, rows, 2)
		first, second := factsOf(b, one, 1), factsOf(b, two, 2)
		b.Run(fmt.Sprintf("rows%d/first", rows), func(b *testing.B) {
			for b.Loop() {
				file := filepath.Join(b.TempDir(), "casebook")
				put(b, file, one, first)
				b.ReportMetric(float64(size(b, file))/float64(rows), "bytes/listing")
			}
		})
		b.Run(fmt.Sprintf("rows%d/second", rows), func(b *testing.B) {
			for b.Loop() {
				b.StopTimer()
				file := filepath.Join(b.TempDir(), "casebook")
				put(b, file, one, first)
				before := size(b, file)
				b.StartTimer()
				put(b, file, two, second)
				b.ReportMetric(float64(size(b, file)-before)/float64(rows), "bytes/listing")
			}
		})
	}
}

func put(b *testing.B, file string, batch []*listing.Listing, res *rules.Result) {
	book, err := Write(context.Background(), file, testOptions)
	require.NoError(b, err)
	require.NoError(b, book.Record(&Run{Captures: capturesOf(batch)}, res))
	require.NoError(b, book.Close())
}

// BenchmarkRecall answers a whole batch, and BenchmarkSerial one question, from a
// casebook of 100,000 listings.
func BenchmarkRecall(b *testing.B) {
	for _, rows := range []int{10_000, 100_000} {
		file := filepath.Join(b.TempDir(), "casebook")
		batch := week(b, rows, 1)
		put(b, file, batch, factsOf(b, batch, 1))
		second := factsOf(b, week(b, rows, 2), 2)
		q := &rules.Question{Until: second.Facts.AsOf, Captures: []string{fmt.Sprintf("%064x", 2)}, Traces: rules.Remember(second.Facts), Bound: 11}
		b.Run(fmt.Sprintf("rows%d", rows), func(b *testing.B) {
			for b.Loop() {
				book, err := Read(context.Background(), file, testOptions)
				require.NoError(b, err)
				m, err := book.Recall(q)
				require.NoError(b, err)
				require.GreaterOrEqual(b, len(m.Earlier), rows*9/10)
				require.NoError(b, book.Close())
			}
		})
	}
}

func BenchmarkSerial(b *testing.B) {
	file := filepath.Join(b.TempDir(), "casebook")
	batch := week(b, 100_000, 1)
	put(b, file, batch, factsOf(b, batch, 1))
	book, err := Read(context.Background(), file, testOptions)
	require.NoError(b, err)
	defer book.Close()
	var known []string
	for _, l := range batch[:1000] {
		if s := l.Value(listing.SerialNumber); s != "" {
			known = append(known, s)
		}
	}
	n := 0
	for b.Loop() {
		_, err := book.Serial(known[n%len(known)])
		require.NoError(b, err)
		n++
	}
}
