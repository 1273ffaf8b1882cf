package history

import (
	"bytes"
	"cmp"
	"context"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/fixtures"
	"counterfoil/parse/listing"
	"counterfoil/rules"
	"counterfoil/rules/serials"
)

var testOptions = Options{PhotoVersion: "test-1", Started: time.Date(2026, 11, 25, 8, 0, 0, 0, time.UTC)}

func write(t testing.TB, file string) *Book {
	b, err := Write(context.Background(), file, testOptions)
	require.NoError(t, err)
	t.Cleanup(func() { b.Close() })
	return b
}

// audit runs the rules over a batch with the casebook, and records it.
func audit(t testing.TB, file string, batch []*listing.Listing, opt rules.Options) *rules.Result {
	b := write(t, file)
	opt.History = b
	res, err := rules.Audit(context.Background(), batch, opt)
	require.NoError(t, err)
	require.NoError(t, b.Record(&Run{Tool: "test", Rules: "r", Captures: capturesOf(batch)}, res))
	require.NoError(t, b.Close())
	return res
}

func capturesOf(batch []*listing.Listing) (list []listing.Capture) {
	at := map[string]int{}
	for _, l := range batch {
		n, ok := at[l.SHA256]
		if !ok {
			n = len(list)
			at[l.SHA256] = n
			list = append(list, listing.Capture{File: l.File, SHA256: l.SHA256, Kind: "table", Size: 1})
		}
		list[n].Listings++
	}
	return list
}

func dump(t testing.TB, file string) string {
	b, err := Read(context.Background(), file, testOptions)
	require.NoError(t, err)
	defer b.Close()
	var out bytes.Buffer
	require.NoError(t, b.Export(&out))
	return out.String()
}

// timeRules are those with a history among their fixtures.
func timeRules(t *testing.T) (list []*rules.Rule) {
	for _, r := range rules.All {
		f, err := fixtures.ReadRule(r.ID)
		require.NoError(t, err)
		if len(f.History) > 0 {
			list = append(list, r)
		}
	}
	require.NotEmpty(t, list)
	return list
}

// recordFixture records the runs of a fixture, in the given order, and its
// outcomes.
func recordFixture(t testing.TB, file string, f *fixtures.Rule, backwards bool) {
	var days []time.Time
	runs := map[time.Time][]*listing.Listing{}
	var cases []rules.Case
	for _, e := range f.History {
		if e.Value(listing.ListingID) == "" && e.Case != nil {
			cases = append(cases, rules.Case{Serial: serials.Canonical(e.Value(listing.SerialNumber)), Word: e.Case.Word, Date: e.Case.Date, Basis: e.Case.Basis})
			continue
		}
		if runs[e.Run] == nil {
			days = append(days, e.Run)
		}
		runs[e.Run] = append(runs[e.Run], e.Listing)
		if e.Case != nil {
			cases = append(cases, rules.Case{Listing: rules.Remember(facts(t, e.Listing))[0].Key, Word: e.Case.Word, Date: e.Case.Date, Basis: e.Case.Basis})
		}
	}
	slices.SortFunc(days, func(a, b time.Time) int { return a.Compare(b) })
	if backwards {
		slices.Reverse(days)
	}
	for _, day := range days {
		batch := runs[day]
		for _, l := range batch {
			shaOfPhotos(l)
		}
		audit(t, file, batch, rules.Options{AsOf: day, Makers: f.Makers, Equivalents: f.Equivalents})
	}
	b := write(t, file)
	require.NoError(t, b.Settle(cases))
	require.NoError(t, b.Close())
}

func facts(t testing.TB, l *listing.Listing) *rules.Facts {
	f, err := rules.Build([]*listing.Listing{l}, rules.Options{})
	require.NoError(t, err)
	return f
}

// shaOfPhotos makes the short names of fixtures into hashes.
func shaOfPhotos(l *listing.Listing) {
	for i := range l.Photos {
		if s := l.Photos[i].SHA256; s != "" && len(s) < 64 {
			l.Photos[i].SHA256 = fmt.Sprintf("%064x", s)
		}
	}
}

// The database answers as the rules' own tests do by going through all rows: two
// implementations of one interface, and either order of recording.
func TestRulesFromACasebook(t *testing.T) {
	strength := regexp.MustCompile(`^@([\d.]+) (.*)$`)
	for _, r := range timeRules(t) {
		for _, backwards := range []bool{false, true} {
			f, err := fixtures.ReadRule(r.ID)
			require.NoError(t, err)
			file := filepath.Join(t.TempDir(), "casebook")
			recordFixture(t, file, f, backwards)
			for _, l := range f.Listings {
				shaOfPhotos(l)
			}
			b := write(t, file)
			res, err := rules.Audit(context.Background(), f.Listings, rules.Options{AsOf: time.Date(2026, 9, 30, 0, 0, 0, 0, time.UTC),
				Currency: "EUR", Makers: f.Makers, Equivalents: f.Equivalents, History: b})
			require.NoError(t, err)
			require.NoError(t, b.Close())
			for _, j := range res.Ranked {
				want, got := f.Want[j.N], ""
				for i := range j.Findings {
					if j.Findings[i].Rule.ID == r.ID {
						got = fmt.Sprintf("@%g %s", j.Findings[i].Strength, j.Findings[i].Statement)
					}
				}
				for _, g := range j.Gaps {
					if res.Rules[g.Rule].ID == r.ID {
						got = "not assessed: " + g.Need.String()
					}
				}
				if want == "" {
					assert.Empty(t, got, "%s: %s", r.ID, j.Listing.Key)
					continue
				}
				if m := strength.FindStringSubmatch(want); m != nil {
					want = "^@" + regexp.QuoteMeta(m[1]) + " .*" + m[2]
				}
				want = strings.Replace(want, "not assessed: ", "^not assessed: .*", 1)
				assert.Regexp(t, want, got, "%s: %s", r.ID, j.Listing.Key)
			}
		}
	}
}

// In whatever order runs are recorded, the casebook holds the same.
func TestOrderOfRecordingDoesNotMatter(t *testing.T) {
	for _, id := range []string{"relisted-after-removal", "last-one-never-sells", "photo-confirmed-copy"} {
		var first string
		for _, backwards := range []bool{false, true} {
			f, err := fixtures.ReadRule(id)
			require.NoError(t, err)
			file := filepath.Join(t.TempDir(), "casebook")
			recordFixture(t, file, f, backwards)
			// What a run found depends on the runs before it.
			got := regexp.MustCompile(`,"findings_db":\{[^}]*\}`).ReplaceAllString(dump(t, file), "")
			if first == "" {
				first = got
			}
			assert.Equal(t, first, got)
		}
	}
}

func offer(id, seller, price string, more ...string) *listing.Listing {
	l := &listing.Listing{Key: id, File: "offers.csv", Row: 2}
	fields := append([]string{"listing_id", id, "url", "https://moor.example/" + id, "seller", seller, "title", "Halden turbocharger " + id,
		"part_number", "712345-0012", "price", price, "currency", "EUR", "condition", "new"}, more...)
	for i := 0; i < len(fields); i += 2 {
		l.Set(listing.Field{Name: listing.NameOf(fields[i]), Value: fields[i+1], Raw: fields[i+1], From: listing.Cell(2, fields[i])})
	}
	return l
}

// captured puts listings into a file of their own.
func captured(name string, list ...*listing.Listing) []*listing.Listing {
	for i, l := range list {
		l.File, l.Row, l.SHA256 = name, i+2, fmt.Sprintf("%064x", name)[:64]
	}
	return list
}

func day(s string) time.Time {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		panic(err)
	}
	return t
}

func TestRecordingTwiceAddsNothing(t *testing.T) {
	file := filepath.Join(t.TempDir(), "casebook")
	batch := func() []*listing.Listing {
		return captured("a.csv", offer("a1", "Alfa", "900.00", "serial_number", "AB47315"), offer("a2", "Beta", "910.00"))
	}
	first := audit(t, file, batch(), rules.Options{AsOf: day("2026-09-01")})
	before := dump(t, file)
	// Later, and as part of a larger input.
	again := audit(t, file, batch(), rules.Options{AsOf: day("2026-09-20")})
	assert.Equal(t, before, dump(t, file))
	for i := range first.Ranked {
		assert.Equal(t, first.Ranked[i].Gaps, again.Ranked[i].Gaps, "a repeated audit does not meet itself")
	}
	audit(t, file, append(batch(), captured("b.csv", offer("b1", "Gamma", "920.00"))...), rules.Options{AsOf: day("2026-09-21")})
	b, err := Read(context.Background(), file, testOptions)
	require.NoError(t, err)
	defer b.Close()
	runs, err := b.Runs()
	require.NoError(t, err)
	require.Len(t, runs, 2)
	assert.Equal(t, []int{1, 1, 2}, []int{runs[0].Captures, runs[0].New, runs[0].Listings})
	assert.Equal(t, []int{2, 1, 1}, []int{runs[1].Captures, runs[1].New, runs[1].Listings})
}

func TestOnlyChangesAreKept(t *testing.T) {
	file := filepath.Join(t.TempDir(), "casebook")
	for i, price := range []string{"900.00", "900.00", "850.00", "900.00"} {
		audit(t, file, captured(fmt.Sprint(i, ".csv"), offer("a1", "Alfa", price, "seller_feedback_count", fmt.Sprint(100+i))),
			rules.Options{AsOf: day("2026-09-01").AddDate(0, 0, 7*i)})
	}
	text := dump(t, file)
	assert.Equal(t, 2, strings.Count(text, `{"record":"state"`))
	assert.Equal(t, 4, strings.Count(text, `{"record":"sighting"`))
	for line := range strings.Lines(text) {
		assert.True(t, json.Valid([]byte(line)), line)
	}
}

// A description is not kept, nor a contact.
func TestWhatIsNotKept(t *testing.T) {
	file := filepath.Join(t.TempDir(), "casebook")
	audit(t, file, captured("a.csv", offer("a1", "Alfa", "900.00", "contact", "+49 30 7654321", "description",
		"A peculiar description of twenty words and more that nobody would write twice about a unit which was never fitted to any engine in its life")),
		rules.Options{AsOf: day("2026-09-01")})
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	for _, text := range []string{"peculiar", "7654321", "nobody would"} {
		assert.NotContains(t, string(data), text)
	}
	assert.Contains(t, string(data), "contact ")
}

func TestForgetting(t *testing.T) {
	const secret = "Quillfeather Turbos"
	// A fingerprint as the photo's row and as the packed chunk hold it, and a hash.
	const print, tnirp, photoSum = "xyZzy-7!", "!7-yzZyx", "hash-of-a-picture-of-32-bytes-!!"
	setup := func(t *testing.T) string {
		file := filepath.Join(t.TempDir(), "casebook")
		shown := offer("zq1", secret, "900.00", "serial_number", "QF47315", "contact", "shop@quillfeather.example")
		shown.Photos, shown.PhotosKnown = []listing.Photo{{File: "p.jpg", SHA256: hex.EncodeToString([]byte(photoSum)), Fingerprint: binary.BigEndian.Uint64([]byte(print)), Printed: true}}, true
		audit(t, file, captured("quillfeather.csv", shown), rules.Options{AsOf: day("2026-09-01")})
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		for _, text := range []string{print, tnirp, photoSum} {
			require.Contains(t, string(data), text, "a search of the bytes finds it")
		}
		audit(t, file, captured("b.csv", offer("b1", "Beta", "920.00", "serial_number", "BB47315"), offer("zq1", secret, "700.00")), rules.Options{AsOf: day("2026-09-08")})
		b := write(t, file)
		require.NoError(t, b.Settle([]rules.Case{{Listing: "moor.example/zq1", Word: rules.ConfirmedCopy, Date: day("2026-09-02"), Basis: "quillfeather bought"}}))
		require.NoError(t, b.Close())
		return file
	}
	gone := func(t *testing.T, file string, texts ...string) {
		names, err := filepath.Glob(file + "*")
		require.NoError(t, err)
		for _, name := range names {
			data, err := os.ReadFile(name)
			require.NoError(t, err)
			for _, text := range texts {
				assert.False(t, bytes.Contains(data, []byte(text)), "%q is in %s", text, name)
				assert.False(t, bytes.Contains(bytes.ToLower(data), bytes.ToLower([]byte(text))), "%q is in %s", text, name)
			}
		}
	}
	t.Run("seller", func(t *testing.T) {
		file := setup(t)
		mark := regexp.MustCompile(`"(contact [0-9a-f]+)"`).FindStringSubmatch(dump(t, file))
		require.NotNil(t, mark)
		b := write(t, file)
		keys, err := b.ForgetSeller("QUILLFEATHER turbos")
		require.NoError(t, err)
		assert.Len(t, keys, 1)
		require.NoError(t, b.Close())
		gone(t, file, "quillfeather", "zq1", "QF47315", mark[1], print, tnirp, photoSum)
		assert.Contains(t, dump(t, file), "BB47315", "others stay")
		b = write(t, file)
		keys, err = b.ForgetSeller("nobody")
		require.NoError(t, err)
		assert.Empty(t, keys)
	})
	t.Run("run", func(t *testing.T) {
		file := setup(t)
		b := write(t, file)
		runs, err := b.Runs()
		require.NoError(t, err)
		for mark, meant := range map[string]int{"*": 0, "": 0, "zz": 0} {
			n, err := b.ForgetRun(mark)
			require.NoError(t, err)
			assert.Equal(t, meant, n)
		}
		n, err := b.ForgetRun(runs[0].Mark[:12])
		require.NoError(t, err)
		assert.Equal(t, 1, n)
		require.NoError(t, b.Close())
		sum, err := hex.DecodeString(runs[0].Mark)
		require.NoError(t, err)
		gone(t, file, "quillfeather.csv", "QF47315", string(sum), print, tnirp, photoSum)
		assert.Contains(t, dump(t, file), "zq1", "the other run saw it")
	})
	t.Run("before", func(t *testing.T) {
		file := setup(t)
		b := write(t, file)
		n, err := b.ForgetBefore(day("2026-09-08"))
		require.NoError(t, err)
		assert.Equal(t, 1, n)
		require.NoError(t, b.Close())
		gone(t, file, "quillfeather.csv", "QF47315", "quillfeather bought", print, tnirp, photoSum)
		assert.Contains(t, dump(t, file), "BB47315")
	})
	t.Run("all", func(t *testing.T) {
		file := setup(t)
		b := write(t, file)
		_, err := b.ForgetBefore(day("2027-01-01"))
		require.NoError(t, err)
		require.NoError(t, b.Close())
		gone(t, file, "quillfeather", "BB47315", "Halden", "712345", "moor.example")
		assert.Empty(t, dump(t, file))
	})
}

func TestSerialLookUp(t *testing.T) {
	file := filepath.Join(t.TempDir(), "casebook")
	audit(t, file, captured("a.csv", offer("a1", "Alfa", "900.00", "serial_number", "AB47310"), offer("a2", "Beta", "910.00", "plate_serial", "ab-4731O"),
		offer("a3", "Beta", "910.00", "serial_number", "AB47311")), rules.Options{AsOf: day("2026-09-01")})
	audit(t, file, captured("b.csv", offer("a1", "Alfa", "900.00", "serial_number", "AB47310")), rules.Options{AsOf: day("2026-09-08")})
	b, err := Read(context.Background(), file, testOptions)
	require.NoError(t, err)
	defer b.Close()
	list, err := b.Serial("S/N: AB 47310")
	require.NoError(t, err)
	require.Len(t, list, 2)
	assert.Equal(t, []any{"AB47310", false, "Alfa", day("2026-09-01"), day("2026-09-08"), 2, "serial_number"},
		[]any{list[0].Serial, list[0].Near, list[0].Seller, list[0].First, list[0].Last, list[0].Sightings, list[0].Field})
	assert.Equal(t, []any{"AB4731O", true, "Beta", "plate_serial"}, []any{list[1].Serial, list[1].Near, list[1].Seller, list[1].Field})
}

func TestFindListing(t *testing.T) {
	file := filepath.Join(t.TempDir(), "casebook")
	bare := offer("7001", "Alfa", "900.00")
	bare.Remove(listing.URL)
	audit(t, file, captured("a.csv", offer("a1", "Alfa", "900.00"), bare), rules.Options{AsOf: day("2026-09-01")})
	b, err := Read(context.Background(), file, testOptions)
	require.NoError(t, err)
	defer b.Close()
	for text, want := range map[string]string{"a1": "moor.example/a1", "https://www.moor.example/a1": "moor.example/a1", "7001": "-/7001@-/~alfa", "1": "", "": ""} {
		keys, err := b.FindListing(text)
		require.NoError(t, err)
		assert.Equal(t, want, cmp.Or(strings.Join(keys, " "), ""), text)
	}
}
