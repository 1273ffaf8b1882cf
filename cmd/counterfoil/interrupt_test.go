//go:build unix

package main

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/fixtures/export"
)

// Ctrl-C ends a run in the middle of its input: it says how far it came, leaves
// no output, and a run with the same cache ends like one that was never stopped.
func TestInterrupted(t *testing.T) {
	const pages = 1000
	dir := t.TempDir()
	in, cache, out := filepath.Join(dir, "in"), filepath.Join(dir, "cache"), filepath.Join(dir, "out")
	require.NoError(t, os.Mkdir(in, 0o755))
	page := "<title>Halden turbocharger</title><h1>Halden turbocharger</h1><div class=price>EUR 905.00</div>" +
		strings.Repeat("<p class=text>Delivered with <b>gaskets</b>.</p>", 300)
	first := filepath.Join(in, "0.html")
	require.NoError(t, os.WriteFile(first, []byte(page), 0o644))
	for i := 1; i < pages; i++ {
		require.NoError(t, os.Link(first, filepath.Join(in, fmt.Sprintf("%d.html", i))))
	}

	var stderr bytes.Buffer
	c := exec.Command("counterfoil", "audit", in, "--out", out, "--cache", cache)
	c.Stderr = &stderr
	require.NoError(t, c.Start())
	for range 60_000 { // until a page is counted: of those kept each reader may have one that is not yet
		if kept, _ := filepath.Glob(filepath.Join(cache, "pages-*", "*", "*")); len(kept) > runtime.GOMAXPROCS(0) {
			break
		}
		time.Sleep(time.Millisecond)
	}
	require.NoError(t, c.Process.Signal(os.Interrupt))
	var exit *exec.ExitError
	require.ErrorAs(t, c.Wait(), &exit)
	assert.Equal(t, exitFailed, exit.ExitCode())
	assert.Regexp(t, `stopped after reading \d+ of 1000 files; nothing was written\. The cache keeps`, stderr.String())
	_, err := os.Stat(out)
	assert.True(t, errors.Is(err, os.ErrNotExist), "no output")

	again, err := exec.Command("counterfoil", "extract", in, "--quiet", "--cache", cache).Output()
	require.NoError(t, err)
	fresh, err := exec.Command("counterfoil", "extract", in, "--quiet").Output()
	require.NoError(t, err)
	assert.True(t, len(fresh) > 0 && bytes.Equal(fresh, again), "%d and %d bytes", len(fresh), len(again))
}

// It ends a run while the listings are weighed and while the report is written,
// too, and leaves nothing.
func TestInterruptedLater(t *testing.T) {
	dir := t.TempDir()
	in, temp := filepath.Join(dir, "export.csv"), filepath.Join(dir, "temp")
	require.NoError(t, os.Mkdir(temp, 0o755))
	f, err := os.Create(in)
	require.NoError(t, err)
	require.NoError(t, export.Write(f, 20_000, 1, nil))
	require.NoError(t, f.Close())
	for _, stage := range []string{"weighing", "writing the report"} {
		out := filepath.Join(dir, "out", stage)
		c := exec.Command("counterfoil", "audit", in, "--out", out, "--rows", "20000")
		c.Env = append(os.Environ(), "TMPDIR="+temp)
		stderr, err := c.StderrPipe()
		require.NoError(t, err)
		require.NoError(t, c.Start())
		lines, said := bufio.NewScanner(stderr), ""
		for lines.Scan() {
			said = lines.Text()
			if strings.Contains(said, stage) {
				require.NoError(t, c.Process.Signal(os.Interrupt))
			}
		}
		var exit *exec.ExitError
		require.ErrorAs(t, c.Wait(), &exit, stage)
		assert.Equal(t, exitFailed, exit.ExitCode(), stage)
		assert.Equal(t, "counterfoil: stopped; nothing was written", said, stage)
		_, err = os.Stat(out)
		assert.True(t, errors.Is(err, os.ErrNotExist), "no output: %s", stage)
		left, err := os.ReadDir(temp)
		require.NoError(t, err)
		assert.Empty(t, left, stage)
	}
}
