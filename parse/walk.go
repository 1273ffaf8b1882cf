package parse

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"counterfoil/parse/listing"
)

// source is one file of the input, not yet read. It is opened through a root,
// so that no link can lead out of the folder the user named.
type source struct {
	name     string // as reports print it: the argument joined with the path below it
	root     *os.Root
	rel      string // path below root, with forward slashes
	size     int64
	modified time.Time
	counted  int64 // bytes that were told of while they were read
}

// read gives the whole file, which may have at most limit bytes.
func (s *source) read(limit int64) ([]byte, error) {
	if s.size > limit {
		return nil, tooLarge{s.size, limit}
	}
	f, err := s.root.Open(s.rel)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data := make([]byte, s.size, s.size+1)
	n, err := io.ReadFull(f, data)
	data = data[:n]
	if err == io.EOF || err == io.ErrUnexpectedEOF { // it is shorter now
		return data, nil
	}
	for err == nil { // it may have grown
		var k int
		k, err = f.Read(data[len(data):cap(data)])
		if data = data[:len(data)+k]; int64(len(data)) > limit {
			return nil, tooLarge{int64(len(data)), limit}
		}
		if len(data) == cap(data) {
			data = slices.Grow(data, sniffSize)
		}
	}
	if err == io.EOF {
		err = nil
	}
	return data, err
}

type tooLarge struct{ size, limit int64 }

func (e tooLarge) Error() string {
	return fmt.Sprintf("larger than the limit of %d MiB for a file of this kind", e.limit>>20)
}

// tree is the input as found on disk.
type tree struct {
	sources  []*source
	found    func(*source)
	problems []listing.Problem
	roots    []*os.Root
	seen     map[string]bool // absolute paths
}

func (t *tree) close() {
	for _, r := range t.roots {
		r.Close()
	}
}

// walk finds all files of the inputs in lexical order. Special files and links
// are refused with a problem, but for a link that the user named: it is followed
// as far as it stays in its own folder; a file that two inputs name is read once. An
// input that does not exist is an error, since it is a slip of the command
// line and not of the data.
func walk(ctx context.Context, inputs []string) (*tree, error) {
	t := &tree{seen: map[string]bool{}}
	t.found = func(s *source) { t.sources = append(t.sources, s) }
	return t, t.walk(ctx, inputs)
}

// walkTo is walk for a caller who keeps the sources.
func walkTo(ctx context.Context, inputs []string, found func(*source)) (*tree, error) {
	t := &tree{seen: map[string]bool{}, found: found}
	return t, t.walk(ctx, inputs)
}

func (t *tree) walk(ctx context.Context, inputs []string) error {
	for _, input := range inputs {
		if err := t.add(ctx, input); err != nil {
			t.close()
			return err
		}
	}
	t.seen = nil
	return nil
}

func (t *tree) add(ctx context.Context, input string) error {
	info, err := os.Stat(input)
	if err != nil {
		var p *fs.PathError
		if errors.As(err, &p) {
			err = p.Err
		}
		return fmt.Errorf("%s: %w", input, err)
	}
	dir, start := input, "."
	if !info.IsDir() {
		dir, start = filepath.Split(input)
		if dir == "" {
			dir = "."
		}
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return err
	}
	t.roots = append(t.roots, root)
	prefix := filepath.ToSlash(filepath.Clean(dir))
	real, err := filepath.EvalSymlinks(dir)
	if err != nil {
		return err
	}
	if real, err = filepath.Abs(real); err != nil {
		return err
	}
	link := false
	if info, err := os.Lstat(input); err == nil && start != "." {
		link = info.Mode()&fs.ModeSymlink != 0
	}
	return fs.WalkDir(root.FS(), start, func(rel string, d fs.DirEntry, err error) error {
		if ctx.Err() != nil {
			return ctx.Err()
		}
		name := rel
		if prefix != "." {
			name = path.Join(prefix, rel)
		}
		switch {
		case err != nil && link:
			t.refuse(name, "a symbolic link that leads out of its folder; not followed", "name the file it points to")
			return nil
		case err != nil:
			t.refuse(name, reasonOf(err), "check that the file may be read")
			if d != nil && d.IsDir() {
				return fs.SkipDir
			}
			return nil
		}
		abs := filepath.Join(real, filepath.FromSlash(rel))
		if !d.IsDir() && t.seen[abs] {
			return nil
		}
		if hidden := strings.HasPrefix(d.Name(), ".") && rel != "."; d.IsDir() && hidden {
			if !t.seen[abs] {
				t.notice(name, "a hidden folder; not read")
			}
			t.seen[abs] = true
			return fs.SkipDir
		}
		if d.IsDir() {
			return nil
		}
		t.seen[abs] = true
		t.file(root, rel, name, d, rel == start)
		return nil
	})
}

// file takes one file. named says that the user named it.
func (t *tree) file(root *os.Root, rel, name string, d fs.DirEntry, named bool) {
	switch {
	case isClutter(d.Name()) && !named:
		t.notice(name, "a hidden or system file; not read")
		return
	case d.Type()&fs.ModeSymlink != 0:
		t.refuse(name, "a symbolic link; links are not followed", "copy the file it points to into the folder")
		return
	}
	info, err := root.Stat(rel)
	switch {
	case err != nil:
		t.refuse(name, reasonOf(err), "check that the file may be read")
	case !info.Mode().IsRegular():
		t.refuse(name, "not a regular file", "")
	default:
		t.found(&source{name: name, root: root, rel: rel, size: info.Size(), modified: info.ModTime().UTC()})
	}
}

func (t *tree) notice(name, reason string) {
	t.problems = append(t.problems, listing.Problem{Severity: listing.Notice, File: name, Reason: reason})
}

func (t *tree) refuse(name, reason, hint string) {
	t.problems = append(t.problems, listing.Problem{Severity: listing.Refused, File: name, Reason: reason, Hint: hint})
}

// isClutter names files that file managers leave behind.
func isClutter(name string) bool {
	return strings.HasPrefix(name, ".") || strings.EqualFold(name, "Thumbs.db") || strings.EqualFold(name, "desktop.ini")
}

// reasonOf drops the path from a file system error, since the problem names it
// already.
func reasonOf(err error) string {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err.Error()
	}
	return err.Error()
}
