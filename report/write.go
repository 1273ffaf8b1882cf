package report

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"syscall"
)

// File is one file of a report.
type File struct {
	Name string // in the output folder
	// Write streams the content. The writer is buffered and is closed by the
	// caller. Files of one report are written at the same time.
	Write func(io.Writer) error
}

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
// set; the last file named is the last renamed. Errors are *WriteError.
func Write(dir string, files ...File) error {
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return &WriteError{dir, err, "choose a folder that can be made with --out"}
	}
	temp, err := os.MkdirTemp(dir, ".unfinished-*")
	if err != nil {
		return &WriteError{dir, err, unchanged + "make the folder writable or choose another with --out"}
	}
	err = write(dir, temp, files)
	var lost *lostError
	if !errors.As(err, &lost) {
		os.RemoveAll(temp)
	}
	return err
}

func write(dir, temp string, files []File) error {
	errs := make([]error, len(files))
	var wg sync.WaitGroup
	for i, f := range files {
		wg.Go(func() { errs[i] = writeWhole(filepath.Join(temp, f.Name), f.Write) })
	}
	wg.Wait()
	for i, err := range errs {
		if err != nil {
			return &WriteError{filepath.Join(dir, files[i].Name), err, unchanged + hintFor(err)}
		}
	}
	return replace(dir, temp, files)
}

func writeWhole(name string, write func(io.Writer) error) (err error) {
	f, err := os.Create(name)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	w := bufio.NewWriterSize(f, 1<<18)
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
	err := os.Mkdir(kept, 0o777)
	done := 0
	for ; err == nil && done < len(files); done++ {
		if err = exchange(dir, temp, kept, files[done].Name); err != nil {
			break
		}
	}
	if err == nil {
		return syncDir(dir)
	}
	target := filepath.Join(dir, files[done].Name)
	if undo := restore(dir, kept, files[:done+1]); undo != nil {
		return &WriteError{target, &lostError{errors.Join(err, undo)}, "the previous report could not be put back; its files are in " + kept}
	}
	return &WriteError{target, err, unchanged + hintFor(err)}
}

// exchange puts one new file in its place. The previous one gets a second name
// first, so that there is no moment without a file.
func exchange(dir, temp, kept, name string) error {
	target, old := filepath.Join(dir, name), filepath.Join(kept, name)
	switch info, err := os.Lstat(target); {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return err
	case !info.Mode().IsRegular():
		return errors.New("something that is not a file has this name")
	default:
		if os.Link(target, old) != nil { // not every file system has hard links
			if err := os.Rename(target, old); err != nil {
				return err
			}
		}
	}
	return os.Rename(filepath.Join(temp, name), target)
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
			if i < len(files)-1 {
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
