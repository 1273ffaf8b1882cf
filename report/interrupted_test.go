//go:build unix

package report_test

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/report"
	"counterfoil/report/unfinished"
)

// child runs a test of this file as a process of its own, which finds its folder
// in this variable.
const childVar = "COUNTERFOIL_TEST_CHILD"

func child(t *testing.T, name, dir string) *exec.Cmd {
	t.Helper()
	exe, err := os.Executable()
	require.NoError(t, err)
	c := exec.Command(exe, "-test.run", "^"+name+"$", "-test.v")
	c.Env = append(os.Environ(), childVar+"="+dir)
	return c
}

// reportFiles is how many files a report of these tests has; each is large
// enough to be written in many steps.
const (
	reportFiles = 12
	fileLines   = 20_000
)

// generation is a report all of whose lines carry its number; the account comes
// last, as that of an audit does.
func generation(n int) []report.File {
	var files []report.File
	for i := range reportFiles {
		name := fmt.Sprintf("pages/%02d", i)
		if i == reportFiles-1 {
			name = "run.json"
		}
		files = append(files, report.File{Name: name, Write: func(w io.Writer) error {
			for range fileLines {
				if _, err := fmt.Fprintf(w, "%08d\n", n); err != nil {
					return err
				}
			}
			return nil
		}})
	}
	return files
}

// wholeFiles gives the generation of each file of the report, and fails when
// one is not whole.
func wholeFiles(t *testing.T, dir string) map[string]int {
	t.Helper()
	of := map[string]int{}
	for name, text := range tree(t, dir) {
		if strings.HasPrefix(name, ".unfinished-") {
			continue
		}
		line, _, _ := strings.Cut(text, "\n")
		require.True(t, text == strings.Repeat(line+"\n", fileLines), "%s is whole and of one run", name)
		n := 0
		_, err := fmt.Sscan(line, &n)
		require.NoError(t, err)
		of[name] = n
	}
	require.Len(t, of, reportFiles)
	return of
}

// A process that is killed while it writes leaves the report that was there:
// every file is whole, and the account is never newer than a file it accounts
// for.
func TestKilledWhileWriting(t *testing.T) {
	if dir := os.Getenv(childVar); dir != "" {
		for n := 2; ; n++ {
			if err := report.Write(dir, generation(n)...); err != nil {
				fmt.Println(err)
				os.Exit(1)
			}
		}
	}
	dir := filepath.Join(t.TempDir(), "out")
	require.NoError(t, report.Write(dir, generation(1)...))
	for moment := range 6 {
		c := child(t, "TestKilledWhileWriting", dir)
		require.NoError(t, c.Start())
		require.Eventually(t, func() bool {
			begun, _ := filepath.Glob(filepath.Join(dir, ".unfinished-*", "pages", "*"))
			return len(begun) > moment
		}, time.Minute, time.Millisecond)
		require.NoError(t, c.Process.Kill())
		c.Wait()
		of := wholeFiles(t, dir)
		for name, n := range of {
			assert.Contains(t, []int{of["run.json"], of["run.json"] + 1}, n, "%s beside the account of run %d", name, of["run.json"])
		}
		require.NoError(t, report.Write(dir, generation(1)...), "the next run writes as ever")
		unfinished.Sweep(dir)
		left, err := filepath.Glob(filepath.Join(dir, ".unfinished-*"))
		require.NoError(t, err)
		for _, l := range left { // killed in the moment before it held its lock
			assert.NoFileExists(t, filepath.Join(l, ".lock"), "what the killed process left is removed")
		}
	}
}

// When no more can be written, as on a full disk, the report that was there
// stays, nothing unfinished is left, and the error names the file. The limit on
// the size of a file (setrlimit, POSIX) stands in for the end of the disk: it
// too makes a write fail after part of it was done.
func TestNoRoomToWrite(t *testing.T) {
	if dir := os.Getenv(childVar); dir != "" {
		signal.Ignore(syscall.SIGXFSZ)
		limit := syscall.Rlimit{Cur: 50_000, Max: 50_000}
		if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &limit); err != nil {
			fmt.Println("no limit:", err)
			os.Exit(1)
		}
		fmt.Println(report.Write(dir, generation(2)...))
		return
	}
	dir := filepath.Join(t.TempDir(), "out")
	require.NoError(t, report.Write(dir, generation(1)...))
	before := tree(t, dir)
	out, err := child(t, "TestNoRoomToWrite", dir).CombinedOutput()
	require.NoError(t, err, "%s", out)
	assert.Contains(t, string(out), "cannot write "+filepath.Join(dir, "pages", "00")+": ")
	assert.Contains(t, string(out), syscall.EFBIG.Error())
	assert.Equal(t, before, tree(t, dir))

	// The disk's own error carries the advice.
	full := report.File{Name: "run.json", Write: func(w io.Writer) error {
		if _, err := io.Copy(w, bytes.NewReader(make([]byte, 1<<20))); err != nil {
			return err
		}
		return &os.PathError{Op: "write", Path: "run.json", Err: syscall.ENOSPC}
	}}
	var we *report.WriteError
	require.ErrorAs(t, report.Write(dir, full), &we)
	assert.Contains(t, we.Hint, "the previous report, if there was one, is unchanged; free some space")
	assert.Equal(t, before, tree(t, dir))
}
