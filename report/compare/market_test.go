package compare_test

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"text/tabwriter"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/fixtures/export"
	"counterfoil/parse/listing"
	"counterfoil/parse/table"
	"counterfoil/report/compare"
	"counterfoil/rules"
)

var asOf = time.Date(2026, 10, 1, 0, 0, 0, 0, time.UTC)

// generated reads an invented export with the photos of its rows.
func generated(t testing.TB, rows int, seed uint64) []*listing.Listing {
	t.Helper()
	kinds := map[string]export.Kind{}
	var csv bytes.Buffer
	require.NoError(t, export.Write(&csv, rows, seed, func(id string, k export.Kind) { kinds[id] = k }))
	var batch []*listing.Listing
	res := table.Stream(&csv, fmt.Sprintf("export-%d.csv", seed), table.Options{}, func(l *listing.Listing) {
		l.Key = l.Value(listing.ListingID)
		l.Photos, l.PhotosKnown = export.Photos(fmt.Sprint(seed, l.Key), l.Value(listing.PartNumber), kinds[l.Key])
		batch = append(batch, l)
	})
	require.Empty(t, res.Problems)
	return batch
}

// copied is a listing of the later look that says the same.
func copied(t testing.TB, l *listing.Listing) *listing.Listing {
	t.Helper()
	data, err := json.Marshal(listing.ToLine(l))
	require.NoError(t, err)
	out, err := listing.FromLine(data)
	require.NoError(t, err)
	out.File = "later.csv"
	put(out, listing.CapturedAt, "2026-09-29")
	return out
}

func put(l *listing.Listing, n listing.Name, value string) {
	f, _ := l.Get(n)
	l.Set(listing.Field{Name: n, Value: value, Raw: value, From: f.From})
}

func rename(l *listing.Listing, id string) {
	put(l, listing.ListingID, id)
	l.Key = id
}

// planted is what a change must say: its kind and both keys.
type planted struct {
	kind     compare.Kind
	old, new string
}

// market is a generated look, and a later one with planted changes.
type market struct {
	t             testing.TB
	r             *rand.Rand
	before, after []*listing.Listing
	want          map[planted]bool
	either        map[planted]bool // right as well, but not demanded
	serials       map[string]int
	sellers       []*listing.Listing // one listing of each
	leavers       map[string]bool    // sellers that come back under another name
	names         map[string]string
}

// newMarket plants changes with a fixed seed. Shares are out of 1,000.
func newMarket(t testing.TB, rows int, seed uint64) *market {
	m := &market{t: t, r: rand.New(rand.NewPCG(seed, 9)), before: generated(t, rows, seed), want: map[planted]bool{}, either: map[planted]bool{},
		serials: map[string]int{}, leavers: map[string]bool{}, names: map[string]string{}}
	seen := map[string]bool{}
	for _, l := range m.before {
		m.serials[l.Value(listing.SerialNumber)]++
		if s := l.Value(listing.Seller); !seen[s] {
			seen[s] = true
			m.sellers = append(m.sellers, l)
			if m.r.IntN(40) == 0 {
				m.leavers[s] = true
			}
		}
	}
	for i, l := range m.before {
		m.later(i, l)
	}
	for i, l := range generated(t, rows/20, seed+1) {
		n := copied(t, l)
		rename(n, fmt.Sprintf("N%07d", i))
		m.plant(compare.New, "", n.Key)
		m.after = append(m.after, n)
	}
	return m
}

func (m *market) plant(k compare.Kind, old, new string) { m.want[planted{k, old, new}] = true }

func (m *market) later(i int, l *listing.Listing) {
	n := copied(m.t, l)
	serial := l.Value(listing.SerialNumber)
	roll := m.r.IntN(1000)
	switch {
	case m.leavers[l.Value(listing.Seller)]:
		m.reincarnated(i, l, n)
		return
	case roll < 40:
		m.plant(compare.Gone, l.Key, "")
		return
	case roll < 80:
		rename(n, fmt.Sprintf("R%07d", i))
		m.plant(compare.Relisted, l.Key, n.Key)
		if m.r.IntN(2) == 0 {
			m.reprice(l, n)
		}
	case roll < 95 && serial != "" && m.serials[serial] == 1:
		rename(n, fmt.Sprintf("S%07d", i))
		other := m.sellers[m.r.IntN(len(m.sellers))]
		if other.Value(listing.Seller) == l.Value(listing.Seller) || m.leavers[other.Value(listing.Seller)] {
			m.plant(compare.Gone, l.Key, "")
			return
		}
		put(n, listing.Seller, other.Value(listing.Seller))
		put(n, listing.SellerID, other.Value(listing.SellerID))
		put(n, listing.Title, "Turbocharger "+l.Value(listing.PartNumber))
		put(n, listing.Description, "Bought for a car that was sold. "+n.Key)
		n.Photos, n.PhotosKnown = nil, false
		m.plant(compare.SerialMoved, l.Key, n.Key)
	default:
		m.edit(i, l, n)
	}
	m.after = append(m.after, n)
}

// reincarnated is a listing of a seller who comes back under another name, with
// pictures saved again: some bits of the fingerprints differ.
func (m *market) reincarnated(i int, l, n *listing.Listing) {
	seller := l.Value(listing.Seller)
	if m.names[seller] == "" {
		m.names[seller] = fmt.Sprintf("Newcomer %d", len(m.names))
	}
	rename(n, fmt.Sprintf("A%07d", i))
	put(n, listing.Seller, m.names[seller])
	put(n, listing.SellerID, "x"+m.names[seller])
	for p := range n.Photos {
		a, b := m.r.IntN(64), m.r.IntN(64)
		n.Photos[p].Fingerprint ^= 1<<a | 1<<b
		n.Photos[p].SHA256 = fmt.Sprintf("%064x", m.r.Uint64())
	}
	if n.Has(listing.SerialNumber) {
		n.Remove(listing.SerialNumber)
	}
	put(n, listing.Title, "Fine "+n.Value(listing.Title))
	// A listing without a picture to tell it by is new, and its earlier self gone.
	m.either[planted{compare.New, "", n.Key}], m.either[planted{compare.Gone, l.Key, ""}] = true, true
	if len(l.Photos) > 0 {
		m.plant(compare.AccountWithOld, seller, m.names[seller])
	}
	m.after = append(m.after, n)
}

func (m *market) reprice(l, n *listing.Listing) {
	a, ok := l.Amount(listing.Price)
	require.True(m.t, ok)
	a.Minor = a.Minor * int64(50+m.r.IntN(80)) / 100
	if a.String() != l.Value(listing.Price) {
		put(n, listing.Price, a.String())
		m.plant(compare.PriceMoved, l.Key, n.Key)
	}
}

// edit leaves most listings as they are.
func (m *market) edit(i int, l, n *listing.Listing) {
	at := func(share int) bool { return m.r.IntN(1000) < share }
	if at(150) {
		m.reprice(l, n)
	}
	if at(30) {
		put(n, listing.Title, l.Value(listing.Title)+" boxed")
		m.plant(compare.TitleEdited, l.Key, n.Key)
	}
	if at(30) {
		put(n, listing.Description, strings.Replace(l.Value(listing.Description), " ", " now ", 1))
		m.plant(compare.DescriptionEdited, l.Key, n.Key)
	}
	if at(15) && l.Value(listing.Condition) == listing.New {
		put(n, listing.Condition, listing.Used)
		m.plant(compare.ConditionEdited, l.Key, n.Key)
	}
	if at(15) && l.Has(listing.SerialNumber) {
		put(n, listing.SerialNumber, fmt.Sprintf("Z%09d", i))
		m.plant(compare.SerialChanged, l.Key, n.Key)
	}
	if at(30) && len(n.Photos) > 0 {
		n.Photos[0].Fingerprint, n.Photos[0].SHA256 = m.r.Uint64(), fmt.Sprintf("%064x", i)
		m.plant(compare.PhotosChanged, l.Key, n.Key)
	}
}

// found is what a comparison said, in the form of what was planted.
func found(res *compare.Result) map[planted]bool {
	got := map[planted]bool{}
	for i := range res.Changes {
		c := &res.Changes[i]
		p := planted{kind: c.Kind}
		if c.Old != nil {
			p.old = c.Old.Key
		}
		if c.New != nil {
			p.new = c.New.Key
		}
		if c.Kind == compare.AccountWithOld {
			p.old, p.new = c.OldValue, c.NewValue
		}
		got[p] = true
	}
	return got
}

// floors are the least recall and precision of each kind. The markets are
// invented by the same project, so that the figures say how the comparison does
// on this model, not on a real market.
var floors = []struct {
	kind              compare.Kind
	recall, precision float64
}{
	{compare.New, 0.92, 0.97}, {compare.Gone, 0.92, 0.97}, {compare.Relisted, 0.95, 0.90}, {compare.SerialMoved, 0.95, 0.95},
	{compare.AccountWithOld, 0.90, 0.90}, {compare.PriceMoved, 0.98, 0.95}, {compare.TitleEdited, 0.99, 0.90},
	{compare.DescriptionEdited, 0.99, 0.90}, {compare.ConditionEdited, 0.99, 0.95}, {compare.SerialChanged, 0.99, 0.90}, {compare.PhotosChanged, 0.99, 0.90},
}

// TestMeasureMarkets prints recall and precision of each kind over pairs of
// invented markets with planted changes, with ids and without.
func TestMeasureMarkets(t *testing.T) {
	for _, seed := range []uint64{11, 2026} {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			m := newMarket(t, 4000, seed)
			res, err := compare.Compare(m.before, m.after, compare.Options{Rules: rules.Options{AsOf: asOf}})
			require.NoError(t, err)
			got := found(res)
			var b strings.Builder
			w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', tabwriter.AlignRight)
			fmt.Fprintln(w, "kind\tplanted\tsaid\trecall\tprecision\t")
			for _, f := range floors {
				want, said, right := 0, 0, 0
				for p := range got {
					if p.kind == f.kind && !m.either[p] {
						said++
						if m.want[p] {
							right++
						}
					}
				}
				for p := range m.want {
					if p.kind == f.kind {
						want++
					}
				}
				require.Positive(t, want, f.kind)
				recall, precision := float64(right)/float64(want), float64(right)/float64(max(said, 1))
				fmt.Fprintf(w, "%s\t%d\t%d\t%.3f\t%.3f\t\n", f.kind, want, said, recall, precision)
				assert.GreaterOrEqual(t, recall, f.recall, "recall of %s", f.kind)
				assert.GreaterOrEqual(t, precision, f.precision, "precision of %s", f.kind)
			}
			w.Flush()
			t.Logf("unclear sets: %d\n%s", res.Kinds[compare.Unclear], b.String())
		})
	}
}

// Without ids or addresses the joining rests on what the listings show.
func TestMeasureWithoutIDs(t *testing.T) {
	before := generated(t, 4000, 5)
	truth := map[string]string{} // key after to key before
	var after []*listing.Listing
	for i, l := range before {
		n := copied(t, l)
		n.Remove(listing.ListingID)
		n.Key = fmt.Sprintf("after %d", i)
		truth[n.Key] = l.Key
		after = append(after, n)
		put(n, listing.Price, "77.00") // so that each joined listing is named
	}
	for _, l := range before {
		l.Remove(listing.ListingID)
	}
	res, err := compare.Compare(before, after, compare.Options{Rules: rules.Options{AsOf: asOf}})
	require.NoError(t, err)
	right, wrong := 0, 0
	for i := range res.Changes {
		if c := &res.Changes[i]; c.Kind == compare.PriceMoved {
			if truth[c.New.Key] == c.Old.Key {
				right++
			} else {
				wrong++
			}
		}
	}
	recall, precision := float64(right)/float64(len(before)), float64(right)/float64(max(right+wrong, 1))
	t.Logf("joined %d of %d rightly (%.3f), %d wrongly (precision %.3f), %d sets unclear", right, len(before), recall, wrong, precision, res.Kinds[compare.Unclear])
	assert.GreaterOrEqual(t, recall, 0.98)
	assert.GreaterOrEqual(t, precision, 0.99)
}

// The order of the inputs does not matter.
func TestOrderOfInputs(t *testing.T) {
	m := newMarket(t, 1500, 3)
	lines := func() string {
		res, err := compare.Compare(m.before, m.after, compare.Options{Rules: rules.Options{AsOf: asOf}})
		require.NoError(t, err)
		var b strings.Builder
		for _, p := range slices.SortedFunc(maps.Keys(found(res)), func(a, b planted) int {
			return cmp.Or(cmp.Compare(a.kind, b.kind), cmp.Compare(a.old, b.old), cmp.Compare(a.new, b.new))
		}) {
			if p.kind != compare.AccountWithOld && p.kind != compare.Unclear { // these name one pair of several
				fmt.Fprintln(&b, p)
			}
		}
		return b.String()
	}
	first := lines()
	m.r.Shuffle(len(m.before), func(i, j int) { m.before[i], m.before[j] = m.before[j], m.before[i] })
	m.r.Shuffle(len(m.after), func(i, j int) { m.after[i], m.after[j] = m.after[j], m.after[i] })
	assert.Equal(t, first, lines())
}

func BenchmarkCompare(b *testing.B) {
	for _, rows := range []int{10_000, 100_000} {
		b.Run(fmt.Sprint(rows), func(b *testing.B) {
			m := newMarket(b, rows, 7)
			b.ReportAllocs()
			b.ResetTimer()
			for b.Loop() {
				res, err := compare.Compare(m.before, m.after, compare.Options{Rules: rules.Options{AsOf: asOf}})
				require.NoError(b, err)
				b.ReportMetric(float64(len(res.Changes)), "changes")
			}
		})
	}
}
