package report

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"regexp"
)

// LeftPages lists by name the pages of an earlier run in a folder of an output
// folder: regular files of the right name that carry the mark in their first
// kilobyte. Nothing else is ever taken for one and removed. Without an output
// folder, or where it cannot be read, there are none.
func LeftPages(out, folder string, form *regexp.Regexp, mark string) (list []string) {
	if out == "" {
		return nil
	}
	dir := filepath.Join(out, folder)
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil
	}
	for _, e := range entries {
		if e.Type().IsRegular() && form.MatchString(e.Name()) && carriesMark(filepath.Join(dir, e.Name()), mark) {
			list = append(list, e.Name())
		}
	}
	return list
}

func carriesMark(name, mark string) bool {
	f, err := os.Open(name)
	if err != nil {
		return false
	}
	defer f.Close()
	head, _ := io.ReadAll(io.LimitReader(f, 1024))
	return bytes.Contains(head, []byte(mark))
}
