package bagit

import (
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"
)

// Whatever a manifest holds, no path of it leads out of the bag, and a path
// survives encoding and decoding.
func FuzzManifest(f *testing.F) {
	f.Add("manifest-md5.txt", "900150983cd24fb0d6963f7d28e17f72  data/abc\r\n", true)
	f.Add("tagmanifest-sha1.txt", "a9993e364706816aba3e25717850c26c9cd0d89d *./bagit.txt\n", false)
	f.Add("manifest-md5.txt", "900150983cd24fb0d6963f7d28e17f72 data/a%0d%0A%25%zz", true)
	f.Fuzz(func(t *testing.T, name, text string, new bool) {
		v := version(97)
		if new {
			v = strict
		}
		m, _, err := parseManifest(name, text, v)
		if err != nil {
			return
		}
		for _, e := range m.entries {
			if !fs.ValidPath(e.path) && strings.ToValidUTF8(e.path, "") == e.path {
				t.Errorf("path %q is not valid", e.path)
			}
			if got, plain := decodePath(encodePath(e.path)); got != e.path || plain {
				t.Errorf("path %q becomes %q", e.path, got)
			}
			if !m.tags && !strings.HasPrefix(e.path, payload) {
				t.Errorf("path %q is not in the payload", e.path)
			}
		}
	})
}

// The verifier neither panics nor calls a bag valid whose payload file is not
// the one of the manifest.
func FuzzVerify(f *testing.F) {
	const declared = "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
	f.Add(declared, "900150983cd24fb0d6963f7d28e17f72  data/abc\n", "", "Payload-Oxum: 3.1\n", "abc")
	f.Add(declared, "900150983cd24fb0d6963f7d28e17f72  data/abc\n", "https://shop.example/ - data/abc", "A: b\n c", "abd")
	f.Add("BagIt-Version: 0.97\r\nTag-File-Character-Encoding: UTF-16", "\xfe\xff\x00a", "", "", "")
	f.Fuzz(func(t *testing.T, declaration, manifest, fetch, info, content string) {
		bag := fstest.MapFS{
			"bagit.txt":        {Data: []byte(declaration)},
			"manifest-md5.txt": {Data: []byte(manifest)},
			"fetch.txt":        {Data: []byte(fetch)},
			"bag-info.txt":     {Data: []byte(info)},
			"data/abc":         {Data: []byte(content)},
		}
		report, err := Verify(t.Context(), bag)
		if err != nil {
			return
		}
		if report.Files != 1 || report.Bytes != int64(len(content)) {
			t.Errorf("%d files with %d bytes", report.Files, report.Bytes)
		}
		bag["data/abc"] = &fstest.MapFile{Data: []byte(content + "x")}
		if _, err := Verify(t.Context(), bag); err == nil {
			t.Error("a changed file passes")
		}
	})
}
