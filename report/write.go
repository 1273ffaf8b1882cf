package report

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"syscall"

	"counterfoil/parse/listing/until"
	"counterfoil/report/unfinished"
)

// File is one file of a report.
type File struct {
	// Name stands in the output folder; forward slashes lead into folders of it.
	Name string
	// Write streams the content. The writer is buffered and is closed by the
	// caller. Several files of one report are written at the same time, begun in
	// the order given. Nil means that the set has no file of this name: one that
	// an earlier run left is removed.
	Write func(io.Writer) error
}

// writers is how many files are written at the same time. The first are those
// that take longest; more would take the processors from them.
func writers() int { return runtime.GOMAXPROCS(0) + 1 }

// WriteError says which file of a report could not be written, what state the
// folder is in and what to do.
type WriteError struct {
	File string
	Err  error
	Hint string
}

func (e *WriteError) Error() string { return fmt.Sprintf("cannot write %s: %v", e.File, e.Err) }

func (e *WriteError) Unwrap() error { return e.Err }

const unchanged = "the previous report, if there was one, is unchanged; "

// Write puts a set of files into dir, making dir if needed. All files are
// first written whole to a folder beside their place and synced, then renamed,
// so that an error leaves the previous set as it was: if a rename fails, those
// done before are undone. Only a crash between two renames can leave a mixed
// set; the last file named is the last renamed. Files that the set no longer
// has are moved away among the renames, and come back with them. A folder in
// dir must be one, not a link that leads elsewhere; a folder that the removals
// leave empty goes too. Errors are *WriteError.
func Write(dir string, files ...File) error {
	return WriteContext(context.Background(), dir, files...)
}

// WriteContext is Write, but gives up when ctx ends before the renames begin:
// the previous set stays, and the error wraps that of ctx.
func WriteContext(ctx context.Context, dir string, files ...File) error {
	_, missing := os.Lstat(dir)
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return &WriteError{dir, err, "choose a folder that can be made with --out"}
	}
	temp, err := unfinished.Make(dir)
	if err != nil {
		return &WriteError{dir, err, unchanged + "make the folder writable or choose another with --out"}
	}
	err = write(ctx, dir, temp.Path, files)
	var lost *lostError
	if errors.As(err, &lost) {
		temp.Keep()
	} else {
		temp.Remove()
	}
	if err != nil && missing != nil {
		os.Remove(dir) // fails, rightly, when something is in it
	}
	return err
}

func write(ctx context.Context, dir, temp string, files []File) error {
	errs := make([]error, len(files))
	free := make(chan struct{}, writers())
	var wg sync.WaitGroup
	for i, f := range files {
		if !filepath.IsLocal(filepath.FromSlash(f.Name)) {
			errs[i] = errors.New("the name leads out of the folder")
		} else if f.Write != nil {
			free <- struct{}{}
			wg.Go(func() {
				errs[i] = writeWhole(ctx, filepath.Join(temp, f.Name), f.Write)
				<-free
			})
		}
	}
	wg.Wait()
	if err := ctx.Err(); err != nil {
		return &WriteError{dir, err, strings.TrimSuffix(unchanged, "; ")}
	}
	for i, err := range errs {
		if err != nil {
			return &WriteError{filepath.Join(dir, files[i].Name), err, unchanged + hintFor(err)}
		}
	}
	return replace(dir, temp, files)
}

func writeWhole(ctx context.Context, name string, write func(io.Writer) error) (err error) {
	if err := ctx.Err(); err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(name), 0o777); err != nil {
		return err
	}
	f, err := os.Create(name)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	w := bufio.NewWriterSize(until.Writer(ctx, f), 1<<16)
	if err := write(w); err != nil {
		return err
	}
	if err := w.Flush(); err != nil {
		return err
	}
	return f.Sync()
}

// replace renames the files from temp into dir, keeping the previous ones in
// temp until all are in place.
func replace(dir, temp string, files []File) error {
	kept := filepath.Join(temp, ".previous")
	var made []string // folders that were not there before
	done := 0
	var err error
	for ; done < len(files); done++ {
		if err = exchange(dir, temp, kept, files[done], &made); err != nil {
			break
		}
	}
	if err == nil {
		return settle(dir, files)
	}
	target := filepath.Join(dir, files[done].Name)
	if undo := restore(dir, kept, files[:done+1]); undo != nil {
		return &WriteError{target, &lostError{errors.Join(err, undo)}, "the previous report could not be put back; its files are in " + kept}
	}
	for _, folder := range slices.Backward(made) {
		os.Remove(folder)
	}
	return &WriteError{target, err, unchanged + hintFor(err)}
}

// exchange puts one new file in its place, or moves away one that the set no
// longer has. The previous one of a new file gets a second name first, so that
// there is no moment without a file.
func exchange(dir, temp, kept string, f File, made *[]string) error {
	target, old := filepath.Join(dir, f.Name), filepath.Join(kept, f.Name)
	if err := enter(dir, path.Dir(f.Name), f.Write != nil, made); err != nil {
		if f.Write == nil && errors.Is(err, fs.ErrNotExist) {
			return nil
		}
		return err
	}
	switch info, err := os.Lstat(target); {
	case errors.Is(err, fs.ErrNotExist):
		if f.Write == nil {
			return nil
		}
	case err != nil:
		return err
	case !info.Mode().IsRegular():
		return errors.New("something that is not a file has this name")
	default:
		if err := os.MkdirAll(filepath.Dir(old), 0o777); err != nil {
			return err
		}
		if f.Write == nil {
			return os.Rename(target, old)
		}
		if os.Link(target, old) != nil { // not every file system has hard links
			if err := os.Rename(target, old); err != nil {
				return err
			}
		}
	}
	return os.Rename(filepath.Join(temp, f.Name), target)
}

// enter makes sure that every step of folder is a folder of dir itself, making
// it if wanted.
func enter(dir, folder string, makeIt bool, made *[]string) error {
	if folder == "." {
		return nil
	}
	if err := enter(dir, path.Dir(folder), makeIt, made); err != nil {
		return err
	}
	name := filepath.Join(dir, folder)
	info, err := os.Lstat(name)
	switch {
	case errors.Is(err, fs.ErrNotExist) && makeIt:
		if err := os.Mkdir(name, 0o777); err != nil {
			return err
		}
		*made = append(*made, name)
		return nil
	case err != nil:
		return err
	case !info.IsDir():
		return fmt.Errorf("%s is not a folder", name)
	}
	return nil
}

// settle makes the new set last and takes away folders that it left empty.
func settle(dir string, files []File) error {
	folders := map[string]bool{".": true}
	for _, f := range files {
		folders[path.Dir(f.Name)] = true
	}
	for _, folder := range slices.Sorted(maps.Keys(folders)) {
		if err := syncDir(filepath.Join(dir, folder)); err != nil {
			return err
		}
	}
	for _, f := range files {
		if f.Write == nil && path.Dir(f.Name) != "." {
			os.Remove(filepath.Join(dir, path.Dir(f.Name))) // fails, rightly, when something is in it
		}
	}
	return nil
}

// restore undoes exchange. Of the last file only the old name may be missing:
// its new content never arrived.
func restore(dir, kept string, files []File) error {
	var errs error
	for i, f := range files {
		target := filepath.Join(dir, f.Name)
		err := os.Rename(filepath.Join(kept, f.Name), target)
		if errors.Is(err, fs.ErrNotExist) { // there was none before
			err = nil
			if i < len(files)-1 && f.Write != nil {
				err = os.Remove(target)
			}
		}
		errs = errors.Join(errs, err)
	}
	return errs
}

// lostError says that the previous report is still in the temporary folder,
// which must then stay.
type lostError struct{ error }

// syncDir makes the renames last. Not every file system can sync a folder;
// that is no failure.
func syncDir(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return nil
	}
	defer d.Close()
	if err := d.Sync(); err != nil && !errors.Is(err, errors.ErrUnsupported) && !errors.Is(err, syscall.EINVAL) {
		return &WriteError{dir, err, "the report is written, but may not survive a power failure; check the disk"}
	}
	return nil
}

func hintFor(err error) string {
	switch {
	case errors.Is(err, syscall.ENOSPC):
		return "free some space or choose another folder with --out"
	case errors.Is(err, fs.ErrPermission):
		return "close the file if it is open elsewhere, make the folder writable, or choose another with --out"
	}
	return "choose another folder with --out"
}
