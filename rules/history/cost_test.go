package history

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/fixtures/year"
	"counterfoil/parse/listing"
	"counterfoil/rules"
	"counterfoil/rules/serials"
)

// TestMeasureCost prints what the casebook adds to each week's audit of an
// invented market, in processor time, so that other load does not count. It
// makes the traces of listings itself, since the rules, whose cost does not
// depend on the past, would take most of the time. Without COUNTERFOIL_COST,
// which sets listings and weeks as in 100000x52, it only checks that the small
// market's casebook grows as slowly as it should.
func TestMeasureCost(t *testing.T) {
	rows, weeks := sizeOf(t, "COUNTERFOIL_COST", 300, 6)
	m := year.New(rows, weeks, 11)
	defer m.Close()
	file := filepath.Join(t.TempDir(), "casebook")
	fmt.Println("week  recall s  looks s  record s  all s  states told  file MB  bytes a listing  serial ms  listing ms")
	var before int64
	for week := 1; week <= weeks; week++ {
		batch := m.Next()
		q := &rules.Question{Until: year.Day(week), Captures: []string{batch[0].SHA256}, Traces: tracesOf(batch), Bound: 11}
		start := cpu()
		b := write(t, file)
		memory, err := b.Recall(q)
		require.NoError(t, err)
		recalled := cpu()
		places := map[string]bool{}
		for i := range memory.Earlier {
			if e := &memory.Earlier[i]; !places[e.Part] {
				places[e.Part] = true
				looks, err := b.Looks(q, e.Market, e.Part)
				require.NoError(t, err)
				require.NotEmpty(t, looks)
			}
		}
		looked := cpu()
		res := &rules.Result{Facts: &rules.Facts{Options: rules.Options{AsOf: year.Day(week)}, Listings: batch, Past: &rules.Past{Traces: q.Traces}}}
		require.NoError(t, b.Record(&Run{Tool: "test", Captures: capturesOf(batch)}, res))
		require.NoError(t, b.Close())
		end := cpu()
		serial, found := lookUps(t, file, batch)
		info, err := os.Stat(file)
		require.NoError(t, err)
		each := float64(info.Size()-before) / float64(rows)
		before = info.Size()
		fmt.Printf("%4d  %8.2f  %7.2f  %8.2f  %5.2f  %11d  %7.1f  %15.0f  %9.2f  %10.2f\n", week, (recalled - start).Seconds(), (looked - recalled).Seconds(),
			(end - looked).Seconds(), (end - start).Seconds(), len(memory.Earlier), float64(info.Size())/1e6, each, serial, found)
		if week > 1 {
			assert.Less(t, each, 500.0, "bytes a listing, of which 13 in 100 are new or changed")
		}
		if week == weeks {
			askedAgain(t, file, q)
		}
	}
}

// askedAgain prints what the questions of a repeated audit cost, which does not
// meet itself, and what it costs to forget the first run and all up to the middle.
func askedAgain(t *testing.T, file string, q *rules.Question) {
	start := cpu()
	b := write(t, file)
	_, err := b.Recall(q)
	require.NoError(t, err)
	asked := cpu()
	runs, err := b.Runs()
	require.NoError(t, err)
	n, err := b.ForgetRun(runs[0].Mark)
	require.NoError(t, err)
	require.Equal(t, 1, n)
	forgot := cpu()
	_, err = b.ForgetBefore(runs[len(runs)/2].At)
	require.NoError(t, err)
	half := cpu()
	require.NoError(t, b.Close())
	info, err := os.Stat(file)
	require.NoError(t, err)
	fmt.Printf("the last week asked again %.2f s, the first run forgotten %.2f s, all up to the middle %.2f s, file then %.1f MB\n",
		(asked - start).Seconds(), (forgot - asked).Seconds(), (half - forgot).Seconds(), float64(info.Size())/1e6)
}

// lookUps gives the milliseconds of processor time that it takes to look up a
// serial and a listing.
func lookUps(t *testing.T, file string, batch []*listing.Listing) (serial, found float64) {
	b, err := Read(context.Background(), file, testOptions)
	require.NoError(t, err)
	defer b.Close()
	n := 0
	start := cpu()
	for _, l := range batch[:min(len(batch), 500)] {
		if s := l.Value(listing.SerialNumber); s != "" {
			list, err := b.Serial(s)
			require.NoError(t, err)
			require.NotEmpty(t, list)
			n++
		}
	}
	serial = 1000 * (cpu() - start).Seconds() / float64(n)
	start = cpu()
	for _, l := range batch[:100] {
		keys, err := b.FindListing(l.Value(listing.ListingID))
		require.NoError(t, err)
		require.Len(t, keys, 1)
	}
	return serial, 10 * (cpu() - start).Seconds()
}

// tracesOf makes the traces of an invented week's listings in few steps.
func tracesOf(batch []*listing.Listing) []rules.Trace {
	list := make([]rules.Trace, len(batch))
	for i, l := range batch {
		price, _ := l.Amount(listing.Price)
		quantity, _ := l.Int(listing.QuantityAvailable)
		seller := l.Value(listing.Seller)
		t := &list[i]
		*t = rules.Trace{Key: "moor.example/" + l.Key, Market: "moor.example", Part: l.Value(listing.PartNumber), Unit: l.Value(listing.UnitType),
			Seller: "moor.example/" + l.Value(listing.SellerID), Shown: seller, Title: l.Value(listing.Title), Claim: "silent",
			Condition: l.Value(listing.Condition), Price: price, Shipping: rules.NotStated, Lot: 1, Quantity: quantity, Sold: rules.NotStated, Ratings: rules.NotStated,
			Text: rules.MarkText(l.Value(listing.Description))}
		t.Marks = []string{"account " + t.Seller, "name " + strings.ToLower(seller)}
		if s := l.Value(listing.SerialNumber); s != "" {
			t.Serials = []rules.SerialSeen{{Serial: serials.Canonical(s), Field: listing.SerialNumber}}
		}
		for k := range l.Photos {
			p := &l.Photos[k]
			t.Photos = append(t.Photos, rules.Print{SHA256: p.SHA256, Fingerprint: p.Fingerprint, Mirror: p.Mirror, Printed: p.Printed})
		}
	}
	return list
}

// million makes a casebook of a million fingerprints drawn at random.
func million(b *testing.B) *Book {
	book := write(b, filepath.Join(b.TempDir(), "casebook"))
	require.NoError(b, book.exec(`WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 1000000)
		INSERT INTO photo SELECT i, randomblob(32), random(), random(), 'test-1', 0, '' FROM n`))
	require.NoError(b, book.packAll())
	require.NoError(b, book.finish())
	return book
}

func drawn(n int) []uint64 {
	r := rand.New(rand.NewPCG(5, 6))
	list := make([]uint64, n)
	for i := range list {
		list[i] = r.Uint64()
	}
	return list
}

// BenchmarkAlike looks for the photos of a week's new listings among a million
// fingerprints, BenchmarkAlikeOne for one photo and its mirror image.
func BenchmarkAlike(b *testing.B)    { benchmarkAlike(b, 48_000) }
func BenchmarkAlikeOne(b *testing.B) { benchmarkAlike(b, 2) }

func benchmarkAlike(b *testing.B, asked int) {
	book := million(b)
	list := drawn(asked)
	for b.Loop() {
		_, err := book.near(list, 11)
		require.NoError(b, err)
	}
}
