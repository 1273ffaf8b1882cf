package history

import (
	"context"
	"fmt"
	"math/bits"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
	"counterfoil/rules"
)

// Both ways of looking give what comparing every pair gives, at the borders of
// quarters and bounds as well.
func TestNearFindsAll(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	b := write(t, filepath.Join(t.TempDir(), "casebook"))
	kept := make([]uint64, 3000)
	for i := range kept {
		switch kept[i] = r.Uint64(); i % 4 {
		case 0:
			kept[i] |= 0xffff << (16 * (i / 4 % 4)) // the last value of a quarter
		case 1:
			kept[i] &^= 0xffff << (16 * (i / 4 % 4))
		}
		require.NoError(t, b.exec("INSERT INTO photo VALUES (?, randomblob(32), ?, 0, ?, 0, '')", i+7, int64(kept[i]), testOptions.PhotoVersion))
	}
	require.NoError(t, b.exec("INSERT INTO photo VALUES (9000, randomblob(32), ?, 0, 'test-0', 0, '')", int64(kept[0])))
	require.NoError(t, b.packAll())
	var asked []uint64
	for range 200 {
		f := kept[r.IntN(len(kept))]
		for range r.IntN(16) {
			f ^= 1 << r.IntN(64)
		}
		asked = append(asked, f)
	}
	for _, bound := range []int{0, 3, 4, 8, 11, 15} {
		for _, asked := range [][]uint64{asked[:few], asked} {
			var want []int64
			for i, f := range kept {
				if slices.ContainsFunc(asked, func(a uint64) bool { return bits.OnesCount64(a^f) <= bound }) {
					want = append(want, int64(i+7))
				}
			}
			require.NotEmpty(t, want)
			got, err := b.near(asked, bound)
			require.NoError(t, err)
			assert.Equal(t, want, got, "%d asked, bound %d", len(asked), bound)
		}
	}
}

// A seller who puts the same picture up again and again is told by what he
// showed last.
func TestOfOnePictureTheLastOffersAreTold(t *testing.T) {
	file := filepath.Join(t.TempDir(), "casebook")
	const words = "A fine unit in its own box that was bought for a car which was sold before the work began and has never been fitted"
	put := func(id string) *listing.Listing {
		l := offer(id, "Alfa", "900.00", "description", words)
		l.Photos, l.PhotosKnown = []listing.Photo{{File: "p.jpg", SHA256: fmt.Sprintf("%064x", 9), Fingerprint: 77, Mirror: 78, Printed: true}}, true
		return l
	}
	for week := 1; week <= 7; week++ {
		audit(t, file, captured(fmt.Sprint(week, ".csv"), put(fmt.Sprint("a", week)), put("stays")), rules.Options{AsOf: day("2026-09-01").AddDate(0, 0, 7*week)})
	}
	f, err := rules.Build(captured("8.csv", put("new"), put("stays")), rules.Options{AsOf: day("2026-11-01")})
	require.NoError(t, err)
	b, err := Read(context.Background(), file, testOptions)
	require.NoError(t, err)
	defer b.Close()
	m, err := b.Recall(&rules.Question{Until: f.AsOf, Traces: rules.Remember(f), Bound: 11})
	require.NoError(t, err)
	var told []string
	for _, e := range m.Earlier {
		told = append(told, e.Key)
	}
	assert.Equal(t, []string{"moor.example/a4", "moor.example/a5", "moor.example/a6", "moor.example/a7", "moor.example/stays"}, told)
}

// Labels and fingerprints of a newer algorithm are taken over although nothing of
// the listing has changed.
func TestPhotosOfKnownListingsAreLearned(t *testing.T) {
	file := filepath.Join(t.TempDir(), "casebook")
	record := func(name string, opt Options, f uint64, views ...listing.View) {
		l := offer("a1", "Alfa", "900.00")
		l.Photos, l.PhotosKnown = []listing.Photo{{File: "p.jpg", SHA256: fmt.Sprintf("%064x", 9), Fingerprint: f, Mirror: 78, Printed: true, Views: views}}, true
		batch := captured(name, l)
		b, err := Write(context.Background(), file, opt)
		require.NoError(t, err)
		res, err := rules.Audit(context.Background(), batch, rules.Options{AsOf: day("2026-09-01")})
		require.NoError(t, err)
		require.NoError(t, b.Record(&Run{Tool: "test", Captures: capturesOf(batch)}, res))
		require.NoError(t, b.Close())
	}
	near := func(opt Options, f uint64) []int64 {
		b, err := Read(context.Background(), file, opt)
		require.NoError(t, err)
		defer b.Close()
		ids, err := b.near([]uint64{f}, 3)
		require.NoError(t, err)
		return ids
	}
	record("1.csv", testOptions, 77)
	assert.NotContains(t, dump(t, file), "serial-plate")
	record("2.csv", testOptions, 77, listing.View{Name: listing.ViewSerialPlate, By: "tag"})
	text := dump(t, file)
	assert.Contains(t, text, `"one_unit":1,"labels":"serial-plate"`)
	assert.Equal(t, 1, strings.Count(text, `{"record":"state"`))

	newer := Options{PhotoVersion: "test-2", Started: testOptions.Started}
	assert.Len(t, near(testOptions, 77), 1)
	assert.Empty(t, near(newer, 77), "fingerprints of two algorithms are not compared")
	record("3.csv", newer, 0xffffffff)
	assert.Empty(t, near(testOptions, 77))
	assert.Len(t, near(newer, 0xffffffff), 1)
	assert.Contains(t, dump(t, file), `"one_unit":1,"labels":"serial-plate"`)
}
