package bundle

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

func names(a *Archive) []string {
	var list []string
	for _, e := range a.Entries() {
		list = append(list, e.Name)
	}
	return list
}

// rawZip writes one member with any header.
func rawZip(t testing.TB, h zip.FileHeader, data string) []byte {
	t.Helper()
	var buf bytes.Buffer
	w := zip.NewWriter(&buf)
	h.CompressedSize64 = uint64(len(data))
	if h.UncompressedSize64 == 0 {
		h.UncompressedSize64 = uint64(len(data))
	}
	if h.CRC32 == 0 {
		h.CRC32 = crc32.ChecksumIEEE([]byte(data))
	}
	m, err := w.CreateRaw(&h)
	require.NoError(t, err)
	_, err = io.WriteString(m, data)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	return buf.Bytes()
}

func TestZipRefusesHostileMembers(t *testing.T) {
	link := zip.FileHeader{Name: "link.html"}
	link.SetMode(fs.ModeSymlink | 0o777)
	pipe := zip.FileHeader{Name: "pipe"}
	pipe.SetMode(fs.ModeNamedPipe | 0o644)
	for _, tc := range []struct {
		h      zip.FileHeader
		reason string
	}{
		{zip.FileHeader{Name: "../up.html"}, "its path leads out of the archive"},
		{zip.FileHeader{Name: "a/../../up.html"}, "its path leads out of the archive"},
		{zip.FileHeader{Name: "a/.."}, "its path leads out of the archive"},
		{zip.FileHeader{Name: "/etc/passwd"}, "its path leads out of the archive"},
		{zip.FileHeader{Name: "C:/x.html"}, "its path leads out of the archive"},
		{zip.FileHeader{Name: "c:x.html"}, "its path leads out of the archive"},
		{zip.FileHeader{Name: `a\b.html`}, "its path contains a backslash, which some systems take for a folder"},
		{zip.FileHeader{Name: `..\b.html`}, "its path contains a backslash, which some systems take for a folder"},
		{zip.FileHeader{Name: "a\x00.html"}, "its path contains a NUL character"},
		{zip.FileHeader{Name: "a//b.html"}, "its path has empty or dot parts"},
		{zip.FileHeader{Name: "./b.html"}, "its path has empty or dot parts"},
		{zip.FileHeader{Name: ""}, "it has no name"},
		{link, "a symbolic link; links are not followed"},
		{pipe, "not a regular file"},
		{zip.FileHeader{Name: "a.html", Method: 12}, "packed by method 12, which is not read"},
		{zip.FileHeader{Name: "a.html", UncompressedSize64: 77}, "the stated sizes contradict each other"},
	} {
		t.Run(tc.h.Name, func(t *testing.T) {
			a, problems := openBytes(rawZip(t, tc.h, "<html>"), "all.zip")
			require.NotNil(t, a)
			assert.Empty(t, a.Entries())
			require.Equal(t, []string{tc.reason}, reasons(problems))
			assert.Equal(t, listing.Refused, problems[0].Severity)
			assert.Equal(t, "all.zip", problems[0].File)
		})
	}
}

// TestZipEncrypted reads archives that Info-ZIP's zip made.
func TestZipEncrypted(t *testing.T) {
	exe, err := exec.LookPath("zip")
	if err != nil {
		absent(t, "zip is absent: install it (Debian package zip)")
	}
	dir := t.TempDir()
	for _, name := range []string{"a.html", "b.html", "c.html"} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte("<html>"+name), 0o600))
	}
	zipUp := func(args ...string) (*Archive, []listing.Problem) {
		cmd := exec.Command(exe, append([]string{"-q", "x.zip"}, args...)...)
		cmd.Dir = dir
		require.NoError(t, cmd.Run())
		return openFile(t, filepath.Join(dir, "x.zip"))
	}
	a, problems := zipUp("-P", "secret", "a.html", "b.html")
	assert.Nil(t, a)
	assert.Equal(t, []string{"encrypted: all 2 entries need a password"}, reasons(problems))
	a, problems = zipUp("c.html")
	require.NotNil(t, a)
	assert.Equal(t, []string{"c.html"}, names(a))
	const one = "encrypted; it can be read only after unpacking with its password"
	assert.Equal(t, []string{one, one}, reasons(problems))
	require.NoError(t, os.Symlink("/etc/passwd", filepath.Join(dir, "link.html")))
	_, problems = zipUp("-y", "link.html")
	assert.Contains(t, reasons(problems), "a symbolic link; links are not followed")
}

func TestZipReadsAndResolves(t *testing.T) {
	a, problems := openBytes(zipOf(t, file{"saved/", ""}, file{"saved/offer 1.html", "<html>"}, file{"saved/offer 1_files/f\u00fc.jpg", "photo"},
		file{"top.jpg", "top"}, file{"__MACOSX/saved/._offer", "x"}, file{"top.jpg", "second"}, file{"100%.png", "percent"}), "all.zip")
	require.NotNil(t, a)
	assert.Equal(t, []string{"a further entry of the same name", "1 entries in which a file manager keeps its own notes; not read"}, reasons(problems))
	assert.Equal(t, []string{"saved/offer 1.html", "saved/offer 1_files/f\u00fc.jpg", "top.jpg", "top.jpg (2)", "100%.png"}, names(a))
	page := "saved/offer 1.html"
	for ref, want := range map[string]string{
		"offer 1_files/f\u00fc.jpg":               "photo",
		"./offer%201_files/f%C3%BC.jpg?v=1#x":     "photo",
		`offer 1_files\fu` + "\u0308" + `.jpg`:    "photo", // decomposed letters
		"../top.jpg":                              "top",
		"../100%.png":                             "percent",
		"offer%201_files/../offer 1_files/fü.jpg": "photo",
	} {
		e, err := a.Resolve(page, ref)
		require.NoError(t, err, ref)
		assert.Equal(t, want, string(e.Data), ref)
	}
	for ref, want := range map[string]error{
		"../../etc/passwd": ErrOutside, "%2e%2e/%2e%2e/x": ErrOutside, "file:///x": ErrOutside, "C:/x": ErrOutside, "a\x00": ErrOutside,
		"https://shop.example/a.jpg": ErrRemote, "//shop.example/a.jpg": ErrRemote, "/a.jpg": ErrRemote, "none.jpg": ErrNotFound, "": ErrNotFound,
	} {
		_, err := a.Resolve(page, ref)
		assert.ErrorIs(t, err, want, ref)
	}
	e, err := a.Read("top.jpg (2)")
	require.NoError(t, err)
	assert.Equal(t, "second", string(e.Data))
	_, err = a.Read("nothing")
	assert.ErrorIs(t, err, ErrNotFound)
}

func TestZipNames(t *testing.T) {
	raw := "f\x81r.html" // "für" in code page 437
	assert.Equal(t, "für.html", zipName(raw, true, nil))
	field := binary.LittleEndian.AppendUint16(nil, 0x7075)
	field = binary.LittleEndian.AppendUint16(field, uint16(5+len("дом.html")))
	field = append(field, 1)
	field = binary.LittleEndian.AppendUint32(field, crc32.ChecksumIEEE([]byte(raw)))
	field = append(field, "дом.html"...)
	assert.Equal(t, "дом.html", zipName(raw, true, field))
	field[5]++ // the field belongs to an earlier name
	assert.Equal(t, "für.html", zipName(raw, true, field))
	assert.Equal(t, "für.html", zipName(raw, true, field[:7]))
}

// TestZipAgainstPython writes an archive with Python's zipfile and compares the
// list and the checksums.
func TestZipAgainstPython(t *testing.T) {
	path := filepath.Join(t.TempDir(), "made.zip")
	var want []struct {
		Name string
		Size int
		CRC  uint32
	}
	python(t, `
import sys, json, zipfile
with zipfile.ZipFile(sys.argv[1], "w") as z:
    for i in range(300):
        z.writestr("folder %d/%s/seite-%d.html" % (i % 7, "Größe" if i % 2 else "size", i), ("<p>%d</p>" % i) * i,
                   zipfile.ZIP_DEFLATED if i % 3 else zipfile.ZIP_STORED)
z = zipfile.ZipFile(sys.argv[1])
print(json.dumps([{"name": m.filename, "size": m.file_size, "crc": m.CRC} for m in z.infolist()]))`, &want, path)
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	a, problems := openBytes(data, "made.zip")
	require.NotNil(t, a)
	assert.Empty(t, problems)
	check := func(t *testing.T, a *Archive, n int) {
		entries, problems := readAll(a)
		assert.Empty(t, problems)
		require.Len(t, entries, n)
		for i, e := range entries {
			assert.Equal(t, want[i].Name, e.Name)
			assert.Len(t, e.Data, want[i].Size)
			assert.Equal(t, want[i].CRC, crc32.ChecksumIEEE(e.Data))
		}
	}
	check(t, a, len(want))

	t.Run("without its list", func(t *testing.T) {
		at := bytes.Index(data, []byte("PK\x01\x02"))
		a, problems := openBytes(data[:at], "cut.zip")
		require.NotNil(t, a)
		assert.Equal(t, []string{"the archive's list of entries is missing or damaged; 300 entries were found by reading from the start, up to one that is cut off"}, reasons(problems))
		check(t, a, len(want))
	})
	t.Run("cut in half", func(t *testing.T) {
		a, problems := openBytes(data[:len(data)/3], "cut.zip")
		require.NotNil(t, a)
		require.Len(t, problems, 1)
		assert.Equal(t, listing.Partial, problems[0].Severity)
		assert.Greater(t, len(a.Entries()), 50)
		check(t, a, len(a.Entries()))
	})
}

func TestZipWithoutListAndSizes(t *testing.T) {
	data := zipOf(t, file{"a.html", strings.Repeat("<p>a</p>", 1000)}, file{"b.html", "<p>b</p>"}, file{"c.html", "<p>c</p>"})
	at := bytes.Index(data, []byte("PK\x01\x02"))
	a, problems := openBytes(data[:at], "cut.zip") // the writer puts sizes behind the data
	require.NotNil(t, a)
	require.Len(t, problems, 1)
	entries, problems := readAll(a)
	assert.Empty(t, problems)
	assert.Equal(t, []string{"a.html", "b.html", "c.html"}, names(a))
	assert.Equal(t, "<p>c</p>", string(entries[2].Data))

	a, problems = openBytes(data[:60], "cut.zip")
	assert.Nil(t, a)
	require.Len(t, problems, 1)
	assert.Equal(t, listing.Refused, problems[0].Severity)
}

func TestZipDamagedMembers(t *testing.T) {
	sound := rawZip(t, zip.FileHeader{Name: "a.html"}, "<html>text")
	for name, tc := range map[string]struct {
		change func([]byte)
		reason string
	}{
		"changed data":   {func(b []byte) { b[bytes.Index(b, []byte("text"))]++ }, "its checksum is wrong"},
		"no header":      {func(b []byte) { b[0] = 'X' }, ""},
		"header outside": {func(b []byte) { binary.LittleEndian.PutUint32(b[bytes.Index(b, []byte("PK\x01\x02"))+42:], 1<<30) }, ""},
	} {
		t.Run(name, func(t *testing.T) {
			data := bytes.Clone(sound)
			tc.change(data)
			lim := Limits{}.withDefaults()
			a := &Archive{name: "all.zip", budget: newBudget(lim, int64(len(data)))}
			b := &builder{a: a, seen: map[string]int{}}
			var err error
			a.store, err = openZip(bytes.NewReader(data), int64(len(data)), b)
			require.NoError(t, err)
			require.Len(t, a.entries, 1)
			_, err = a.readAt(0)
			require.Error(t, err)
			p, ok := err.(listing.Problem)
			require.True(t, ok)
			assert.Contains(t, p.Reason, firstOf(tc.reason, "its header is damaged"))
			assert.Equal(t, "a.html", p.Entry)
		})
	}
	packed := zipOf(t, file{"a.html", strings.Repeat("<p>some text</p>", 300)})
	packed[45] ^= 0xff
	a, _ := openBytes(packed, "all.zip")
	require.NotNil(t, a)
	entries, problems := readAll(a)
	assert.Empty(t, entries)
	require.Len(t, problems, 1)
	assert.Equal(t, listing.Refused, problems[0].Severity)
}

func TestZipBombs(t *testing.T) {
	zeros := string(make([]byte, 8<<20))
	t.Run("by ratio", func(t *testing.T) {
		a, problems := openBytes(zipOf(t, file{"pad.bin", zeros[:1<<20]}, file{"bomb.csv", zeros}), "bomb.zip")
		require.NotNil(t, a)
		assert.Empty(t, problems)
		_, err := a.Read("bomb.csv")
		require.Error(t, err)
		assert.Contains(t, err.Error(), "unpacks to more than 200 times its size")
		r, err := a.Stream("bomb.csv")
		require.NoError(t, err)
		n, err := io.Copy(io.Discard, r)
		require.Error(t, err)
		assert.Less(t, n, int64(3<<20))
	})
	t.Run("by entry", func(t *testing.T) {
		data := zipOf(t, file{"big.csv", zeros})
		a, _ := Open(bytes.NewReader(data), int64(len(data)), "big.zip", Limits{Entry: 1 << 20})
		_, err := a.Read("big.csv")
		require.Error(t, err)
		assert.Contains(t, err.Error(), "larger than the limit of 1 MiB")
	})
	t.Run("by total", func(t *testing.T) {
		var files []file
		for i := range 10 {
			files = append(files, file{fmt.Sprintf("%d.csv", i), zeros[:900<<10]}) // each below RatioFrom
		}
		data := zipOf(t, files...)
		a, _ := Open(bytes.NewReader(data), int64(len(data)), "big.zip", Limits{Total: 4 << 20})
		entries, problems := readAll(a)
		assert.LessOrEqual(t, len(entries), 4)
		assert.Contains(t, reasons(problems), "the container unpacks to more than the limit")
		// What was read can be read again.
		_, err := a.Read("0.csv")
		assert.NoError(t, err)
	})
	t.Run("by a lying size", func(t *testing.T) {
		data := zipOf(t, file{"a.csv", zeros[:100]})
		at := bytes.Index(data, []byte("PK\x01\x02"))
		binary.LittleEndian.PutUint32(data[at+24:], 5)
		a, _ := openBytes(data, "lie.zip")
		_, err := a.Read("a.csv")
		require.Error(t, err)
		assert.Contains(t, err.Error(), "it has 100 bytes and not the stated 5")
	})
	t.Run("by count", func(t *testing.T) {
		data := zipOf(t, file{"1", "a"}, file{"2", "b"}, file{"3", "c"})
		a, problems := Open(bytes.NewReader(data), int64(len(data)), "many.zip", Limits{Entries: 2})
		require.NotNil(t, a)
		assert.Len(t, a.Entries(), 2)
		assert.Equal(t, []string{"more than 2 entries; the rest is not read"}, reasons(problems))
	})
	t.Run("by its list", func(t *testing.T) {
		data := zipOf(t, file{strings.Repeat("n", 60_000), ""}, file{"2", "b"})
		c := &capped{r: bytes.NewReader(data)}
		c.left.Store(100)
		_, err := zip.NewReader(c, int64(len(data)))
		assert.ErrorIs(t, err, errDirectory)
	})
	t.Run("by shared bytes", func(t *testing.T) {
		// Many entries that point at the same packed bytes: each is harmless.
		data := zipOf(t, file{"a", zeros[:1<<20]})
		at := bytes.Index(data, []byte("PK\x01\x02"))
		end := bytes.Index(data, []byte("PK\x05\x06"))
		dir := bytes.Repeat(data[at:end], 2000)
		eocd := bytes.Clone(data[end:])
		binary.LittleEndian.PutUint16(eocd[8:], 2000)
		binary.LittleEndian.PutUint16(eocd[10:], 2000)
		binary.LittleEndian.PutUint32(eocd[12:], uint32(len(dir)))
		data = append(append(bytes.Clone(data[:at]), dir...), eocd...)
		a, _ := openBytes(data, "shared.zip")
		require.NotNil(t, a)
		assert.Len(t, a.Entries(), 2000)
		read := 0
		problems := a.Each(func(Entry) error { read++; return nil })
		assert.Less(t, read, 40)
		assert.Contains(t, reasons(problems), "the container unpacks to more than the limit")
	})
}

func TestNested(t *testing.T) {
	innermost := zipOf(t, file{"c.html", "<html>"})
	inner := zipOf(t, file{"b.html", "<html>b"}, file{"innermost.zip", string(innermost)}, file{"../x", ""})
	a, problems := openBytes(zipOf(t, file{"inner.zip", string(inner)}, file{"page.mhtml", "From: <Saved by x>\nContent-Type: text/html\nContent-Location: https://shop.example/1\n\n<html>"}), "outer.zip")
	require.Empty(t, problems)

	n, problems := a.Nested("inner.zip")
	require.NotNil(t, n)
	assert.Equal(t, []string{"inner.zip!b.html", "inner.zip!innermost.zip"}, names(n))
	require.Len(t, problems, 1)
	assert.Equal(t, "inner.zip!../x", problems[0].Entry)
	assert.Equal(t, "outer.zip", problems[0].File)
	e, err := n.Read("inner.zip!b.html")
	require.NoError(t, err)
	assert.Equal(t, "<html>b", string(e.Data))

	deeper, problems := n.Nested("inner.zip!innermost.zip")
	assert.Nil(t, deeper)
	require.Len(t, problems, 1)
	assert.Contains(t, problems[0].Reason, "only one level is opened")

	m, problems := a.Nested("page.mhtml")
	require.NotNil(t, m)
	assert.Empty(t, problems)
	assert.Equal(t, []string{"page.mhtml!https://shop.example/1"}, names(m))
}
