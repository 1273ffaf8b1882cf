package rules

import (
	"cmp"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/fixtures"
	"counterfoil/parse/listing"
	"counterfoil/rules/serials"
)

// plainHistory answers from the rows of a fixture by going through all of them.
// It keeps every sighting as a state of its own.
type plainHistory struct {
	ids     map[string]int64
	runs    []EarlierRun
	earlier []Earlier
	cases   []Case
}

// historyOf builds each run of a fixture as a batch; nil without a history.
func historyOf(t *testing.T, f *fixtures.Rule) History {
	if len(f.History) == 0 {
		return nil
	}
	h := &plainHistory{ids: map[string]int64{}}
	days := map[time.Time][]*fixtures.Earlier{}
	for i := range f.History {
		e := &f.History[i]
		if e.Value(listing.ListingID) == "" && e.Case != nil {
			h.cases = append(h.cases, Case{Serial: serials.Canonical(e.Value(listing.SerialNumber)),
				Word: e.Case.Word, Date: e.Case.Date, Basis: e.Case.Basis})
			continue
		}
		days[e.Run] = append(days[e.Run], e)
	}
	for run, rows := range days {
		var batch []*listing.Listing
		for _, e := range rows {
			batch = append(batch, e.Listing)
		}
		facts, err := Build(batch, Options{AsOf: run, Makers: f.Makers, Equivalents: f.Equivalents})
		require.NoError(t, err)
		var markets []string
		for i, trace := range Remember(facts) {
			markets = append(markets, trace.Market)
			if h.ids[trace.Key] == 0 {
				h.ids[trace.Key] = int64(len(h.ids) + 1)
			}
			h.earlier = append(h.earlier, Earlier{Trace: trace, ID: h.ids[trace.Key], First: run, Last: run, LastRun: run, Runs: 1, Capture: batch[i].Ref()})
			if c := rows[i].Case; c != nil {
				h.cases = append(h.cases, Case{Listing: trace.Key, Word: c.Word, Date: c.Date, Basis: c.Basis})
			}
		}
		slices.Sort(markets)
		h.runs = append(h.runs, EarlierRun{At: run, Markets: slices.Compact(markets)})
	}
	slices.SortFunc(h.cases, func(a, b Case) int {
		return cmp.Or(cmp.Compare(a.Listing, b.Listing), cmp.Compare(a.Serial, b.Serial), cmp.Compare(a.Word, b.Word))
	})
	slices.SortFunc(h.runs, func(a, b EarlierRun) int { return a.At.Compare(b.At) })
	slices.SortFunc(h.earlier, func(a, b Earlier) int { return cmp.Or(cmp.Compare(a.Key, b.Key), a.First.Compare(b.First)) })
	return h
}

func (h *plainHistory) Recall(q *Question) (*Memory, error) {
	m := &Memory{IDs: h.ids}
	for _, r := range h.runs {
		if !r.At.After(q.Until) {
			m.Runs = append(m.Runs, r)
		}
	}
	for _, e := range h.earlier {
		if e.LastRun.After(q.Until) {
			continue
		}
		m.Earlier = append(m.Earlier, e)
		m.Known = append(m.Known, e.Marks...)
	}
	slices.Sort(m.Known)
	for _, c := range h.cases {
		if !c.Date.After(q.Until) {
			m.Cases = append(m.Cases, c)
		}
	}
	return m, nil
}

func (h *plainHistory) Looks(q *Question, market, part string) (list []Look, err error) {
	for _, r := range h.runs {
		look := Look{Run: r.At}
		for _, e := range h.earlier {
			if e.Market == market && e.Part == part && e.LastRun.Equal(r.At) && !r.At.After(q.Until) {
				look.Listings = append(look.Listings, e.ID)
			}
		}
		if look.Listings != nil {
			slices.Sort(look.Listings)
			list = append(list, look)
		}
	}
	return list, nil
}

func TestStockWording(t *testing.T) {
	for _, c := range []struct {
		text, last string
		sold       int
	}{
		{"Last one! 12 sold", "Last one", 12},
		{"Letztes Stück, 7 verkauft.", "Letztes Stück", 7},
		{"nur noch 1 verfügbar", "nur noch 1", NotStated},
		{"nur noch 12 verfügbar", "", NotStated},
		{"Plus qu'un ! 3 vendus", "Plus qu'un", 3},
		{"Última unidad, vendidos: 41", "Última unidad", 41},
		{"ostatnia sztuka, sprzedano: 5", "ostatnia sztuka", 5},
		{"последняя штука, продано: 8", "последняя штука", 8},
		{"最后一件 已售 23", "最后一件", 23},
		{"sold as is, the last of its kind", "", NotStated},
		{"712345 soldered joints", "", NotStated},
	} {
		l := &listing.Listing{}
		l.Set(listing.Field{Name: listing.Title, Value: c.text, Raw: c.text})
		last, sold := stockWording(l)
		assert.Equal(t, c.last, last, c.text)
		assert.Equal(t, c.sold, sold, c.text)
	}
}

const plainText = "This turbocharger was taken from a running vehicle with ninety thousand kilometres on the clock, the shaft turns freely and shows no play, the actuator moves as it should and all ports are capped for the journey."

func TestTextMark(t *testing.T) {
	assert.True(t, MarkText("a short text").IsZero())
	a := MarkText(plainText)
	require.False(t, a.IsZero())
	assert.Equal(t, a, MarkText("THIS  turbocharger was taken from a running vehicle with ninety thousand kilometres on the clock; the shaft turns freely and shows no play, the actuator moves as it should and all ports are capped for the journey"))
	assert.Equal(t, MarkText(plainText+" Serial AB12345"), MarkText(plainText+" Serial XY99 871"), "numbers apart")
	assert.Equal(t, 1.0, a.Likeness(a))

	// Of n word triples, one added word at the end leaves n of n+1 in common.
	assert.Greater(t, a.Likeness(MarkText(plainText+" Really")), 0.7)
	other := MarkText("Genuine unit in the sealed box of its maker, never fitted and never opened, from the stock of a workshop that closed last spring; invoice and warranty card are with it and the seal can be seen on the last picture.")
	assert.Less(t, a.Likeness(other), 0.3)
}
