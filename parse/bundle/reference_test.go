package bundle

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"maps"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

// absent skips a test for lack of something, or fails it where everything must
// be there.
func absent(t testing.TB, what string) {
	t.Helper()
	if os.Getenv("COUNTERFOIL_REQUIRE_TOOLS") != "" {
		t.Fatal(what)
	}
	t.Skip(what)
}

// reference gives a folder of the reference library, or skips the test.
func reference(t testing.TB, name string) string {
	t.Helper()
	dir := filepath.Join("..", "..", "..", "shared", "reference", name)
	if _, err := os.Stat(dir); err != nil {
		absent(t, "the reference library is absent ("+name+"): put it beside the project")
	}
	return dir
}

// python runs a script with its arguments and decodes what it prints.
func python(t testing.TB, script string, into any, args ...string) {
	t.Helper()
	exe, err := exec.LookPath("python3")
	if err != nil {
		absent(t, "python3 is absent: install it (Debian package python3)")
	}
	cmd := exec.Command(exe, append([]string{"-c", script}, args...)...)
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	require.NoError(t, err, stderr.String())
	require.NoError(t, json.Unmarshal(out, into))
}

func openFile(t testing.TB, path string) (*Archive, []listing.Problem) {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	return openBytes(data, filepath.Base(path))
}

func openBytes(data []byte, name string) (*Archive, []listing.Problem) {
	return Open(bytes.NewReader(data), int64(len(data)), name, Limits{})
}

// readAll gives the entries with their bytes, and all problems.
func readAll(a *Archive) (entries []Entry, problems []listing.Problem) {
	problems = a.Each(func(e Entry) error {
		entries = append(entries, e)
		return nil
	})
	return entries, problems
}

func reasons(problems []listing.Problem) []string {
	var list []string
	for _, p := range problems {
		list = append(list, p.Reason)
	}
	return list
}

func sha256Of(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// emailScript prints the leaf parts that Python's email package finds in each
// file.
const emailScript = `
import sys, json, email, hashlib
def parts(name):
    m = email.message_from_bytes(open(name, "rb").read())
    return [{
        "type": p.get_content_type(),
        "location": "".join((p["Content-Location"] or "").split()),
        "sha256": hashlib.sha256(p.get_payload(decode=True) or b"").hexdigest(),
    } for p in m.walk() if not p.is_multipart()]
print(json.dumps([parts(name) for name in sys.argv[1:]]))`

// TestMHTMLAgainstPython compares every part with what the email package of
// Python's standard library reads: count, order, type, location, decoded bytes.
func TestMHTMLAgainstPython(t *testing.T) {
	// Here a header line is broken in two without folding. Python ends the
	// header there and finds no parts; the line is skipped here.
	skip := map[string]int{"portfolio.mhtml": 13}
	// What is malformed, and the words that say so.
	malformed := map[string]string{
		"missing_boundary.mhtml":        "no boundary line",
		"missing_boundary_header.mhtml": "the boundary is not stated",
		"missing_headers.mhtml":         "before the closing boundary",
		"unexpected_eof.mhtml":          "before the closing boundary",
		"testUserDefinedCharset.mhtml":  "before the closing boundary",
	}
	files, _ := filepath.Glob(filepath.Join(reference(t, "mhtml"), "*.mhtml"))
	require.Len(t, files, 13)
	var read [][]struct{ Type, Location, SHA256 string }
	python(t, emailScript, &read, files...)
	for f, file := range files {
		name := filepath.Base(file)
		t.Run(name, func(t *testing.T) {
			a, problems := openFile(t, file)
			require.NotNil(t, a)
			assert.Equal(t, KindMHTML, a.Kind())
			entries, _ := readAll(a)
			if want := malformed[name]; want != "" {
				require.NotEmpty(t, problems)
				assert.Contains(t, strings.Join(reasons(problems), "; "), want)
			} else {
				assert.Empty(t, problems)
			}
			if n, ok := skip[name]; ok {
				assert.Len(t, entries, n)
				return
			}
			if strings.HasPrefix(name, "missing_boundary") {
				// Python gives up on these; the page's beginning is readable.
				require.Len(t, entries, 1)
				assert.True(t, bytes.HasPrefix(entries[0].Data, []byte(`<!DOCTYPE html><html lang="en" class=" supports csstransforms3d`)))
				return
			}
			want := read[f]
			require.Len(t, entries, len(want))
			s := a.store.(*mhtmlStore)
			for i, e := range entries {
				kind, _ := s.parts[i].h.mediaType()
				assert.Equal(t, want[i].Type, firstOf(kind, "text/plain"), e.Name)
				assert.Equal(t, want[i].Location, s.parts[i].location(), e.Name)
				assert.Equal(t, want[i].SHA256, sha256Of(e.Data), e.Name)
			}
		})
	}
}

// TestMHTMLPagesHoldTogether resolves every part from the page by its own
// Content-Location or Content-ID.
func TestMHTMLPagesHoldTogether(t *testing.T) {
	files, _ := filepath.Glob(filepath.Join(reference(t, "mhtml"), "*.mhtml"))
	for _, file := range files {
		a, _ := openFile(t, file)
		require.NotNil(t, a)
		page := ""
		for _, e := range a.Entries() {
			if e.Role == RolePage {
				require.Empty(t, page, "%s has two pages", file)
				page = e.Name
			}
		}
		require.NotEmpty(t, page, file)
		s := a.store.(*mhtmlStore)
		for i, e := range a.Entries() {
			for _, ref := range []string{s.parts[i].location(), e.URL, "cid:" + contentID(s.parts[i].h.get("content-id"))} {
				if ref == "" || ref == "cid:" {
					continue
				}
				got, err := a.Resolve(page, ref)
				require.NoError(t, err, "%s: %s", file, ref)
				want, err := a.Read(e.Name)
				require.NoError(t, err)
				if strings.HasSuffix(e.Name, ")") {
					continue // a second part of the same location
				}
				assert.Equal(t, sha256Of(want.Data), sha256Of(got.Data), ref)
			}
		}
	}
}

// warcScript prints the captures that a plain reader finds in a well-formed
// archive: gzip members by zlib, headers by the email package, bodies by
// http.client.
const warcScript = `
import sys, json, zlib, hashlib, email, http.client, io
class Sock:
    def __init__(self, b): self.b = b
    def makefile(self, *a): return io.BytesIO(self.b)
def unpacked(name):
    data, out = open(name, "rb").read(), b""
    if data[:2] != b"\x1f\x8b":
        return data
    while data[:2] == b"\x1f\x8b":
        z = zlib.decompressobj(31)
        out += z.decompress(data)
        data = z.unused_data
    return out
def captures(name):
    data, records, at = unpacked(name), [], 0
    while data.find(b"WARC/1.", at) >= 0:
        at = data.index(b"WARC/1.", at)
        end = data.index(b"\r\n\r\n", at) + 4
        head = email.message_from_bytes(data[data.index(b"\r\n", at) + 2:end])
        n = int(head["Content-Length"])
        block, at = data[end:end + n], end + n
        kind, status, body = head["WARC-Type"], 0, block
        if kind == "response":
            r = http.client.HTTPResponse(Sock(block))
            r.begin()
            r.length = None  # some samples state a wrong one
            status = r.status
            raw = block[block.index(b"\r\n\r\n") + 4:]
            if r.chunked and not raw[:1] in b"0123456789abcdef":
                body = raw
            else:
                body = r.read()
            if r.getheader("Content-Encoding") == "gzip" and body[:2] == b"\x1f\x8b":
                body = zlib.decompress(body, 31)
        if kind in ("response", "resource"):
            records.append({"url": head["WARC-Target-URI"].strip("<>"), "date": head["WARC-Date"], "status": status, "sha256": hashlib.sha256(body).hexdigest()})
    return records
print(json.dumps([captures(name) for name in sys.argv[1:]]))`

// TestWARCAgainstPython compares the captures of the sample archives with those
// of a reader made from Python's standard library: address, time, status and
// decoded bytes. The SHA-1 digests that the archives' makers put into them are
// checked on the way, since no entry may have a doubt.
func TestWARCAgainstPython(t *testing.T) {
	dir := reference(t, "warc")
	samples := map[string]int{
		"example.warc": 1, "example.warc.gz": 1, "example-bad-non-chunked.warc.gz": 1, "example-bad.warc.gz.bad": 2,
		"example-iana.org-chunked.warc": 1, "example-resource.warc.gz": 1, "example-space-in-target-uri.warc.gz": 1,
		"example-wget-bad-target-uri.warc.gz": 3, "example-wrong-chunks.warc.gz": 1, "good.warc.gz.open": 50,
		"single-record.warc.gz.open": 1, "skip-non-open.warc.gz": 10, "test.warc.gz": 1,
	}
	var files []string
	for _, name := range slices.Sorted(maps.Keys(samples)) {
		files = append(files, filepath.Join(dir, name))
	}
	var read [][]struct {
		URL, Date, SHA256 string
		Status            int
	}
	python(t, warcScript, &read, files...)
	for f, file := range files {
		name := filepath.Base(file)
		t.Run(name, func(t *testing.T) {
			count := samples[name]
			a, problems := openFile(t, file)
			require.NotNil(t, a)
			assert.Equal(t, KindWARC, a.Kind())
			entries, doubts := readAll(a)
			assert.Empty(t, append(problems, doubts...))
			want := read[f]
			require.Len(t, want, count)
			require.Len(t, entries, count+revisits(a))
			i := 0
			for n, e := range entries {
				if a.store.(*warcStore).records[n].kind == "revisit" {
					continue
				}
				assert.Equal(t, want[i].URL, e.URL)
				assert.Equal(t, want[i].Date, e.Date)
				assert.Equal(t, want[i].Status, e.Status)
				assert.Equal(t, want[i].SHA256, sha256Of(e.Data), e.Name)
				i++
			}
		})
	}
}

func revisits(a *Archive) (n int) {
	for _, r := range a.store.(*warcStore).records {
		if r.kind == "revisit" {
			n++
		}
	}
	return n
}

// TestWARCOfWget lets GNU Wget, a writer of its own, archive pages from a local
// server, and compares with what was served: plain, in chunks and packed.
func TestWARCOfWget(t *testing.T) {
	exe, err := exec.LookPath("wget")
	if err != nil {
		absent(t, "wget is absent: install it (Debian package wget)")
	}
	text := strings.Repeat("<p>Lader für Motor</p>\n", 2000)
	served := map[string]string{
		"/plain": "plain " + text, "/chunks": strings.Repeat("chunks "+text, 2), "/gzip": "gzip " + text, "/both": strings.Repeat("both "+text, 2), "/empty": "",
	}
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		body := []byte(served[r.URL.Path])
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		if r.URL.Path == "/gzip" || r.URL.Path == "/both" {
			body = gzipOf(t, string(body))
			w.Header().Set("Content-Encoding", "gzip")
		}
		if r.URL.Path == "/chunks" || r.URL.Path == "/both" {
			for len(body) > 1000 {
				_, _ = w.Write(body[:1000])
				w.(http.Flusher).Flush()
				body = body[1000:]
			}
		}
		_, _ = w.Write(body)
	}))
	defer server.Close()
	for _, packed := range []bool{true, false} {
		dir := t.TempDir()
		args := []string{"-q", "--no-proxy", "--compression=auto", "--warc-file=live"}
		if !packed {
			args = append(args, "--no-warc-compression")
		}
		paths := slices.Sorted(maps.Keys(served))
		for _, p := range paths {
			args = append(args, server.URL+p)
		}
		cmd := exec.Command(exe, args...)
		cmd.Dir = dir
		require.NoError(t, cmd.Run())
		files, _ := filepath.Glob(filepath.Join(dir, "live.warc*"))
		require.Len(t, files, 1)
		a, problems := openFile(t, files[0])
		require.NotNil(t, a)
		assert.Empty(t, problems)
		for _, p := range paths {
			e, err := a.Resolve("", server.URL+p)
			require.NoError(t, err)
			assert.Equal(t, sha256Of([]byte(served[p])), sha256Of(e.Data), p)
			assert.Equal(t, 200, e.Status)
			assert.Empty(t, e.Doubt)
		}
	}
}

// TestDamagedWARC reads the sample archives that are damaged on purpose. The
// counts are of the records that gzip can still unpack (`zcat FILE | grep -c
// ^WARC/`).
func TestDamagedWARC(t *testing.T) {
	for _, tc := range []struct {
		name   string
		count  int
		reason string
	}{
		{"corrupted-mid-record.warc.gz.open", 12, "bytes that are not gzip"},
		{"corrupted-trailing-bytes.warc.gz.open", 30, "bytes that are not gzip"},
		{"example-trunc.warc", 1, "it is longer than stated"},
		{"example-digest.warc", 0, "no capture in it"}, // requests only
	} {
		t.Run(tc.name, func(t *testing.T) {
			a, problems := openFile(t, filepath.Join(reference(t, "warc"), tc.name))
			require.NotNil(t, a)
			assert.Len(t, a.Entries(), tc.count)
			assert.Contains(t, strings.Join(reasons(problems), "; "), tc.reason)
			for _, p := range problems {
				assert.Equal(t, tc.name, p.File)
			}
		})
	}
}

// TestWACZAgainstItsIndex compares with the CDXJ index inside the sample WACZ,
// which its maker's indexer wrote.
func TestWACZAgainstItsIndex(t *testing.T) {
	file := filepath.Join(reference(t, "warc"), "testWACZ.wacz")
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	a, problems := openBytes(data, "testWACZ.wacz")
	require.NotNil(t, a)
	assert.Equal(t, KindWACZ, a.Kind())
	assert.Empty(t, problems)

	z := &Archive{name: "testWACZ.wacz", kind: KindZip, budget: newBudget(Limits{}.withDefaults(), int64(len(data)))}
	b := &builder{a: z, seen: map[string]int{}}
	z.store, err = openZip(bytes.NewReader(data), int64(len(data)), b)
	require.NoError(t, err)
	z.byName = map[string]int{}
	for i, e := range z.entries {
		z.byName[e.Name] = i
	}
	index, problems := z.Nested("indexes/index.cdx.gz")
	require.Empty(t, problems)
	cdx, err := index.Read(index.Entries()[0].Name)
	require.NoError(t, err)
	lines := strings.Split(strings.TrimSpace(string(cdx.Data)), "\n")
	require.Len(t, lines, len(a.Entries()))
	var want struct {
		URL, Mime, Status, Digest string
	}
	fields := strings.SplitN(lines[0], " ", 3)
	require.NoError(t, json.Unmarshal([]byte(fields[2]), &want))
	e, err := a.Read(a.Entries()[0].Name)
	require.NoError(t, err)
	assert.Equal(t, want.URL, e.URL)
	assert.Equal(t, "2020-10-07T21:22:36Z", e.Date)
	assert.Equal(t, fields[1], strings.NewReplacer("-", "", "T", "", ":", "", "Z", "").Replace(e.Date))
	assert.Equal(t, 200, e.Status)
	assert.True(t, strings.HasPrefix(e.ContentType, want.Mime))
	assert.Equal(t, RolePage, e.Role)
	assert.Empty(t, e.Doubt)
	s := a.store.(*warcStore)
	assert.Equal(t, "sha1:"+want.Digest, s.records[0].span.header.get("warc-payload-digest"))
}
