package pack

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/report/internal/sample"
	"counterfoil/rules"
)

// Every capture of the sample has the three bytes 'abc' (FIPS 180-4).
const abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"

func openABC(string) (io.ReadCloser, error) { return io.NopCloser(strings.NewReader("abc")), nil }

func sampled(t *testing.T) (*rules.Result, *report.Run) {
	t.Helper()
	run := sample.Run()
	run.Captures = append(run.Captures, listing.Capture{File: "in/photos/1.jpg", SHA256: abc, Size: 3, Kind: "photo"})
	return sample.Result(sample.Offers()), run
}

// content reads a file of a package and checks that it is what it says.
func content(t *testing.T, c *Contents, path string) string {
	t.Helper()
	for _, f := range c.Files {
		if f.Path == path {
			r, err := f.Open()
			require.NoError(t, err)
			data, err := io.ReadAll(r)
			require.NoError(t, err)
			require.NoError(t, r.Close())
			sum := sha256.Sum256(data)
			assert.Equal(t, f.SHA256, hex.EncodeToString(sum[:]), path)
			assert.EqualValues(t, f.Size, len(data), path)
			return string(data)
		}
	}
	t.Fatalf("no file %s", path)
	return ""
}

func paths(c *Contents) (list []string) {
	for _, f := range c.Files {
		list = append(list, f.Path)
	}
	return list
}

func table(t *testing.T, text string) (rows []map[string]string) {
	t.Helper()
	text, ok := strings.CutPrefix(text, "\ufeff")
	require.True(t, ok, "no byte order mark")
	all, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	require.NoError(t, err)
	for _, row := range all[1:] {
		m := map[string]string{}
		for i, cell := range row {
			m[all[0][i]] = cell
		}
		rows = append(rows, m)
	}
	return rows
}

func TestContents(t *testing.T) {
	res, run := sampled(t)
	p := New(res, Options{Run: run, Open: openABC, Page: func(j *rules.Judged, way func(string) string) ([]byte, error) {
		return []byte("<p>" + j.Listing.Key + " " + way(j.Listing.File) + way("in/none.html")), nil
	}})
	c, err := p.Contents(res.Ranked[0])
	require.NoError(t, err)

	assert.Equal(t, []string{"captures/offers.csv", "findings.json", "evidence.html", "run.json", "method.txt", "notice-form.txt",
		"chain-of-custody.csv", "exhibits.csv"}, paths(c), "the photo has the bytes of the table, and each content is held once")
	for _, path := range paths(c) {
		content(t, c, path)
	}
	assert.Equal(t, "abc", content(t, c, "captures/offers.csv"))
	assert.Equal(t, "<p>L1 captures/offers.csv", content(t, c, "evidence.html"))

	rows := table(t, content(t, c, "exhibits.csv"))
	require.Len(t, rows, 8)
	assert.Equal(t, map[string]string{"exhibit": "E-001", "file_in_package": "data/captures/offers.csv", "sha256": abc, "bytes": "3", "kind": "table",
		"shows":        "the listing as captured, row 2; quoted by serial-reuse: row 2, column serial_number; quoted by serial-reuse: row 3, column serial_number; quoted by price-low-outlier: row 2, column price",
		"file_as_read": "in/offers.csv", "entry": "", "file_modified_utc_by_file_system": "2026-03-01T08:30:00Z",
		"capture_time_as_stated": "2026-02-01T08:00:00Z", "run_time_utc": "2026-03-01T09:30:00Z", "note": ""}, rows[0])
	assert.Equal(t, "in/photos/1.jpg", rows[1]["file_as_read"])
	assert.Equal(t, "data/captures/offers.csv", rows[1]["file_in_package"])
	assert.Equal(t, "D-01", rows[2]["exhibit"])

	custody := table(t, content(t, c, "chain-of-custody.csv"))
	assert.Len(t, custody, 13)
	assert.Equal(t, "counterfoil 1.0, run by (name):", custody[0]["who_receives"])
	assert.Empty(t, custody[1]["what"])
	assert.Equal(t, Field{"External-Identifier", "L1"}, c.Info[2])
	assert.Equal(t, Field{"Bagging-Date", "2026-03-01"}, c.Info[1])
}

// findings.json is in the canonical form and holds the very line of
// suspects.ndjson.
func TestFindingsFile(t *testing.T) {
	res, run := sampled(t)
	c, err := New(res, Options{Run: run, Open: openABC}).Contents(res.Ranked[0])
	require.NoError(t, err)
	text := content(t, c, "findings.json")
	again, err := Canonical([]byte(text))
	require.NoError(t, err)
	assert.Equal(t, string(again), text)

	var f struct {
		Assessment json.RawMessage
		Listing    json.RawMessage
		Rules      []struct{ Rule, Innocent string }
	}
	require.NoError(t, json.Unmarshal([]byte(text), &f))
	var suspects bytes.Buffer
	require.NoError(t, report.WriteSuspects(&suspects, run, res))
	first, _, _ := strings.Cut(suspects.String(), "\n")
	assert.JSONEq(t, first, string(f.Assessment))
	read, err := listing.FromLine(f.Listing)
	require.NoError(t, err)
	assert.Equal(t, res.Ranked[0].Listing, read)
	assert.Len(t, f.Rules, 2)
	assert.Equal(t, "A stolen picture; its owner is listed too.", f.Rules[0].Innocent)
}

// The form holds the fields of a notice; what only a person can state is blank,
// and the price is not offered as a ground.
func TestNoticeForm(t *testing.T) {
	res, run := sampled(t)
	p := New(res, Options{Run: run, Open: openABC})
	c, err := p.Contents(res.Ranked[0])
	require.NoError(t, err)
	text := content(t, c, "notice-form.txt")
	for _, want := range []string{
		"Art. 16(2)", "No legal conclusion is drawn here; counsel completes and signs.",
		"Exact address (URL)  https://shop.example/item/1\n", "Displayed name       Norwick Turbo\n", "Captured (UTC)       2026-02-01T08:00:00Z ",
		"Price                312.40 EUR\n", "Seller id            (not observed) ___",
		"[ ] The serial K20418733 also stands at Ostmark Parts.\n      seen: “K20418733”, E-001, row 2, column serial_number\n",
		"innocent explanation: A stolen picture; its owner is listed too.",
		"Territory            ____", "Authority (power of attorney, date)  ____", "[ ] confirmed        (left blank by the tool)",
		"E-001  the listing as captured, row 2\n       data/captures/offers.csv\n       SHA-256 " + abc,
	} {
		assert.Contains(t, text, want)
	}
	assert.NotContains(t, text, "of the median")

	only := *res.Ranked[0]
	only.Findings = only.Findings[1:]
	c, err = p.Contents(&only)
	require.NoError(t, err)
	assert.Contains(t, content(t, c, "notice-form.txt"), "A price alone is never a ground for a notice.")
}

func TestMethod(t *testing.T) {
	res, run := sampled(t)
	c, err := New(res, Options{Run: run, Open: openABC}).Contents(res.Ranked[0])
	require.NoError(t, err)
	text := content(t, c, "method.txt")
	for _, want := range []string{"22.0 dB (moderately strong)", "2 of 3 (coverage 67 %)", "makers: makers.yaml, SHA-256 " + abc,
		"Capture time    2026-02-01T08:00:00Z", "File modified   2026-03-01T08:30:00Z", "no verdict", "Bayes' theorem", "ISO/IEC 27037:2012", "without a claim to comply"} {
		assert.Contains(t, text, want)
	}
	for _, l := range strings.Split(text[:strings.Index(text, "8. Cautions")], "\n") {
		if !strings.Contains(l, "SHA-256") {
			assert.LessOrEqual(t, len(l), 90, l)
		}
	}
}

// What is not among the inputs is listed by its hash and named.
func TestCaptureThatIsNoInput(t *testing.T) {
	res, run := sampled(t)
	run.Captures = []listing.Capture{{File: "in/earlier.ndjson", SHA256: abc, Size: 3, Kind: "extract", Listings: 7}}
	c, err := New(res, Options{Run: run, Open: openABC}).Contents(res.Ranked[0])
	require.NoError(t, err)
	assert.Equal(t, "captures/earlier.ndjson", paths(c)[0])
	assert.Contains(t, c.Notes, "in/offers.csv: not among the inputs of this run; known by its hash only")
	assert.Contains(t, content(t, c, "method.txt"), "  - in/offers.csv: not among the inputs")
}

// A photo inside an archive or page is taken out of it; one that cannot be, or
// that has changed, is named.
func TestPhotosInsideAContainer(t *testing.T) {
	res, run := sampled(t)
	sum := sha256.Sum256([]byte("photo"))
	l := res.Ranked[0].Listing
	l.Photos = []listing.Photo{
		{File: "in/offers.csv", Entry: "sub/..%2f..%2f\nevil", SHA256: hex.EncodeToString(sum[:]), Size: 5, Format: "jpeg"},
		{File: "in/offers.csv", Entry: "changed.png", SHA256: abc, Size: 3},
		{File: "in/offers.csv", Entry: "gone.png", SHA256: abc, Size: 3},
	}
	c, err := New(res, Options{Run: run, Open: openABC, Photo: func(p *listing.Photo) ([]byte, error) {
		if p.Entry == "gone.png" {
			return nil, errors.New("no such entry")
		}
		return []byte("photo"), nil
	}}).Contents(res.Ranked[0])
	require.NoError(t, err)
	assert.Equal(t, "photo", content(t, c, "photos/E-002-.._2f.._2f_evil.jpeg"))
	assert.Equal(t, []string{"in/offers.csv: photo changed.png was not taken out of it: its bytes have changed since it was read",
		"in/offers.csv: photo gone.png was not taken out of it: no such entry"}, c.Notes)
}

func audited(t *testing.T, listings ...*listing.Listing) *rules.Result {
	t.Helper()
	res, err := rules.Audit(context.Background(), listings, rules.Options{AsOf: sample.AsOf, Currency: "EUR"})
	require.NoError(t, err)
	return res
}

// Contacts are masked wherever they stand in the copy; captures are left out.
// The numbers are the ones that Ofcom keeps for drama, the IBAN is the example
// of ISO 13616.
func TestMaskedCopy(t *testing.T) {
	l := &listing.Listing{Key: "A-1", File: "in/offers.csv", SHA256: abc, Row: 2}
	set := func(n listing.Name, text string) { l.Set(listing.Field{Name: n, Value: text, Raw: text}) }
	set(listing.Title, "Halden turbocharger, call +44 7700 900158")
	set(listing.Seller, "Alfa Turbo")
	set(listing.Contact, "07700 900627")
	set(listing.Price, "90.00")
	set(listing.Currency, "EUR")
	set(listing.ShipsFrom, "GB")
	set(listing.Description, strings.Repeat("As described before. ", 400)+
		"Write to anna.b@alfa.example or 07700 900627. IBAN GB82 WEST 1234 5698 7654 32. Part 712345-0012. "+
		"VAT no. DE136695976, bank transfer only, message me on +44 7700 900158. In short 07700900627 or 0044 (7700) 90-06-27.")
	res := audited(t, l)
	_, run := sampled(t)
	p := New(res, Options{Run: run, Open: openABC})
	original, err := p.Contents(res.Ranked[0])
	require.NoError(t, err)
	require.Contains(t, content(t, original, "findings.json"), "900158")
	c, err := p.Masked(res.Ranked[0], "5ea1")
	require.NoError(t, err)
	assert.Equal(t, []string{"findings.json", "run.json", "method.txt", "notice-form.txt", "chain-of-custody.csv", "exhibits.csv"}, paths(c))
	for _, path := range paths(c) {
		text := content(t, c, path)
		for _, secret := range []string{"900158", "900 158", "900627", "90-06-27", "anna.b", "5698", "7654 32", "136695976"} {
			assert.NotContains(t, text, secret, path)
		}
	}
	text := content(t, c, "findings.json")
	assert.Contains(t, text, "712345-0012")
	assert.Contains(t, text, "a•••••@alfa.example")
	assert.Contains(t, text, "Alfa Turbo")
	_, err = Canonical([]byte(text))
	assert.NoError(t, err)
	assert.Contains(t, c.Info, Field{"Counterfoil-Original-Seal-SHA256", "5ea1"})
	assert.Contains(t, content(t, c, "exhibits.csv"), abc)
	assert.Contains(t, content(t, c, "method.txt"), "The original has the seal\n5ea1\n")
}

// A cell that begins like a formula is made inert (CWE-1236).
func TestSheetsHoldNoFormula(t *testing.T) {
	for cell, want := range map[string]string{"=1+1": "'=1+1", "+4": "'+4", "-4": "'-4", "@a": "'@a", "\t=1": "'=1", "a\r\nb": "a b", "": "", "a=b": "a=b"} {
		assert.Equal(t, want, inert(cell), "%q", cell)
	}
}

// openssl reads the request as one for the very checksum.
func TestTimestampRequest(t *testing.T) {
	tool, err := exec.LookPath("openssl")
	if err != nil {
		absent(t, "openssl is not installed (package openssl)")
	}
	der, err := TimestampRequest(sha256.Sum256([]byte("abc")))
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "abc.tsq")
	require.NoError(t, os.WriteFile(file, der, 0o666))
	out, err := exec.Command(tool, "ts", "-query", "-in", file, "-text").Output()
	require.NoError(t, err)
	for _, want := range []string{"Version: 1\n", "Hash Algorithm: sha256\n", "ba 78 16 bf 8f 01 cf ea-41 41 40 de 5d ae 22 23",
		"b0 03 61 a3 96 17 7a 9c-b4 10 ff 61 f2 00 15 ad", "Nonce: unspecified\n", "Certificate required: yes\n"} {
		assert.Contains(t, string(out), want)
	}
	// The same request, made by openssl itself, has the same bytes.
	message := filepath.Join(t.TempDir(), "abc")
	require.NoError(t, os.WriteFile(message, []byte("abc"), 0o666))
	want, err := exec.Command(tool, "ts", "-query", "-data", message, "-sha256", "-cert", "-no_nonce").Output()
	require.NoError(t, err)
	assert.Equal(t, want, der)
}
