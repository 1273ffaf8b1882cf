package parse

import (
	"archive/zip"
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/bundle"
	"counterfoil/parse/listing"
)

func base64Of(data []byte) string { return base64.StdEncoding.EncodeToString(data) }

// zipOf packs files in the order of their names.
func zipOf(t testing.TB, content map[string]string) []byte {
	t.Helper()
	var buf bytes.Buffer
	z := zip.NewWriter(&buf)
	names := make([]string, 0, len(content))
	for name := range content {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		w, err := z.Create(name)
		require.NoError(t, err)
		_, err = w.Write([]byte(content[name]))
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	return buf.Bytes()
}

// mixture is a folder with a bit of everything.
func mixture(t testing.TB) {
	t.Helper()
	one, two, three := string(picture(1)), string(picture(2)), string(picture(3))
	content := map[string]string{
		"in/a.html": page("a1", "a_files/1.png", "a_files/2.png"), "in/a_files/1.png": one, "in/a_files/2.png": two, "in/a_files/x.js": "var x;",
		"in/deep/er/b.html":          page("b1", "../../a_files/1.png", "b-Dateien/1.png"),
		"in/deep/er/b-Dateien/1.png": three,
		"in/inline.html":             page("c1", "data:image/png;base64,"+base64Of(picture(4))),
		"in/pack.zip":                string(zipOf(t, map[string]string{"p/d.html": page("d1", "d_files/1.png"), "p/d_files/1.png": one, "t.csv": "listing_id,title,price,currency,photo_files\nz1,T,3.00,EUR,p/d_files/1.png\n"})),
		"in/offers.csv":              "listing_id,title,price,currency,photo_files\nt1,T,1.00,EUR,photos/1.png=serial-plate;photos/none.png\nt2,T,x,EUR,\n",
		"in/photos/1.png":            two, "in/photos/unused.png": three,
		"in/lines.json": `[{"title":"J","price":"5.00","currency":"EUR"}]`,
		"in/empty.csv":  "", "in/rubbish": "\x00\x01\x02", "in/.hidden.csv": "x",
	}
	for i := range 30 {
		content[fmt.Sprintf("in/many/%02d.html", i)] = page(fmt.Sprintf("m%d", i), "../a_files/1.png", "shared/1.png")
	}
	content["in/many/shared/1.png"] = two
	files(t, content)
	require.NoError(t, os.Symlink("a.html", "in/link.html"))
	// The file system's times do not differ from run to run.
	require.NoError(t, filepath.Walk("in", func(p string, _ os.FileInfo, err error) error {
		return errors.Join(err, os.Chtimes(p, time.Unix(1e9, 0), time.Unix(1e9, 0)))
	}))
}

func TestMixture(t *testing.T) {
	mixture(t)
	b := read(t, Options{Jobs: 1}, "in")
	want := []string{"a1", "b1", "c1", "d1", "z1", "t1", "t2"}
	var keys []string
	for _, l := range b.Listings {
		keys = append(keys, l.Key)
	}
	for _, k := range want {
		assert.Contains(t, keys, k)
	}
	assert.Len(t, b.Listings, 38, said(b))
	for _, text := range []string{"in/empty.csv: the file is empty", "in/rubbish: neither", "in/.hidden.csv: a hidden",
		"in/link.html: a symbolic link", "in/photos/unused.png: a photo that no page", "no such photo file beside the table",
		`"x" is not a sum of money`, "the reference leaves the page's folder"} {
		assert.Contains(t, said(b), text)
	}
	for _, jobs := range []int{2, 8, 0} {
		assert.Equal(t, dump(t, b), dump(t, read(t, Options{Jobs: jobs}, "in")), "%d jobs", jobs)
	}
	for _, l := range b.Listings {
		for i := range l.Photos {
			_, _, _, err := b.Thumbnail(&l.Photos[i], 40)
			assert.NoError(t, err, l.Photos[i].File)
		}
	}
}

// Pages in one container each have a first inline picture; pictures in a
// container in a container are found again for a report.
func TestPicturesInArchives(t *testing.T) {
	inline := func(id string, seed int) string { return page(id, "data:image/png;base64,"+base64Of(picture(seed))) }
	inner := string(zipOf(t, map[string]string{"c.html": page("c", "c_files/1.png"), "c_files/1.png": string(picture(3)), "d.html": inline("d", 4)}))
	files(t, map[string]string{"in/x.zip": string(zipOf(t, map[string]string{"a.html": inline("a", 1), "b.html": inline("b", 2), "inner.zip": inner}))})
	b := read(t, Options{}, "in")
	require.Len(t, b.Listings, 4, said(b))
	seen := map[string]string{}
	for _, l := range b.Listings {
		require.Len(t, l.Photos, 1, l.Key)
		p := &l.Photos[0]
		assert.Empty(t, seen[p.SHA256], "%s has the picture of %s", l.Key, seen[p.SHA256])
		seen[p.SHA256] = l.Key
		data, err := b.Bytes(p)
		require.NoError(t, err, p.Entry)
		sum := sha256.Sum256(data)
		assert.Equal(t, p.SHA256, hex.EncodeToString(sum[:]), p.Entry)
		_, _, _, err = b.Thumbnail(p, 40)
		assert.NoError(t, err)
	}
}

// The order of the inputs changes nothing.
func TestOrderOfInputs(t *testing.T) {
	mixture(t)
	assert.Equal(t, dump(t, read(t, Options{}, "in/a.html", "in/deep", "in/many")), dump(t, read(t, Options{}, "in/many", "in/deep", "in/a.html")))
}

func TestFifo(t *testing.T) {
	mkfifo, err := exec.LookPath("mkfifo")
	if err != nil {
		absent(t, "mkfifo is absent: install it (Debian package coreutils)")
	}
	files(t, map[string]string{"in/a.html": page("1", "a_files/pipe.png"), "in/a_files/s.css": ""})
	for _, name := range []string{"in/pipe.csv", "in/a_files/pipe.png"} {
		require.NoError(t, exec.Command(mkfifo, name).Run())
	}
	require.NoError(t, os.Symlink("pipe.csv", "in/link"))
	done := make(chan *Batch, 1)
	go func() {
		b, _ := Read(context.Background(), []string{"in", "in/pipe.csv", "in/link"}, Options{})
		done <- b
	}()
	select {
	case b := <-done:
		require.NotNil(t, b)
		defer b.Close()
		assert.Len(t, b.Listings, 1)
		assert.Contains(t, said(b), "in/pipe.csv: not a regular file")
	case <-time.After(20 * time.Second):
		t.Fatal("the intake waits for a pipe")
	}
}

func TestUnreadableFile(t *testing.T) {
	if runtime.GOOS == "windows" || os.Geteuid() == 0 {
		t.Skip("the user root may read everything; run the test as another user")
	}
	files(t, map[string]string{"in/a.html": page("1"), "in/b.html": page("2"), "in/shut/c.html": page("3")})
	require.NoError(t, os.Chmod("in/b.html", 0))
	require.NoError(t, os.Chmod("in/shut", 0))
	t.Cleanup(func() { _ = os.Chmod("in/shut", 0o755) })
	b := read(t, Options{}, "in")
	assert.Len(t, b.Listings, 1)
	assert.Contains(t, said(b), "in/b.html: permission denied")
	assert.Contains(t, said(b), "in/shut: permission denied")
}

// A file that is gone or has grown between the walk and its reading, which any
// user can be shown.
func TestFilesThatChange(t *testing.T) {
	files(t, map[string]string{"in/a.html": page("1"), "in/b.html": page("2"), "in/c.csv": "title,price\nT,1.00\n"})
	tr, err := walk(context.Background(), []string{"in"})
	require.NoError(t, err)
	defer tr.close()
	require.NoError(t, os.Remove("in/a.html"))
	require.NoError(t, os.Remove("in/c.csv"))
	require.NoError(t, os.WriteFile("in/b.html", []byte(page("2")+strings.Repeat(" ", 5000)), 0o644))
	in := &intake{opt: Options{limits: limits{page: 4000}.withDefaults()}, album: newAlbum(nil), pages: names{}}
	outcomes := make([]outcome, len(tr.sources))
	for i, s := range tr.sources {
		outcomes[i] = in.read(context.Background(), s)
	}
	b := in.gather(tr, outcomes)
	assert.Empty(t, b.Listings)
	assert.Contains(t, said(b), "in/a.html: no such file or directory")
	assert.Contains(t, said(b), "in/b.html: larger than the limit")
	assert.Contains(t, said(b), "in/c.csv: no such file or directory")
}

func TestCancel(t *testing.T) {
	content := map[string]string{}
	for i := range 400 {
		content[fmt.Sprintf("in/%03d.html", i)] = page(fmt.Sprint(i)) + strings.Repeat("<p>text of a page</p>", 3000)
	}
	files(t, content)
	ctx, cancel := context.WithCancel(context.Background())
	b, err := Read(ctx, []string{"in"}, Options{Progress: func(p Progress) {
		if p.Files == 3 {
			cancel()
		}
	}})
	assert.ErrorIs(t, err, context.Canceled)
	assert.Nil(t, b)
	_, err = Read(ctx, []string{"in"}, Options{})
	assert.ErrorIs(t, err, context.Canceled)
}

// What cannot be interrupted is not waited for.
func TestCancelDoesNotWait(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	block := make(chan struct{})
	defer close(block)
	in := &intake{opt: Options{Jobs: 2}}
	started := make(chan struct{}, 3)
	returned := make(chan error, 1)
	go func() {
		returned <- in.each(ctx, []*source{{}, {}, {}}, func(int, *source) {
			started <- struct{}{}
			<-block
		})
	}()
	<-started
	cancel()
	select {
	case err := <-returned:
		assert.ErrorIs(t, err, context.Canceled)
	case <-time.After(20 * time.Second):
		t.Fatal("the intake waits for a file after it was told to stop")
	}
}

// A table in an archive is read as it unpacks, however large.
func TestLargeTableInAnArchive(t *testing.T) {
	var rows strings.Builder
	rows.WriteString("listing_id,title,price,currency,photo_files\n")
	for i := range 10_000 {
		fmt.Fprintf(&rows, "r%d,Turbocharger %d for a car with a long name%s,%d.50,EUR,%s\n", i, i, strings.Repeat(" and more", 8), 100+i*7919%900, []string{"", "p/1.png"}[i/9_999])
	}
	table := rows.String()
	require.Greater(t, len(table), 1<<20)
	files(t, map[string]string{"in/x.zip": string(zipOf(t, map[string]string{"t.csv": table, "p/1.png": string(picture(1))})), "in/y.csv.gz": gzipped(t, strings.ReplaceAll(table, "\nr", "\ng"))})
	b := read(t, Options{limits: limits{bundle: bundle.Limits{Entry: 1 << 20}}}, "in")
	require.Len(t, b.Listings, 20_000, said(b))
	l := b.Listings[10_000-1]
	assert.Equal(t, "in/x.zip t.csv 10001", fmt.Sprint(l.File, " ", l.Entry, " ", l.Row))
	sum := sha256.Sum256([]byte(table))
	assert.Equal(t, hex.EncodeToString(sum[:]), l.SHA256)
	require.Len(t, l.Photos, 1)
	assert.Equal(t, "p/1.png", l.Photos[0].Entry)
	assert.Contains(t, b.Captures, listing.Capture{File: "in/x.zip", Entry: "t.csv", SHA256: l.SHA256, Size: int64(len(table)), Kind: kindTable,
		Modified: b.Captures[0].Modified, Listings: 10_000})
}
