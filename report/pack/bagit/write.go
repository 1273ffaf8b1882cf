package bagit

import (
	"bufio"
	"cmp"
	"context"
	"crypto/sha256"
	"crypto/sha512"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"counterfoil/parse/listing/until"
	"counterfoil/report/unfinished"
)

// File is one payload file of a bag to be written.
type File struct {
	Path   string // below data/, with forward slashes
	Size   int64  // bytes
	SHA256 string // lower-case hex
	// Open gives the bytes. They must have the size and the checksum above,
	// else nothing is written.
	Open func() (io.ReadCloser, error)
}

// Write makes a bag of version 1.0 at dir, which must not exist: it appears
// whole or not at all. Payload-Oxum is added to info. The result is the bag's
// seal, the SHA-256 of [SealFile] in lower-case hex. The bag is checked as it
// stands on disk before it appears.
func Write(ctx context.Context, dir string, files []File, info []Field) (seal string, err error) {
	if _, err := os.Lstat(dir); err == nil {
		return "", fmt.Errorf("%s: %w", dir, fs.ErrExist)
	}
	if err := checkFiles(files); err != nil {
		return "", err
	}
	parent := filepath.Dir(dir)
	if err := os.MkdirAll(parent, 0o777); err != nil {
		return "", err
	}
	temp, err := unfinished.Make(parent)
	if err != nil {
		return "", err
	}
	defer temp.Remove()
	made := filepath.Join(temp.Path, "bag")
	if err := os.MkdirAll(filepath.Join(made, "data"), 0o777); err != nil {
		return "", err
	}
	root, err := os.OpenRoot(made)
	if err != nil {
		return "", err
	}
	defer root.Close()
	w := &writer{ctx: ctx, root: root}
	if seal, err = w.bag(files, info); err != nil {
		return "", err
	}
	if _, err := Verify(ctx, root.FS()); err != nil {
		return "", fmt.Errorf("the bag does not stand on disk as it was written: %w", err)
	}
	if err := os.Rename(made, dir); err != nil {
		return "", err
	}
	return seal, syncDir(parent)
}

// checkFiles refuses paths that lead out of the bag or that some file systems
// take for one.
func checkFiles(files []File) error {
	seen := map[string]string{}
	for _, f := range files {
		if !fs.ValidPath(f.Path) || f.Path == "." || unsafeIn(f.Path) != "" {
			return fmt.Errorf("%q is not a path for a bag", f.Path)
		}
		if other, ok := seen[fold(f.Path)]; ok {
			return fmt.Errorf("%q and %q are one path to some file systems", other, f.Path)
		}
		seen[fold(f.Path)] = f.Path
	}
	return nil
}

type writer struct {
	ctx  context.Context
	root *os.Root
}

// sums are the checksums of one file of the bag.
type sums struct {
	path           string // in the bag
	sha256, sha512 string
	size           int64
}

func (w *writer) bag(files []File, info []Field) (seal string, err error) {
	var listed []sums
	var total int64
	for _, f := range files {
		s, err := w.payload(f)
		if err != nil {
			return "", err
		}
		listed = append(listed, s)
		total += s.size
	}
	info = append(slices.Clone(info), Field{"Payload-Oxum", fmt.Sprintf("%d.%d", total, len(files))})
	var tags []sums
	for _, t := range []struct{ name, text string }{
		{"bagit.txt", "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"},
		{"bag-info.txt", formatInfo(info)},
		{"manifest-sha256.txt", formatManifest(listed, func(s sums) string { return s.sha256 })},
		{"manifest-sha512.txt", formatManifest(listed, func(s sums) string { return s.sha512 })},
	} {
		s, err := w.file(t.name, strings.NewReader(t.text))
		if err != nil {
			return "", err
		}
		tags = append(tags, s)
	}
	s, err := w.file(SealFile, strings.NewReader(formatManifest(tags, func(s sums) string { return s.sha256 })))
	if err != nil {
		return "", err
	}
	_, err = w.file("tagmanifest-sha512.txt", strings.NewReader(formatManifest(tags, func(s sums) string { return s.sha512 })))
	return s.sha256, err
}

// formatManifest writes a manifest sorted by path, in the form that sha256sum
// reads.
func formatManifest(list []sums, digest func(sums) string) string {
	list = slices.Clone(list)
	slices.SortFunc(list, func(a, b sums) int { return cmp.Compare(a.path, b.path) })
	var b strings.Builder
	for _, s := range list {
		fmt.Fprintf(&b, "%s  %s\n", digest(s), encodePath(s.path))
	}
	return b.String()
}

func (w *writer) payload(f File) (sums, error) {
	r, err := f.Open()
	if err != nil {
		return sums{}, err
	}
	defer r.Close()
	// One byte more than there should be shows a file that has grown.
	s, err := w.file(payload+f.Path, io.LimitReader(r, f.Size+1))
	switch {
	case err != nil:
		return sums{}, err
	case s.size != f.Size || s.sha256 != f.SHA256:
		return sums{}, fmt.Errorf("%s: its SHA-256 is no longer %s; the file has changed since it was read", f.Path, f.SHA256)
	}
	return s, nil
}

func (w *writer) file(name string, r io.Reader) (s sums, err error) {
	if err := w.root.MkdirAll(path.Dir(name), 0o777); err != nil {
		return sums{}, err
	}
	f, err := w.root.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return sums{}, err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	short, long := sha256.New(), sha512.New()
	buffered := bufio.NewWriterSize(f, 1<<18)
	n, err := io.Copy(io.MultiWriter(buffered, short, long), until.Reader(w.ctx, r))
	if err == nil {
		err = buffered.Flush()
	}
	if err == nil {
		err = f.Sync()
	}
	return sums{name, hex.EncodeToString(short.Sum(nil)), hex.EncodeToString(long.Sum(nil)), n}, err
}

// syncDir makes a rename last where the file system can.
func syncDir(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return nil
	}
	defer d.Close()
	d.Sync() // not every file system can sync a folder; that is no failure
	return nil
}
