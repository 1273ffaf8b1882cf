package bagit_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/report/pack/bagit"
)

func file(path, text string) bagit.File {
	sum := sha256.Sum256([]byte(text))
	return bagit.File{Path: path, Size: int64(len(text)), SHA256: hex.EncodeToString(sum[:]),
		Open: func() (io.ReadCloser, error) { return io.NopCloser(strings.NewReader(text)), nil }}
}

func write(t *testing.T, files ...bagit.File) (dir, seal string) {
	t.Helper()
	dir = filepath.Join(t.TempDir(), "bags", "one")
	seal, err := bagit.Write(t.Context(), dir, files, []bagit.Field{{Name: "External-Identifier", Value: "A-1\r\nInjected: yes"}})
	require.NoError(t, err)
	return dir, seal
}

func read(t *testing.T, parts ...string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(parts...))
	require.NoError(t, err)
	return string(data)
}

// The messages of FIPS 180-4 (NIST's example values for SHA-256: the empty
// message, 'abc', a million times 'a') stand in the manifest with their
// published checksums.
func TestManifestHoldsPublishedChecksums(t *testing.T) {
	dir, _ := write(t, file("empty", ""), file("abc", "abc"), file("sub/million", strings.Repeat("a", 1e6)))
	assert.Equal(t, ""+
		"ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad  data/abc\n"+
		"e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855  data/empty\n"+
		"cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0  data/sub/million\n",
		read(t, dir, "manifest-sha256.txt"))
	assert.Contains(t, read(t, dir, "manifest-sha512.txt"),
		"ddaf35a193617abacc417349ae20413112e6fa4e89a97ea20a9eeee64b55d39a2192992a274fc1a836ba3c23a3feebbd454d4423643ce80e2a9ac94fa54ca49f  data/abc\n")
	assert.Equal(t, "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n", read(t, dir, "bagit.txt"))
	assert.Equal(t, "External-Identifier: A-1 Injected: yes\nPayload-Oxum: 1000003.3\n", read(t, dir, "bag-info.txt"))
}

// sha256sum of the GNU core utilities accepts the manifests of a bag.
func TestSHA256SumAcceptsManifests(t *testing.T) {
	tool, err := exec.LookPath("sha256sum")
	if err != nil {
		absent(t, "sha256sum is not installed (package coreutils)")
	}
	dir, _ := write(t, file("a b.txt", "one"), file("sub/ü.bin", "\x00\xff"))
	for _, manifest := range []string{"manifest-sha256.txt", "tagmanifest-sha256.txt"} {
		cmd := exec.Command(tool, "--check", "--strict", manifest)
		cmd.Dir = dir
		out, err := cmd.CombinedOutput()
		assert.NoError(t, err, "%s", out)
	}
}

func TestSealIsTheChecksumOfTheTagManifest(t *testing.T) {
	dir, seal := write(t, file("a", "one"))
	sum := sha256.Sum256([]byte(read(t, dir, bagit.SealFile)))
	assert.Equal(t, hex.EncodeToString(sum[:]), seal)
	_, again := write(t, file("a", "one"))
	assert.Equal(t, seal, again, "same content, same bytes")
}

// Each change to a bag is named with the file it concerns.
func TestVerifyNamesTheFirstDifference(t *testing.T) {
	tests := []struct {
		name   string
		change func(t *testing.T, dir string)
		want   string
	}{
		{"nothing changed", func(*testing.T, string) {}, ""},
		{"one bit", overwrite("data/a", "onf"), "data/a: its sha256 is"},
		{"longer", overwrite("data/a", "one more"), "Payload-Oxum says 6 bytes in 2 files, the payload has 11 bytes in 2 files"},
		{"file removed", remove("data/sub/b"), "data/sub/b: does not exist; manifest-sha256.txt, line 2, lists it"},
		{"file added", overwrite("data/c", ""), "data/c: no payload manifest lists the file"},
		{"info changed", overwrite("bag-info.txt", "Payload-Oxum: 6.2\n"), "bag-info.txt: its sha256 is"},
		{"not in one manifest", cutLine("manifest-sha512.txt"), "data/a: manifest-sha512.txt does not list the file"},
		{"declared newer", overwrite("bagit.txt", "BagIt-Version: 2.0\nTag-File-Character-Encoding: UTF-8\n"), "version 2.0 is not known"},
		{"encoding unknown", overwrite("bagit.txt", "BagIt-Version: 1.0\nTag-File-Character-Encoding: KLINGON\n"), `the encoding "KLINGON" is not known`},
		{"manifest not in its encoding", overwrite("manifest-sha256.txt", "\xff"), "manifest-sha256.txt: is not UTF-8"},
		{"no manifests", func(t *testing.T, dir string) {
			remove("manifest-sha256.txt")(t, dir)
			remove("manifest-sha512.txt")(t, dir)
			remove("tagmanifest-sha256.txt")(t, dir)
			remove("tagmanifest-sha512.txt")(t, dir)
		}, "the bag has no payload manifest"},
		{"tag manifest without the manifests", cutAllBut("tagmanifest-sha512.txt", "bagit.txt"), "tagmanifest-sha512.txt: does not list manifest-sha256.txt"},
		{"payload gone", func(t *testing.T, dir string) { require.NoError(t, os.RemoveAll(filepath.Join(dir, "data"))) }, "data: the payload folder does not exist"},
		{"file turned into a link", func(t *testing.T, dir string) {
			remove("data/a")(t, dir)
			require.NoError(t, os.Symlink("sub/b", filepath.Join(dir, "data", "a")))
		}, "data/a: is not a regular file"},
		{"never fetched", overwrite("fetch.txt", "https://shop.example/x 3 data/x\n"), `fetch.txt, line 1: "data/x" was not fetched`},
		{"fetched with another length", overwrite("fetch.txt", "https://shop.example/x 4 data/a\n"), `fetch.txt, line 1: "data/a" has 3 bytes instead of 4`},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			dir, _ := write(t, file("a", "one"), file("sub/b", "two"))
			test.change(t, dir)
			report, err := bagit.Verify(t.Context(), os.DirFS(dir))
			if test.want == "" {
				require.NoError(t, err)
				assert.Equal(t, &bagit.Report{Version: "1.0", Algorithms: []string{"sha256", "sha512"}, Files: 2, Bytes: 6}, report)
				return
			}
			assert.ErrorContains(t, err, test.want)
		})
	}
}

func overwrite(name, text string) func(*testing.T, string) {
	return func(t *testing.T, dir string) {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666))
	}
}

func remove(name string) func(*testing.T, string) {
	return func(t *testing.T, dir string) { require.NoError(t, os.Remove(filepath.Join(dir, name))) }
}

func cutLine(name string) func(*testing.T, string) {
	return func(t *testing.T, dir string) {
		_, rest, _ := strings.Cut(read(t, dir, name), "\n")
		overwrite(name, rest)(t, dir)
	}
}

func cutAllBut(name, kept string) func(*testing.T, string) {
	return func(t *testing.T, dir string) {
		for line := range strings.Lines(read(t, dir, name)) {
			if strings.Contains(line, kept) {
				overwrite(name, line)(t, dir)
			}
		}
	}
}

// CR, LF and the percent sign in a path are percent-encoded in manifests, and
// nothing else is (RFC 8493, section 2.1.3).
func TestPathsArePercentEncoded(t *testing.T) {
	dir, _ := write(t, file("a\r\nb %41.txt", "one"))
	assert.Contains(t, read(t, dir, "manifest-sha256.txt"), "  data/a%0D%0Ab %2541.txt\n")
	_, err := bagit.Verify(t.Context(), os.DirFS(dir))
	assert.NoError(t, err)
}

// A bag of MD5 and SHA-1 manifests, Windows line ends, and lines ended by CR
// alone. The MD5 of 'abc' is from RFC 1321, the SHA-1 from FIPS 180-4.
func TestOlderAlgorithmsAndLineEnds(t *testing.T) {
	for _, end := range []string{"\n", "\r\n", "\r"} {
		bag := fstest.MapFS{
			"bagit.txt":         {Data: []byte("BagIt-Version: 1.0" + end + "Tag-File-Character-Encoding: UTF-8" + end)},
			"manifest-md5.txt":  {Data: []byte("900150983CD24FB0D6963F7D28E17F72\tdata/abc" + end)},
			"manifest-sha1.txt": {Data: []byte("a9993e364706816aba3e25717850c26c9cd0d89d  data/abc" + end)},
			"data/abc":          {Data: []byte("abc")},
		}
		report, err := bagit.Verify(t.Context(), bag)
		require.NoError(t, err)
		assert.Equal(t, []string{"md5", "sha1"}, report.Algorithms)
		bag["manifest-blake2b512.txt"] = &fstest.MapFile{Data: []byte("00 data/abc" + end)}
		report, err = bagit.Verify(t.Context(), bag)
		require.NoError(t, err)
		assert.Contains(t, report.Warnings[0], "blake2b512 is not known here")
		delete(bag, "manifest-md5.txt")
		delete(bag, "manifest-sha1.txt")
		_, err = bagit.Verify(t.Context(), bag)
		assert.ErrorContains(t, err, "nothing can be checked")
	}
}

func TestWriteRefuses(t *testing.T) {
	for _, path := range []string{"../a", "/a", "a/../../b", "", ".", `..\a`, "~/a", "C:a"} {
		dir := filepath.Join(t.TempDir(), "bag")
		_, err := bagit.Write(t.Context(), dir, []bagit.File{file(path, "x")}, nil)
		assert.ErrorContains(t, err, "is not a path for a bag", path)
		assert.NoDirExists(t, dir)
	}
	dir := filepath.Join(t.TempDir(), "bag")
	_, err := bagit.Write(t.Context(), dir, []bagit.File{file("a", "x"), file("A", "y")}, nil)
	assert.ErrorContains(t, err, "one path to some file systems")

	_, err = bagit.Write(t.Context(), t.TempDir(), []bagit.File{file("a", "x")}, nil)
	assert.ErrorIs(t, err, fs.ErrExist)
}

// A capture that changed between reading and packing stops the package, and
// nothing of it stays.
func TestWriteLeavesNothingOfABagThatFails(t *testing.T) {
	for name, changed := range map[string]string{"longer": "one and more", "other": "onf", "shorter": "on"} {
		t.Run(name, func(t *testing.T) {
			parent := t.TempDir()
			f := file("b", "one")
			f.Open = func() (io.ReadCloser, error) { return io.NopCloser(bytes.NewReader([]byte(changed))), nil }
			_, err := bagit.Write(t.Context(), filepath.Join(parent, "bag"), []bagit.File{file("a", "x"), f}, nil)
			assert.ErrorContains(t, err, "changed since it was read")
			left, err := os.ReadDir(parent)
			require.NoError(t, err)
			assert.Empty(t, left)
		})
	}
}

// A bag with a thousand names that differ in letter case only is warned of
// without a flood.
func TestWarningsAreBounded(t *testing.T) {
	bag := fstest.MapFS{"bagit.txt": {Data: []byte("BagIt-Version: 0.97\nTag-File-Character-Encoding: UTF-8\n")}, "data/x": {}}
	var manifest strings.Builder
	for i := range 1000 {
		for _, name := range []string{fmt.Sprintf("data/a%d", i), fmt.Sprintf("data/A%d", i)} {
			bag[name] = &fstest.MapFile{}
			fmt.Fprintf(&manifest, "d41d8cd98f00b204e9800998ecf8427e %s\n", name) // MD5 of nothing, RFC 1321
		}
	}
	fmt.Fprint(&manifest, "d41d8cd98f00b204e9800998ecf8427e data/x\n")
	bag["manifest-md5.txt"] = &fstest.MapFile{Data: []byte(manifest.String())}
	report, err := bagit.Verify(t.Context(), bag)
	require.NoError(t, err)
	assert.Len(t, report.Warnings, 102)
	assert.Contains(t, report.Warnings, "data: further warnings are left out")
}

// Writing and checking read each byte three times: to copy it, to check it as
// it stands on disk, and to check it later.
func BenchmarkWriteAndVerify(b *testing.B) {
	const size = 64 << 20
	text := strings.Repeat("0123456789abcdef", size/16)
	f := file("a", text)
	b.SetBytes(size)
	for n := 0; b.Loop(); n++ {
		dir := filepath.Join(b.TempDir(), fmt.Sprint(n))
		if _, err := bagit.Write(b.Context(), dir, []bagit.File{f}, nil); err != nil {
			b.Fatal(err)
		}
		if _, err := bagit.Verify(b.Context(), os.DirFS(dir)); err != nil {
			b.Fatal(err)
		}
	}
}
