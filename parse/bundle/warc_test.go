package bundle

import (
	"bytes"
	"compress/flate"
	"compress/zlib"
	"crypto/sha1"
	"encoding/base32"
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/klauspost/compress/zstd"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// warcRec writes a record; fields are further header lines.
func warcRec(kind, url, date, block string, fields ...string) string {
	extra := ""
	for _, f := range fields {
		extra += f + "\r\n"
	}
	if kind == "response" || kind == "revisit" {
		extra += "Content-Type: application/http; msgtype=response\r\n"
	}
	return fmt.Sprintf("WARC/1.1\r\nWARC-Type: %s\r\nWARC-Target-URI: %s\r\nWARC-Date: %s\r\n%sContent-Length: %d\r\n\r\n%s\r\n\r\n",
		kind, url, date, extra, len(block), block)
}

func httpOK(body string, fields ...string) string {
	return "HTTP/1.1 200 OK\r\nContent-Type: text/html\r\n" + strings.Join(append(fields, "", body), "\r\n")
}

const (
	day1 = "2025-01-01T00:00:00Z"
	day2 = "2025-01-02T00:00:00Z"
	day3 = "2025-01-03T00:00:00.25Z"
	item = "https://shop.example/item"
)

func shopRecords() []string {
	sum := sha1.Sum([]byte("photo, day 1"))
	digest := "WARC-Payload-Digest: sha1:" + base32.StdEncoding.EncodeToString(sum[:])
	return []string{
		warcRec("warcinfo", "", day1, "software: own\r\n"),
		warcRec("request", item, day1, "GET /item HTTP/1.1\r\n\r\n"),
		warcRec("response", item, day1, httpOK("<html>1")),
		warcRec("response", "https://cdn.shop.example/a.jpg", day1, httpOK("photo, day 1"), "WARC-Record-ID: <urn:uuid:1>", digest),
		warcRec("response", item, day3, httpOK("<html>3")),
		warcRec("response", "https://cdn.shop.example/a.jpg", day3, httpOK("photo, day 3")),
		warcRec("response", "https://cdn.shop.example/old.jpg", day3, "HTTP/1.1 302 Found\r\nLocation: /a.jpg\r\n\r\n"),
		warcRec("response", "https://cdn.shop.example/loop", day3, "HTTP/1.1 302 Found\r\nLocation: /loop\r\n\r\n"),
		warcRec("revisit", "https://cdn.shop.example/copy.jpg", day2, "HTTP/1.1 304 Not Modified\r\n\r\n", digest),
		warcRec("revisit", "https://cdn.shop.example/far.jpg", day2, "", "WARC-Refers-To-Target-URI: https://cdn.shop.example/b.jpg"),
		warcRec("resource", "https://shop.example/terms", day2, "terms", "Content-Type: text/plain"),
		warcRec("continuation", item, day2, "rest"),
	}
}

func TestWARCReadsAndResolves(t *testing.T) {
	records := shopRecords()
	plain := strings.Join(records, "")
	for name, data := range map[string][]byte{
		"plain": []byte(plain), "packed by record": gzipOf(t, records...), "packed whole": gzipOf(t, plain),
		"packed across records": gzipOf(t, plain[:700], plain[700:1500], plain[1500:]),
		"packed whole at last":  gzipOf(t, records[2], records[0], records[1]+records[3], strings.Join(records[4:], "")),
		"packed by two":         gzipOf(t, records[0]+records[1], records[2]+records[3], strings.Join(records[4:], "")),
	} {
		t.Run(name, func(t *testing.T) {
			a, problems := openBytes(data, "shop.warc")
			require.NotNil(t, a)
			assert.Equal(t, []string{"a record in segments; they are not joined"}, reasons(problems))
			assert.Equal(t, []string{item, "https://cdn.shop.example/a.jpg", item + " (2)", "https://cdn.shop.example/a.jpg (2)",
				"https://cdn.shop.example/old.jpg", "https://cdn.shop.example/loop", "https://cdn.shop.example/copy.jpg",
				"https://cdn.shop.example/far.jpg", "https://shop.example/terms"}, names(a))
			entries, problems := readAll(a)
			assert.Equal(t, []string{"a revisit, whose earlier capture is not in this archive"}, reasons(problems))
			require.Len(t, entries, 8)
			assert.Equal(t, "<html>1", string(entries[0].Data))
			assert.Equal(t, day3, entries[2].Date)
			assert.Equal(t, 200, entries[2].Status)
			assert.Equal(t, "text/html", entries[2].ContentType)
			assert.Equal(t, "photo, day 1", string(entries[6].Data)) // the revisit
			assert.Equal(t, "terms", string(entries[7].Data))
			for _, tc := range []struct{ page, ref, want string }{
				{item, "//cdn.shop.example/a.jpg", "photo, day 1"},
				{item + " (2)", "https://CDN.shop.example/a.jpg#x", "photo, day 3"},
				{item + " (2)", "http://cdn.shop.example:80/old.jpg", "photo, day 3"},
				{item, "terms", "terms"},
				{"", item, "<html>1"},
			} {
				e, err := a.Resolve(tc.page, tc.ref)
				require.NoError(t, err, tc.ref)
				assert.Equal(t, tc.want, string(e.Data), tc.ref)
			}
			for _, ref := range []string{"https://cdn.shop.example/loop", "nothing", "", "https://%zz", "\x00"} {
				_, err := a.Resolve(item+" (2)", ref)
				if ref != "" { // the page itself
					assert.ErrorIs(t, err, ErrNotFound, ref)
				}
			}
		})
	}
}

func TestWARCDamage(t *testing.T) {
	one := warcRec("response", item, day1, httpOK("<html>1"))
	two := warcRec("response", item+"2", day2, httpOK("<html>2"))
	broken := gzipOf(t, warcRec("response", item+"0", day1, httpOK(strings.Repeat("text of some length ", 200))))
	broken[len(broken)/2] ^= 0xff
	badSum := gzipOf(t, one)
	badSum[len(badSum)-6] ^= 0xff
	join := func(parts ...[]byte) []byte { return bytes.Join(parts, nil) }
	for _, tc := range []struct {
		name   string
		data   []byte
		want   []string // data of the entries
		reason string
	}{
		{"cut in a block", []byte(two + one[:len(one)-7]), []string{"<html>2", "<htm"}, "it is cut off"},
		{"cut in a header", []byte(two + one[:40]), []string{"<html>2"}, "its header is cut off"},
		{"length too large", []byte(strings.Replace(one, "Content-Length: 5", "Content-Length: 995", 1) + two), []string{"<html>1", "<html>2"}, "it is cut off"},
		{"length into the next record", []byte(strings.Replace(one, "Content-Length: 5", "Content-Length: 15", 1) + two + two), []string{"<html>1", "<html>2", "<html>2"}, "it is cut off"},
		{"length beyond numbers", []byte(strings.Replace(one, "Content-Length: 5", "Content-Length: 99999999999999999999995", 1) + two), []string{"<html>1", "<html>2"}, "its length is not stated"},
		{"length negative", []byte(strings.Replace(one, "Content-Length: 5", "Content-Length: -5", 1) + two), []string{"<html>1", "<html>2"}, "its length is not stated"},
		{"length too small", []byte(strings.Replace(one, "Content-Length: 5", "Content-Length: 2", 1) + two), []string{"<html>1", "<html>2"}, "it is longer than stated"},
		{"no length", []byte(strings.Replace(one, "Content-Length", "Content-Lenght", 1) + two), []string{"<html>1", "<html>2"}, "its length is not stated"},
		{"rubbish between", []byte(one + "rubbish\r\n\r\n" + two), []string{"<html>1", "<html>2"}, "bytes that belong to no record follow it"},
		{"damaged member", join(gzipOf(t, two), broken, gzipOf(t, one)), []string{"<html>2", "", "<html>1"}, "its gzip checksum is wrong"},
		{"wrong checksum", join(badSum, gzipOf(t, two)), []string{"<html>1", "<html>2"}, "its gzip checksum is wrong"},
		{"cut member", join(gzipOf(t, two), gzipOf(t, one)[:60]), []string{"<html>2"}, "its packed bytes end early"},
		{"rubbish behind members", join(gzipOf(t, one, two), []byte("rubbish")), []string{"<html>1", "<html>2"}, "no gzip member where one should begin"},
		{"padding behind members", join(gzipOf(t, one, two), make([]byte, 100)), []string{"<html>1", "<html>2"}, ""},
		{"empty member", gzipOf(t, one, "", two), []string{"<html>1", "<html>2"}, ""},
		{"endless header", []byte(two + "WARC/1.0\r\n" + strings.Repeat("X: y\r\n", 100_000)), []string{"<html>2"}, "its header lines do not end within the limit"},
		{"wrong digest", []byte(warcRec("response", item, day1, httpOK("<html>1"), "WARC-Block-Digest: sha1:AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA")), []string{"<html>1"}, "its bytes do not match the digest stated in the archive"},
		{"cut when captured", []byte(warcRec("response", item, day1, httpOK("<html>1"), "WARC-Truncated: length")), []string{"<html>1"}, "the capture was cut off when it was made (length)"},
		{"no status line", []byte(warcRec("response", item, day1, "<html>1")), []string{"<html>1"}, "no HTTP status line"},
		{"bad date", []byte(warcRec("response", item, "yesterday", httpOK("<html>1"))), []string{"<html>1"}, "its capture time is not readable"},
		{"no capture", []byte(warcRec("request", item, day1, "GET / HTTP/1.1\r\n\r\n")), nil, "no capture in it"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			a, problems := openBytes(tc.data, "shop.warc")
			require.NotNil(t, a)
			entries, more := readAll(a)
			problems = append(problems, more...)
			var got []string
			for i, e := range entries {
				if i < len(tc.want) && tc.want[i] == "" {
					e.Data = nil // damaged in the middle: what is kept does not matter
				}
				got = append(got, string(e.Data))
			}
			assert.Equal(t, tc.want, got)
			if tc.reason == "" {
				assert.Empty(t, problems)
			} else {
				assert.Equal(t, 1, strings.Count(strings.Join(reasons(problems), "\n"), tc.reason), "%v", reasons(problems))
			}
		})
	}
}

// TestWARCCutAnywhere cuts an archive at every place: what comes before is
// kept, and the cut is told unless it falls between records.
func TestWARCCutAnywhere(t *testing.T) {
	records := shopRecords()[2:6]
	for _, kind := range []string{"plain", "packed"} {
		var ends []int
		var data []byte
		for _, r := range records {
			if kind == "plain" {
				data = append(data, r...)
			} else {
				data = append(data, gzipOf(t, r)...)
			}
			ends = append(ends, len(data))
		}
		for cut := len("WARC/1.1\r\n") + 10; cut < len(data); cut++ {
			whole, between := 0, false
			for _, end := range ends {
				if end <= cut {
					whole++
				}
				// The four characters behind a record are no loss.
				between = between || cut == end || kind == "plain" && cut < end && cut >= end-4
			}
			b := &Archive{name: "x", budget: newBudget(Limits{}.withDefaults(), int64(cut))}
			a, problems := b.openAs(KindWARC, bytes.NewReader(data[:cut]), int64(cut))
			if a == nil {
				require.NotEmpty(t, problems, "%s cut at %d", kind, cut)
				continue
			}
			entries, more := readAll(a)
			require.GreaterOrEqual(t, len(entries), whole, "%s cut at %d", kind, cut)
			require.LessOrEqual(t, len(entries), whole+1, "%s cut at %d", kind, cut)
			if !between {
				require.NotEmpty(t, append(problems, more...), "%s cut at %d", kind, cut)
			}
		}
	}
}

func TestWARCLimits(t *testing.T) {
	bomb := gzipOf(t, warcRec("response", item, day1, httpOK(strings.Repeat("a", 8<<20))), warcRec("response", item+"2", day2, httpOK("<html>2")))
	pad := make([]byte, 0, 100<<10)
	for i := range 20 << 10 {
		pad = fmt.Appendf(pad, "%x", i*i)
	}
	data := append(gzipOf(t, warcRec("response", item+"0", day1, httpOK(string(pad)))), bomb...)
	a, problems := openBytes(data, "bomb.warc.gz")
	require.NotNil(t, a)
	assert.Contains(t, strings.Join(reasons(problems), "\n"), "unpacks to more than 200 times its size")
	assert.Equal(t, []string{item + "0", item + "2"}, names(a))

	body := bytes.Repeat([]byte{0}, 8<<20)
	inner := warcRec("response", item, day1, httpOK(string(gzipOf(t, string(body))), "Content-Encoding: gzip"))
	a, _ = openBytes([]byte(inner+strings.Repeat(" ", 100<<10)), "bomb.warc")
	require.NotNil(t, a)
	_, err := a.Read(item)
	require.Error(t, err)
	assert.Contains(t, err.Error(), "unpacks to more than 200 times its size")

	plain := warcRec("response", item, day1, httpOK(strings.Repeat("a", 100<<10)))
	a, _ = Open(strings.NewReader(plain), int64(len(plain)), "large.warc", Limits{Entry: 1 << 10, Header: 1 << 10})
	require.NotNil(t, a)
	_, err = a.Read(item)
	require.Error(t, err)
	assert.Contains(t, err.Error(), "larger than the limit of 1024 bytes")

	requests := strings.Repeat(warcRec("request", item, day1, ""), 30)
	_, problems = Open(strings.NewReader(requests), int64(len(requests)), "requests.warc", Limits{Entries: 2})
	assert.Equal(t, []string{"far more records than captures; the rest is not read"}, reasons(problems))

	long := warcRec("response", item+strings.Repeat("x", 5000), day1, httpOK("<html>"))
	a, problems = openBytes([]byte(long), "long.warc")
	require.NotNil(t, a)
	assert.Empty(t, problems)
	assert.Len(t, []rune(a.Entries()[0].Name), nameLimit)
	assert.Empty(t, a.Entries()[0].URL)

	whole := gzipOf(t, plain+plain)
	a, problems = Open(bytes.NewReader(whole), int64(len(whole)), "whole.warc.gz", Limits{Memory: 1 << 10})
	require.Nil(t, a)
	assert.Contains(t, strings.Join(reasons(problems), "\n"), "larger than the limit of 1024 bytes")
}

func packed(t *testing.T, w io.WriteCloser, buf *bytes.Buffer, text string) string {
	t.Helper()
	_, err := io.WriteString(w, text)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	return buf.String()
}

func TestResponseBody(t *testing.T) {
	var zl, fl, zs bytes.Buffer
	fw, _ := flate.NewWriter(&fl, 9)
	zw, _ := zstd.NewWriter(&zs)
	page := "<html>the page"
	gz := string(gzipOf(t, page))
	for _, tc := range []struct{ name, coding, raw, want, doubt, err string }{
		{"plain", "", page, page, "", ""},
		{"gzip", "Content-Encoding: gzip", gz, page, "", ""},
		{"x-gzip", "Content-Encoding: X-GZIP", gz, page, "", ""},
		{"deflate", "Content-Encoding: deflate", packed(t, zlib.NewWriter(&zl), &zl, page), page, "", ""},
		{"raw deflate", "Content-Encoding: deflate", packed(t, fw, &fl, page), page, "", ""},
		{"zstd", "Content-Encoding: zstd", packed(t, zw, &zs, page), page, "", ""},
		{"two", "Content-Encoding: gzip, gzip", string(gzipOf(t, gz)), page, "", ""},
		{"stored decoded", "Content-Encoding: gzip", page, page, "", ""},
		{"stored decoded, brotli", "Content-Encoding: br", page, page, "", ""},
		{"stored decoded, deflate", "Content-Encoding: deflate", page, page, "", ""},
		{"brotli", "Content-Encoding: br", "\x0b\x02\x80abc\x03", "", "", "packed with brotli, which is not read"},
		{"unknown", "Content-Encoding: own", "\x00\x01", "", "", `packed by the encoding "own", which is not read`},
		{"too many", "Content-Encoding: gzip, gzip, gzip, gzip", page, "", "", "more content encodings than are undone"},
		{"cut gzip", "Content-Encoding: gzip", gz[:len(gz)-9], page[:12], "its packed body is damaged or cut off; what comes before is kept", ""},
		{"gzip header only", "Content-Encoding: gzip", gz[:10], "", "", "its packed bytes end early"},
		{"gzip of nothing", "Content-Encoding: gzip", "", "", "", ""},
		// RFC 9112, 7.1.
		{"chunked", "Transfer-Encoding: chunked", "5;x=y\r\n<html\r\n9\r\n>the page\r\n0\r\nTrailer: x\r\n\r\n", page, "", ""},
		{"chunked gzip", "Transfer-Encoding: chunked\r\nContent-Encoding: gzip", fmt.Sprintf("%x\r\n%s\r\n0\r\n\r\n", len(gz), gz), page, "", ""},
		{"stored without chunks", "Transfer-Encoding: chunked", page, page, "", ""},
		{"last chunk absent", "Transfer-Encoding: chunked", "e\r\n" + page + "\r\n", page, "its last chunk is absent", ""},
		{"chunk too large", "Transfer-Encoding: chunked", "ffff\r\n" + page, page, "its last chunk is cut off", ""},
		{"chunk enormous", "Transfer-Encoding: chunked", "7fffffffffffffff\r\n" + page, page, "its last chunk is cut off", ""},
		{"chunk negative", "Transfer-Encoding: chunked", "5\r\n<html\r\n-9\r\n>the page", "<html-9\r\n>the page", "its chunks are damaged; what follows is left as it is", ""},
		{"chunk size wrong", "Transfer-Encoding: chunked", "4\r\n<html\r\n0\r\n\r\n", "<html\r\n0\r\n\r\n", "its chunks are damaged; what follows is left as it is", ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			a, problems := openBytes([]byte(warcRec("response", item, day1, httpOK(tc.raw, "X-Own: 1", firstOf(tc.coding, "X-Own: 2")))), "x.warc")
			require.NotNil(t, a)
			assert.Empty(t, problems)
			e, err := a.Read(item)
			if tc.err != "" {
				require.Error(t, err)
				assert.Contains(t, err.Error(), tc.err)
				return
			}
			require.NoError(t, err)
			if tc.name == "cut gzip" {
				assert.True(t, strings.HasPrefix(page, string(e.Data)))
			} else {
				assert.Equal(t, tc.want, string(e.Data))
			}
			assert.Equal(t, tc.doubt, e.Doubt)
		})
	}
}

func TestWACZ(t *testing.T) {
	records := shopRecords()
	data := zipOf(t, file{"archive/a.warc.gz", string(gzipOf(t, records[:4]...))}, file{"archive/b.warc", strings.Join(records[4:], "")},
		file{"archive/c.warc.gz", "not a web archive"}, file{"datapackage.json", "{}"}, file{"pages/pages.jsonl", `{"format":"json-pages-1.0"}` + "\nbad\n" + `{"url":"` + item + `"}` + "\n"})
	a, problems := openBytes(data, "shop.wacz")
	require.NotNil(t, a)
	assert.Equal(t, KindWACZ, a.Kind())
	assert.Equal(t, []string{"a record in segments; they are not joined", "no WARC record where one should begin",
		"the list of pages is damaged; which entries are pages is not known for all"}, reasons(problems))
	assert.Equal(t, "archive/b.warc!record at byte", problems[0].Entry[:29])
	var pages []string
	for _, e := range a.Entries() {
		if e.Role == RolePage {
			pages = append(pages, e.Name)
		}
	}
	assert.Equal(t, []string{"archive/a.warc.gz!" + item, "archive/b.warc!" + item}, pages)
	e, err := a.Resolve(pages[1], "https://cdn.shop.example/a.jpg")
	require.NoError(t, err)
	assert.Equal(t, "photo, day 3", string(e.Data))
	e, err = a.Resolve(pages[0], "https://cdn.shop.example/a.jpg")
	require.NoError(t, err)
	assert.Equal(t, "photo, day 1", string(e.Data))
	e, err = a.Read("archive/b.warc!https://cdn.shop.example/copy.jpg") // a revisit of a record in the other file
	require.NoError(t, err)
	assert.Equal(t, "photo, day 1", string(e.Data))
}
