package bundle

import (
	"bytes"
	"io"
	"strings"
	"testing"
	"unicode/utf8"

	"counterfoil/parse/listing"
)

// tight keeps a fuzzed input from growing.
var tight = Limits{Entry: 1 << 20, Total: 8 << 20, Entries: 200, Memory: 1 << 20, Header: 4 << 10}

// drive opens data as a kind, reads everything, and checks what holds for any
// input.
func drive(t *testing.T, kind string, data []byte) {
	size := int64(len(data))
	a := &Archive{name: "x", budget: newBudget(tight.withDefaults(), size)}
	a, problems := a.openAs(kind, bytes.NewReader(data), size)
	checkProblems(t, problems)
	if a == nil {
		if len(problems) == 0 {
			t.Fatal("refused without a problem")
		}
		return
	}
	seen := map[string]bool{}
	for i, e := range a.Entries() {
		if seen[e.Name] || e.Name == "" || !utf8.ValidString(e.Name) || e.Data != nil {
			t.Fatalf("entry %q", e.Name)
		}
		seen[e.Name] = true
		if kind == KindZip && (strings.HasPrefix(e.Name, "/") || strings.HasPrefix(e.Name, "../") || strings.Contains(e.Name, "/../")) {
			t.Fatalf("climbing entry %q", e.Name)
		}
		if i > 20 {
			continue
		}
		_, _ = a.Resolve(e.Name, "a.jpg")
		_, _ = a.Resolve(e.Name, e.Name)
		if r, err := a.Stream(e.Name); err == nil {
			_, _ = io.Copy(io.Discard, r)
		}
		_, more := a.Nested(e.Name)
		checkProblems(t, more)
	}
	checkProblems(t, a.Each(func(e Entry) error {
		if int64(len(e.Data)) > tight.Entry || e.Data == nil {
			t.Fatalf("%q has %d bytes", e.Name, len(e.Data))
		}
		return nil
	}))
}

func checkProblems(t *testing.T, problems []listing.Problem) {
	for _, p := range problems {
		if p.File != "x" || p.Reason == "" || p.Severity == "" || !utf8.ValidString(p.Entry) {
			t.Fatalf("%+v", p)
		}
	}
}

func FuzzKind(f *testing.F) {
	f.Add(zipOf(f, file{"[Content_Types].xml", ""}, file{"xl/workbook.xml", ""}))
	f.Add(gzipOf(f, "WARC/1.0\r\n"))
	f.Add([]byte("MIME-Version: 1.0\nContent-Type: multipart/related\n\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		Kind(data)
		drive(t, KindAt(bytes.NewReader(data), int64(len(data))), data)
	})
}

func FuzzMHTML(f *testing.F) {
	f.Add(message("From: <Saved by x>", "Content-Type: multipart/related; boundary=b", "", "--b", "Content-Type: text/html",
		"Content-Location: https://shop.example/a", "Content-Transfer-Encoding: quoted-printable", "", "=41=", "b=4", "--b",
		"Content-ID: <x>", "Content-Base: dir/", "Content-Transfer-Encoding: base64", "", "QUJD=", "--b--"))
	f.Add(message("Content-Type: multipart/related; boundary=b", "", "--b", "Content-Type: multipart/alternative; boundary=c", "", "--c", "", "x", "--c--", "--b--"))
	f.Add(message("MIME-Version: 1.0", "Content-Type: multipart/related", "", "--b", "Content-Type: text/html", "", "x"))
	f.Fuzz(func(t *testing.T, data []byte) { drive(t, KindMHTML, data) })
}

func FuzzZip(f *testing.F) {
	sound := zipOf(f, file{"a/b.html", "<html>text text text"}, file{"a/b_files/c.jpg", "photo"})
	f.Add(sound)
	f.Add(sound[:len(sound)-60])
	f.Add(zipOf(f, file{"inner.zip", string(sound)}, file{"../x", "y"}))
	f.Fuzz(func(t *testing.T, data []byte) { drive(t, KindZip, data) })
}

func FuzzWARC(f *testing.F) {
	records := shopRecords()
	f.Add([]byte(strings.Join(records, "")))
	f.Add(gzipOf(f, records...))
	f.Add(gzipOf(f, strings.Join(records, "")))
	f.Add([]byte(warcRec("response", item, day1, httpOK("5\r\n<html\r\n0\r\n\r\n", "Transfer-Encoding: chunked", "Content-Encoding: deflate"))))
	f.Add([]byte(warcRec("response", item, day1, httpOK("\x28\xb5\x2f\xfd\x04\x00\x09\x00\x00abc", "Content-Encoding: zstd"))))
	f.Fuzz(func(t *testing.T, data []byte) { drive(t, KindWARC, data) })
}

func FuzzWACZ(f *testing.F) {
	f.Add(zipOf(f, file{"archive/a.warc.gz", string(gzipOf(f, shopRecords()...))}, file{"pages/pages.jsonl", `{"url":"` + item + `"}`}, file{"datapackage.json", "{}"}))
	f.Fuzz(func(t *testing.T, data []byte) { drive(t, KindWACZ, data) })
}

func FuzzGzip(f *testing.F) {
	f.Add(gzipOf(f, "title,price\n", "more"))
	f.Fuzz(func(t *testing.T, data []byte) { drive(t, KindGzip, data) })
}
