package history

import (
	"cmp"
	"context"
	"database/sql"
	"encoding/hex"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
	"counterfoil/rules"
)

// sighting is a row of the table of that name, as Go sees it.
type sighting struct {
	state, at, runAt, run int64
	sold, ratings         sql.NullInt64
	sum                   string
	row                   int64
	place, listing        int64
	capture               int64
}

// sightings reads all sightings with plain joins. It reads all forms of the
// schema.
func sightings(t *testing.T, conn interface {
	QueryContext(context.Context, string, ...any) (*sql.Rows, error)
}) (list []sighting) {
	rows, err := conn.QueryContext(context.Background(), `SELECT s.state, coalesce(s.at, r.at), r.at, r.id, s.sold, s.ratings, c.sha256, s.row, st.place, st.listing, c.id
		FROM sighting s, capture c, run r, state st WHERE c.id = s.capture AND r.id = c.run AND st.id = s.state`)
	require.NoError(t, err)
	defer rows.Close()
	for rows.Next() {
		var s sighting
		var sum []byte
		require.NoError(t, rows.Scan(&s.state, &s.at, &s.runAt, &s.run, &s.sold, &s.ratings, &sum, &s.row, &s.place, &s.listing, &s.capture))
		s.sum = hex.EncodeToString(sum)
		list = append(list, s)
	}
	require.NoError(t, rows.Err())
	return list
}

// derivedFrom reckons spans and looks from sightings, the plain way.
func derivedFrom(list []sighting) (spans, looks []string) {
	byState, byLook := map[int64][]sighting{}, map[[2]int64][]int64{}
	for _, s := range list {
		byState[s.state] = append(byState[s.state], s)
		k := [2]int64{s.place, s.run}
		byLook[k] = append(byLook[k], s.listing)
	}
	for state, list := range byState {
		runs, runAt := map[int64]bool{}, int64(0)
		least := func(of func(sighting) sql.NullInt64) (n sql.NullInt64) {
			for _, s := range list {
				if x := of(s); x.Valid && (!n.Valid || x.Int64 < n.Int64) {
					n = x
				}
			}
			return n
		}
		for _, s := range list {
			runs[s.run] = true
			runAt = max(runAt, s.runAt)
		}
		slices.SortFunc(list, func(a, b sighting) int { return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.sum, b.sum)) })
		last := list[len(list)-1]
		var captures []string
		for _, s := range list {
			captures = append(captures, fmt.Sprint(s.capture))
		}
		slices.Sort(captures)
		spans = append(spans, fmt.Sprint(captures, state, list[0].at, last.at, runAt, len(runs), len(list),
			least(func(s sighting) sql.NullInt64 { return s.sold }), least(func(s sighting) sql.NullInt64 { return s.ratings }), last.sum, last.row))
	}
	for k, ids := range byLook {
		slices.Sort(ids)
		looks = append(looks, fmt.Sprint(k, slices.Compact(ids)))
	}
	slices.Sort(spans)
	slices.Sort(looks)
	return spans, looks
}

// derived reads spans and looks as the casebook keeps them.
func derived(t *testing.T, b *Book) (spans, looks []string) {
	spans = spansIn(t, b, "main.span")
	require.NoError(t, b.each("SELECT place, run, listings FROM look", nil, func(rows *sql.Rows) error {
		var k [2]int64
		var data []byte
		require.NoError(t, rows.Scan(&k[0], &k[1], &data))
		ids, err := unpackIDs(data)
		looks = append(looks, fmt.Sprint(k, ids))
		return err
	}))
	slices.Sort(looks)
	return spans, looks
}

func spansIn(t *testing.T, b *Book, table string) (spans []string) {
	require.NoError(t, b.each(`SELECT sp.state, sp.first, sp.last, sp.run_at, sp.runs, sp.sightings, sp.sold, sp.ratings, c.sha256, sp.row, sp.captures
		FROM `+table+` sp JOIN capture c ON c.id = sp.capture`, nil, func(rows *sql.Rows) error {
		var n [7]int64
		var sold, ratings sql.NullInt64
		var sum []byte
		var captures string
		err := rows.Scan(&n[0], &n[1], &n[2], &n[3], &n[4], &n[5], &sold, &ratings, &sum, &n[6], &captures)
		list := strings.Split(captures, ",")
		slices.Sort(list)
		spans = append(spans, fmt.Sprint(list, n[0], n[1], n[2], n[3], n[4], n[5], sold, ratings, hex.EncodeToString(sum), n[6]))
		return err
	}))
	slices.Sort(spans)
	return spans
}

// printsFit holds the packed fingerprints against the photos.
func printsFit(t *testing.T, b *Book) {
	want, got := map[int64]uint64{}, map[int64]uint64{}
	require.NoError(t, b.each("SELECT id, fingerprint FROM photo WHERE fingerprint IS NOT NULL AND algorithm = ?", []any{testOptions.PhotoVersion}, func(rows *sql.Rows) error {
		var id, f int64
		err := rows.Scan(&id, &f)
		want[id] = uint64(f)
		return err
	}))
	require.NoError(t, b.eachChunk(func(first int64, data []byte) {
		for ; len(data) > 0; data = data[entrySize:] {
			id, f := entryOf(first, data)
			got[id] = f
		}
	}))
	require.Equal(t, want, got)
}

// nothingIsLeft looks for rows that nothing needs.
func nothingIsLeft(t *testing.T, b *Book) {
	for _, q := range []string{
		"SELECT count(*) FROM capture WHERE id NOT IN (SELECT capture FROM run_capture)",
		"SELECT count(*) FROM run WHERE id NOT IN (SELECT run FROM run_capture)",
		"SELECT count(*) FROM run_capture WHERE run NOT IN (SELECT id FROM run) OR capture NOT IN (SELECT id FROM capture)",
		"SELECT count(*) FROM market WHERE run NOT IN (SELECT id FROM run)",
		"SELECT count(*) FROM sighting WHERE capture NOT IN (SELECT id FROM capture) OR state NOT IN (SELECT id FROM state)",
		"SELECT count(*) FROM state WHERE id NOT IN (SELECT state FROM span)",
		"SELECT count(*) FROM state_serial WHERE state NOT IN (SELECT id FROM state)",
		"SELECT count(*) FROM state_photo x WHERE (state, seller) NOT IN (SELECT id, coalesce(seller, 0) FROM state)",
		"SELECT count(*) FROM serial WHERE id NOT IN (SELECT serial FROM state_serial)",
		"SELECT count(*) FROM photo WHERE id NOT IN (SELECT photo FROM state_photo)",
		"SELECT count(*) FROM place WHERE id NOT IN (SELECT place FROM state)",
		"SELECT count(*) FROM seller WHERE id NOT IN (SELECT seller FROM state WHERE seller IS NOT NULL)",
		"SELECT count(*) FROM seller_mark WHERE seller NOT IN (SELECT id FROM seller)",
		"SELECT count(*) FROM listing WHERE id NOT IN (SELECT listing FROM state)",
		"SELECT count(*) FROM decision WHERE listing NOT IN (SELECT id FROM listing)",
	} {
		var n int
		require.NoError(t, b.conn.QueryRowContext(b.ctx, q).Scan(&n))
		require.Zero(t, n, q)
	}
}

// partly asks as an audit of some captures on some day does, of which neither
// their own sightings nor those of later runs count.
func partly(t *testing.T, b *Book, r *rand.Rand) {
	q := &rules.Question{Until: day("2026-09-01").AddDate(0, 0, r.IntN(30))}
	own := map[string]bool{}
	var all []string
	require.NoError(t, b.each("SELECT lower(hex(sha256)) FROM capture ORDER BY 1", nil, func(rows *sql.Rows) error {
		var sum string
		err := rows.Scan(&sum)
		all = append(all, sum)
		return err
	}))
	for range r.IntN(4) {
		sum := all[r.IntN(len(all))]
		own[sum] = true
		q.Captures = append(q.Captures, sum)
	}
	counted := slices.DeleteFunc(sightings(t, b.conn), func(s sighting) bool { return own[s.sum] || s.runAt > q.Until.Unix() })
	want, _ := derivedFrom(counted)
	rd := &reader{Book: b, q: q, at: map[int64]int{}, contacts: map[string]string{}}
	require.NoError(t, rd.ask(nil))
	require.Equal(t, want, spansIn(t, b, rd.span))
}

// Whatever happens to a casebook, what is made of its sightings fits them.
func TestWhatIsMadeOfSightingsFits(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	file := filepath.Join(t.TempDir(), "casebook")
	page := func(n, price int) []*listing.Listing {
		l := offer(fmt.Sprintf("p%d", n%7), fmt.Sprintf("Seller %d", n%3), fmt.Sprintf("%d.00", price), "seller_feedback_count", fmt.Sprint(50+r.IntN(9)))
		l.Set(listing.Field{Name: listing.SerialNumber, Value: fmt.Sprintf("KX47%03d", 7*n%900+price), Raw: "changed"})
		l.Photos, l.PhotosKnown = []listing.Photo{{File: "p.jpg", SHA256: fmt.Sprintf("%064x", n), Fingerprint: uint64(n), Mirror: 1, Printed: true}}, true
		if n%2 == 0 {
			l.Set(listing.Field{Name: listing.CapturedAt, Value: "2026-08-0" + fmt.Sprint(1+n%5)})
		}
		return captured(fmt.Sprintf("page-%d-%d.html", n, price), l)
	}
	check := func(what string) {
		b, err := Read(context.Background(), file, testOptions)
		require.NoError(t, err)
		defer b.Close()
		spans, looks := derived(t, b)
		wantSpans, wantLooks := derivedFrom(sightings(t, b.conn))
		require.Equal(t, wantSpans, spans, what)
		require.Equal(t, wantLooks, looks, what)
		require.NotEmpty(t, spans)
		printsFit(t, b)
		nothingIsLeft(t, b)
		partly(t, b, r)
	}
	record := func(batch []*listing.Listing, at time.Time, set int) {
		b := write(t, file)
		res, err := rules.Audit(context.Background(), batch, rules.Options{AsOf: at, History: b})
		require.NoError(t, err)
		require.NoError(t, b.Record(&Run{Tool: "test", Rules: fmt.Sprint(set), Captures: capturesOf(batch)}, res))
		require.NoError(t, b.Close())
	}
	var batches [][]*listing.Listing
	for step := range 24 {
		var batch []*listing.Listing
		used := map[string]bool{}
		for range 1 + r.IntN(6) {
			if p := page(r.IntN(12), 700+50*r.IntN(2)); !used[p[0].File] && !used[p[0].Key] {
				used[p[0].File], used[p[0].Key] = true, true
				batch = append(batch, p...)
			}
		}
		if step%4 == 3 { // as some earlier run, often on an earlier day
			batch = batches[r.IntN(len(batches))]
		}
		batches = append(batches, batch)
		// Runs come in any order of time, some captures again, and now and then a
		// rule set that makes all of them be examined anew.
		record(batch, day("2026-09-01").AddDate(0, 0, r.IntN(30)), r.IntN(8)/7)
		check(fmt.Sprint("step ", step))
	}
	b := write(t, file)
	runs, err := b.Runs()
	require.NoError(t, err)
	_, err = b.ForgetRun(runs[1].Mark)
	require.NoError(t, err)
	require.NoError(t, b.Close())
	check("a run forgotten")
	b = write(t, file)
	_, err = b.ForgetSeller("Seller 1")
	require.NoError(t, err)
	require.NoError(t, b.Close())
	check("a seller forgotten")
	for _, batch := range batches[len(batches)-4:] {
		record(batch, day("2026-09-20"), 0)
		check("what was forgotten is seen again")
	}
	b = write(t, file)
	_, err = b.ForgetBefore(day("2026-09-15"))
	require.NoError(t, err)
	require.NoError(t, b.Close())
	check("all before a day forgotten")
}

func TestPackedIDs(t *testing.T) {
	for _, ids := range [][]int64{{}, {1}, {1, 2, 300, 1 << 40}} {
		got, err := unpackIDs(packIDs(ids))
		require.NoError(t, err)
		assert.Equal(t, ids, got)
	}
	for _, bad := range [][]byte{{0}, {1, 0}, {0x80}, {0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0x01}, {1, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0x7f}} {
		_, err := unpackIDs(bad)
		assert.Error(t, err, "%x", bad)
	}
	// Protocol Buffers' documentation of its encoding: 150 is 96 01.
	assert.Equal(t, []byte{0x96, 0x01}, packIDs([]int64{150}))
}
