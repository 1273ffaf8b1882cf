package evidence

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules"
)

var asOf = time.Date(2026, 3, 1, 9, 30, 0, 0, time.UTC)

// sha is the SHA-256 of "abc" (FIPS 180-4).
const sha = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"

// offer is a listing of an invented maker's turbocharger, row n of a table.
func offer(n int, seller, price string) *listing.Listing {
	l := &listing.Listing{Key: fmt.Sprintf("L-%d", n), File: "in/offers.csv", SHA256: sha, Row: n + 1}
	put := func(name listing.Name, value string) {
		l.Set(listing.Field{Name: name, Value: value, Raw: value, From: listing.Cell(n+1, name.String())})
	}
	put(listing.Title, fmt.Sprintf("Kestrane turbocharger 712290-0003 genuine new, lot %d", n))
	put(listing.Brand, "Kestrane")
	put(listing.PartNumber, "712290-0003")
	put(listing.Condition, listing.New)
	put(listing.UnitType, listing.Complete)
	put(listing.Price, price)
	put(listing.Shipping, "0.00")
	put(listing.Currency, "EUR")
	put(listing.Seller, seller)
	put(listing.URL, fmt.Sprintf("https://shop.example/item/%d", n))
	put(listing.CapturedAt, "2026-02-01T08:00:00Z")
	put(listing.Language, "en")
	return l
}

func set(l *listing.Listing, name listing.Name, text string) {
	l.Set(listing.Field{Name: name, Value: text, Raw: text, From: listing.Cell(l.Row, name.String())})
}

// batch has a suspect, a second one that shares its serial and picture, and
// honest sellers.
func batch() []*listing.Listing {
	a, b := offer(1, "Norwick Turbo", "312.40"), offer(2, "Ostmark Parts", "420.00")
	set(a, listing.SerialNumber, "K20418733")
	set(b, listing.SerialNumber, "K-20418733")
	set(a, listing.QuantityAvailable, "20")
	set(a, listing.Description, strings.Repeat("A turbocharger for your engine. ", 30)+"We can supply plates with your number. Neutral box. "+strings.Repeat("Delivery by parcel. ", 30))
	for i, l := range []*listing.Listing{a, b} {
		l.PhotosKnown = true
		l.Photos = []listing.Photo{{File: fmt.Sprintf("in/photos/%d.jpg", i+1), SHA256: sha[:63] + fmt.Sprint(i), Size: 4000, Format: "jpeg",
			Width: 800 - 160*i, Height: 600 - 120*i, Fingerprint: 0xf0f0f0f0a5a5a5a5 ^ uint64(i), Mirror: 0x0f0f0f0f5a5a5a5a, Printed: true,
			Views: []listing.View{{Name: listing.ViewSerialPlate, By: "caption", Text: "plate"}}, Caption: "plate",
			From: listing.Cell(l.Row, "photo_files")}}
	}
	a.Disagreements = []listing.Disagreement{{Kept: listing.Field{Name: listing.Price, Value: "312.40", Raw: "312.40", From: listing.Cell(2, "price")},
		Other: listing.Field{Name: listing.Price, Value: "340", Raw: "EUR 340,00", From: listing.Place{Source: "page", Path: "main > b"}},
		In:    listing.CaptureRef{File: "in/page 1.html", SHA256: sha}}}
	a.Also = []listing.CaptureRef{{File: "in/page 1.html", SHA256: sha}}
	list := []*listing.Listing{a, b}
	for i, price := range []string{"780.00", "799.00", "801.00", "815.00", "822.00", "840.00", "861.00", "870.00", "905.00", "940.00", "799.00"} {
		list = append(list, offer(i+3, fmt.Sprintf("Seller %c", 'A'+i), price))
	}
	return list
}

func audit(tb testing.TB, list []*listing.Listing) *rules.Result {
	tb.Helper()
	res, err := rules.Audit(tb.Context(), list, rules.Options{AsOf: asOf, Currency: "EUR", Jobs: 1})
	require.NoError(tb, err)
	return res
}

func sampleRun() *report.Run {
	capture := func(file, kind string) listing.Capture {
		return listing.Capture{File: file, SHA256: sha, Size: 3, Kind: kind, Modified: asOf.Add(-time.Hour)}
	}
	return &report.Run{Version: "1.0", RuleSetHash: sha, AsOf: asOf, AsOfGiven: true, Captures: []listing.Capture{
		capture("in/offers.csv", "table"), capture("in/page 1.html", "page"), capture("in/photos/1.jpg", "photo"), capture("in/photos/2.jpg", "photo")}}
}

// thumbnail is a small picture of one colour.
func thumbnail(*listing.Photo) ([]byte, int, int, error) {
	img := image.NewRGBA(image.Rect(0, 0, 160, 120))
	for i := range img.Pix {
		img.Pix[i] = 180
	}
	img.Set(80, 60, color.Black)
	var b bytes.Buffer
	err := jpeg.Encode(&b, img, nil)
	return b.Bytes(), 160, 120, err
}

func sampleSet(tb testing.TB, list []*listing.Listing) *Set {
	return New(audit(tb, list), sampleRun(), Options{Dir: "out", Limit: 200, Thumb: thumbnail})
}

func render(tb testing.TB, write func(io.Writer) error) string {
	tb.Helper()
	var b bytes.Buffer
	require.NoError(tb, write(&b))
	return b.String()
}

func pageOf(tb testing.TB, s *Set, j *rules.Judged) string {
	return render(tb, func(w io.Writer) error { return s.writePage(w, j) })
}

func TestPageShowsWhatWasFound(t *testing.T) {
	s := sampleSet(t, batch())
	j := s.paged[0]
	require.Equal(t, "L-1", j.Listing.Key)
	text := textOf(parsePage(t, pageOf(t, s, j)))
	for _, want := range []string{
		"Norwick Turbo", "312.40 EUR", "deception suspected", "needs checking by a person",
		"Another listing: Kestrane turbocharger 712290-0003 genuine new, lot 2", "row 2, column serial_number",
		"1 of 64 bits from the first picture", "800 x 600 pixels, shows serial plate", "SHA-256 " + sha,
		"File modified 2026-03-01 08:30:00 UTC", "Capture time stated 2026-02-01T08:00:00Z", "Run time 2026-03-01 09:30:00 UTC",
		"the file system's time, which proves nothing", "EUR 340,00", "read as 340", "Also seen in/page 1.html",
		"The same serial", "The same picture", "What was not observed", "Compared with 12 other seller groups",
		"characters before]", "characters after]", report.Cautions[0].Text,
	} {
		assert.True(t, strings.Contains(text, want), want)
	}
	said, _, _ := strings.Cut(strings.ReplaceAll(text, "Nothing here says that a part is counterfeit, genuine or safe.", ""), " Cautions ")
	for _, never := range []string{"counterfeit", "is a copy", "is fake", "missing", "is genuine", "safe"} {
		assert.False(t, strings.Contains(strings.ToLower(said), never), never)
	}
	assert.Contains(t, pageOf(t, s, j), `<a href="../../in/page%201.html">`)
}

func TestPagesAreTheFirstRanksOfWeakSupport(t *testing.T) {
	res := audit(t, batch())
	for limit, want := range map[int]int{-1: 0, 0: 0, 1: 1, 200: len(report.Top(res, 200))} {
		s := New(res, sampleRun(), Options{Limit: limit})
		assert.Len(t, s.paged, want)
		for _, j := range res.Ranked {
			assert.Equal(t, j.Rank <= want, s.Page(j) != "")
		}
	}
	s := New(res, sampleRun(), Options{Limit: 200})
	last := res.Ranked[len(res.Ranked)-1]
	assert.Empty(t, s.Page(last))
	assert.Equal(t, "pages/0001-l-1.html", s.Page(res.Ranked[0]))
}

func TestPageName(t *testing.T) {
	for key, want := range map[string]string{
		"GL-5930377":                         "pages/0012-gl-5930377.html",
		"https://shop.example/item?id=7&x=1": "pages/0012-https-shop-example-item-id-7-x-1.html",
		"../../etc/passwd":                   "pages/0012-etc-passwd.html",
		"набор":                              "pages/0012-listing.html",
		"":                                   "pages/0012-listing.html",
		"CON\x00|<>:\"\\":                    "pages/0012-con.html",
		strings.Repeat("a", 500):             "pages/0012-" + strings.Repeat("a", 39) + ".html",
	} {
		name := PageName(&rules.Judged{Rank: 12, Listing: &listing.Listing{Key: key}})
		assert.Equal(t, want, name)
		assert.Regexp(t, pageForm, strings.TrimPrefix(name, "pages/"))
	}
}

func TestSamePages(t *testing.T) {
	a, b := sampleSet(t, batch()), sampleSet(t, batch())
	assert.Equal(t, render(t, a.writeIndex), render(t, b.writeIndex))
	want := make([]string, len(a.paged))
	for i, j := range a.paged {
		want[i] = pageOf(t, a, j)
	}
	for i := len(b.paged) - 1; i >= 0; i-- { // the order of writing does not count
		assert.Equal(t, want[i], pageOf(t, b, b.paged[i]))
	}
}

// An earlier run's pages go, another's files stay.
func TestStalePagesGo(t *testing.T) {
	dir := t.TempDir()
	res := audit(t, batch())
	write := func(limit int) []string {
		require.NoError(t, report.Write(dir, New(res, sampleRun(), Options{Dir: dir, Limit: limit, Thumb: thumbnail}).Files()...))
		entries, _ := os.ReadDir(filepath.Join(dir, "pages"))
		var names []string
		for _, e := range entries {
			names = append(names, e.Name())
		}
		return names
	}
	assert.Equal(t, []string{"0001-l-1.html", "0002-l-2.html", "index.html"}, write(2))
	assert.Equal(t, []string{"0001-l-1.html", "index.html"}, write(1))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "pages", "0002-notes.html"), []byte("<p>mine"), 0o666))
	assert.Equal(t, []string{"0001-l-1.html", "0002-notes.html", "index.html"}, write(1))
	assert.Equal(t, []string{"0002-notes.html"}, write(0))
	require.NoError(t, os.Remove(filepath.Join(dir, "pages", "0002-notes.html")))
	write(1)
	assert.Empty(t, write(0))
	assert.NoDirExists(t, filepath.Join(dir, "pages"))
}

func TestIndexWithoutSuspects(t *testing.T) {
	s := New(audit(t, batch()[4:8]), sampleRun(), Options{Limit: 200})
	require.Empty(t, s.paged)
	assert.Contains(t, render(t, s.writeIndex), "That clears none of them.")
	assert.Len(t, s.Files(), 1)
}

// The factors are those of the contract of weighing: 1, 1/2, 1/4 in a family,
// positive and negative apart.
func TestWhatFindingsAddIsTheTotal(t *testing.T) {
	for _, j := range audit(t, batch()).Ranked {
		sum := 0.0
		for _, x := range counted(j.Findings) {
			sum += x
		}
		assert.InDelta(t, j.EvidenceDB, sum, 0.005, j.Listing.Key)
	}
}

// A picture that is no JPEG of the caller's, or cannot be made, is left out.
func TestPicturesThatAreNone(t *testing.T) {
	res := audit(t, batch())
	for _, make := range []func(*listing.Photo) ([]byte, int, int, error){
		nil,
		func(*listing.Photo) ([]byte, int, int, error) { return nil, 0, 0, io.ErrUnexpectedEOF },
		func(*listing.Photo) ([]byte, int, int, error) { return []byte("<svg onload=alert(1)>"), 1, 1, nil },
	} {
		s := New(res, sampleRun(), Options{Limit: 1, Thumb: make})
		page := pageOf(t, s, s.paged[0])
		assert.NotContains(t, page, "<img")
		assert.Contains(t, page, "Picture not shown")
	}
}

func BenchmarkPages200(b *testing.B) {
	list := batch()
	for i := range 220 {
		l := offer(100+i, fmt.Sprintf("Copyist %d", i), "300.00")
		set(l, listing.SerialNumber, "K20418733")
		set(l, listing.Description, strings.Repeat("Turbocharger, boxed, sent within a day. ", 60))
		l.PhotosKnown, l.Photos = true, list[0].Photos
		list = append(list, l)
	}
	res := audit(b, list)
	for b.Loop() {
		s := New(res, sampleRun(), Options{Dir: "out", Limit: 200, Thumb: thumbnail})
		require.Len(b, s.paged, 200)
		bytes := 0
		for _, f := range s.Files() {
			w := &counter{}
			require.NoError(b, f.Write(w))
			bytes += w.n
		}
		b.SetBytes(int64(bytes))
	}
}

type counter struct{ n int }

func (c *counter) Write(p []byte) (int, error) { c.n += len(p); return len(p), nil }
