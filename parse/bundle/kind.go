package bundle

import (
	"bytes"
	"encoding/binary"
	"io"
	"strings"

	"github.com/klauspost/compress/gzip"
)

// Kinds of a container.
const (
	KindMHTML  = "mhtml"
	KindZip    = "zip"
	KindWARC   = "warc" // plain or gzip
	KindWACZ   = "wacz"
	KindGzip   = "gzip"   // one file, not a web archive
	KindOffice = "office" // a zip that is a workbook or document; not opened here
)

// headSize is how much of a file [KindAt] looks at before the list of a zip.
const headSize = 8 << 10

// Kind tells a container by its first bytes (some kilobytes), "" if it is none.
// A zip may still turn out to be a WACZ or, rarely, an office file; [KindAt]
// tells for certain.
func Kind(head []byte) string {
	switch {
	case bytes.HasPrefix(head, []byte("PK\x03\x04")):
		return zipKind(localNames(head))
	case bytes.HasPrefix(head, []byte("PK\x05\x06")), bytes.HasPrefix(head, []byte("PK\x07\x08PK\x03\x04")):
		return KindZip
	case bytes.HasPrefix(head, []byte("\x1f\x8b\x08")):
		if isWARC(gunzipHead(head)) {
			return KindWARC
		}
		return KindGzip
	case isWARC(head):
		return KindWARC
	case isMHTML(head):
		return KindMHTML
	}
	return ""
}

// KindAt tells the container in r, looking at the list of a zip as well.
func KindAt(r io.ReaderAt, size int64) string {
	head := make([]byte, min(size, headSize))
	n, _ := r.ReadAt(head, 0)
	kind := Kind(head[:n])
	if kind != KindZip {
		return kind
	}
	dir, err := zipDirectory(r, size, Limits{}.withDefaults())
	if err != nil {
		return kind
	}
	var names []string
	for _, m := range dir {
		names = append(names, m.name)
	}
	return zipKind(names)
}

// zipKind tells by the names in a zip what it is. ISO/IEC 29500-2 demands
// [Content_Types].xml of every office file, and OpenDocument 1.2 part 3 a
// first member named mimetype; WACZ 1.1 demands datapackage.json and archive/.
func zipKind(names []string) string {
	types, rels, pack, warc := false, false, false, false
	for i, n := range names {
		switch {
		case n == "[Content_Types].xml":
			types = true
		case n == "_rels/.rels", strings.HasPrefix(n, "xl/"), strings.HasPrefix(n, "word/"), strings.HasPrefix(n, "ppt/"):
			rels = true
		case n == "datapackage.json":
			pack = true
		case isWARCMember(n):
			warc = true
		case i == 0 && n == "mimetype":
			return KindOffice
		}
	}
	switch {
	case types && rels, types && len(names) == 1:
		return KindOffice
	case pack && warc:
		return KindWACZ
	}
	return KindZip
}

// localNames gives the names of the members that begin in head.
func localNames(head []byte) []string {
	var names []string
	for len(head) >= 30 && string(head[:4]) == "PK\x03\x04" {
		packed := int(binary.LittleEndian.Uint32(head[18:]))
		n, extra := int(binary.LittleEndian.Uint16(head[26:])), int(binary.LittleEndian.Uint16(head[28:]))
		if 30+n > len(head) {
			break
		}
		names = append(names, string(head[30:30+n]))
		head = head[30+n:]
		if skip := extra + packed; packed > 0 && skip < len(head) {
			head = head[skip:]
			continue
		}
		at := bytes.Index(head, []byte("PK\x03\x04")) // the size stands behind the data
		if at < 0 {
			break
		}
		head = head[at:]
	}
	return names
}

func gunzipHead(head []byte) []byte {
	z, err := gzip.NewReader(bytes.NewReader(head))
	if err != nil {
		return nil
	}
	out := make([]byte, 64)
	n, _ := io.ReadFull(z, out)
	return out[:n]
}

func isWARC(head []byte) bool {
	return bytes.HasPrefix(bytes.TrimLeft(head, "\r\n"), []byte("WARC/"))
}

// isMHTML looks for mail header lines that begin a multipart or a saved page.
func isMHTML(head []byte) bool {
	head = bytes.TrimLeft(bytes.TrimPrefix(head, []byte("\xef\xbb\xbf")), "\r\n")
	first, _, _ := bytes.Cut(head, []byte("\n"))
	colon := bytes.IndexByte(first, ':')
	if colon <= 0 || bytes.ContainsAny(first[:colon], " \t<>\"{,;") {
		return false
	}
	block := bytes.ToLower(head)
	for _, end := range []string{"\r\n\r\n", "\n\n"} {
		if at := bytes.Index(block, []byte(end)); at >= 0 {
			block = block[:at]
		}
	}
	return bytes.HasPrefix(block, []byte("from: <saved by")) ||
		bytes.Contains(block, []byte("snapshot-content-location:")) ||
		bytes.Contains(block, []byte("mime-version:")) && bytes.Contains(block, []byte("content-type:")) &&
			(bytes.Contains(block, []byte("multipart/")) || bytes.Contains(block, []byte("text/html")))
}
