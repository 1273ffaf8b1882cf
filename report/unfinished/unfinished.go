// Package unfinished keeps what is being written apart from what is done, in hidden
// folders, and removes those that killed processes have left.
//
// A process holds a lock on a file in its folder, which the system gives free when
// the process ends, however it ends. A folder whose lock can be had belongs to
// nobody. One without such a file is never removed, nor any where the system has no
// such locks.
package unfinished

import (
	"os"
	"path/filepath"
	"slices"
)

const (
	pattern  = ".unfinished-*"
	lockName = ".lock"
)

// Folder is a hidden folder of this process.
type Folder struct {
	Path string
	lock *os.File // nil when there is none
}

// Make makes a hidden folder in dir.
func Make(dir string) (*Folder, error) {
	path, err := os.MkdirTemp(dir, pattern)
	if err != nil {
		return nil, err
	}
	f := &Folder{Path: path}
	// The lock appears under its name once it is held, so that nobody can come
	// between.
	held := filepath.Join(path, lockName+"-new")
	if f.lock, err = os.Create(held); err == nil && (!lock(f.lock) || os.Rename(held, filepath.Join(path, lockName)) != nil) {
		f.lock.Close()
		os.Remove(held)
		f.lock = nil
	}
	return f, nil
}

// Remove removes the folder with all that is in it.
func (f *Folder) Remove() error {
	err := os.RemoveAll(f.Path)
	f.unlock()
	return err
}

// Keep leaves the folder where it is, for a person to look into: [Sweep] will not
// remove it.
func (f *Folder) Keep() {
	os.Remove(filepath.Join(f.Path, lockName))
	f.unlock()
}

func (f *Folder) unlock() {
	if f.lock != nil {
		f.lock.Close()
	}
}

// Sweep removes the hidden folders in dir that processes left which are no more, and
// gives their names, sorted. What cannot be removed stays.
func Sweep(dir string) (removed []string) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil
	}
	for _, e := range entries {
		if ok, err := filepath.Match(pattern, e.Name()); err != nil || !ok || !e.IsDir() {
			continue
		}
		if sweep(filepath.Join(dir, e.Name())) {
			removed = append(removed, e.Name())
		}
	}
	slices.Sort(removed)
	return removed
}

func sweep(path string) bool {
	name := filepath.Join(path, lockName)
	if info, err := os.Lstat(name); err != nil || !info.Mode().IsRegular() {
		return false
	}
	f, err := os.OpenFile(name, os.O_RDWR, 0)
	if err != nil {
		return false
	}
	defer f.Close()
	return lock(f) && os.RemoveAll(path) == nil
}
