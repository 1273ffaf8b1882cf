package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"sync"
	"time"

	"github.com/mattn/go-isatty"

	"counterfoil/parse"
)

// progress tells on stderr how far the intake and the rules are: a line that is written over
// on a terminal, one plain line a stage elsewhere, nothing when quiet.
type progress struct {
	w        io.Writer
	quiet    bool
	terminal bool

	mu    sync.Mutex
	start time.Time
	last  time.Time
	verb  string // of the line
	drawn bool
	read  int // files
	total int
}

func newProgress(w io.Writer, quiet bool) *progress {
	return &progress{w: w, quiet: quiet, terminal: isTerminal(w)}
}

const reading = "reading"

// redraw is the least time between two writings of the line.
const redraw = 100 * time.Millisecond

// step is called by the intake, from several goroutines.
func (p *progress) step(now parse.Progress) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.read, p.total = max(p.read, now.Files), now.OfFiles
	p.draw(reading, fmt.Sprintf("%d of %d files, %.1f of %.1f MB", now.Files, now.OfFiles, float64(now.Bytes)/1e6, float64(now.OfBytes)/1e6),
		now.Bytes, now.OfBytes)
}

// weighed is called while the rules run, from several goroutines.
func (p *progress) weighed(done, total int) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.draw("applying the rules", fmt.Sprintf("%d of %d listings", done, total), int64(done), int64(total))
}

// draw writes the line over; the time left counts from the first line with its
// verb.
func (p *progress) draw(verb, text string, done, total int64) {
	if verb != p.verb {
		p.verb, p.start = verb, time.Now()
	}
	if p.quiet || !p.terminal || time.Since(p.last) < redraw && done < total {
		return
	}
	p.last = time.Now()
	left := ""
	if elapsed := time.Since(p.start); done > 0 && elapsed > time.Second {
		rate := float64(done) / elapsed.Seconds()
		each := fmt.Sprintf("%.0f", rate)
		if verb == reading {
			each = fmt.Sprintf("%.1f MB", rate/1e6)
		}
		left = fmt.Sprintf(", %s a second, %s left", each, (time.Duration(float64(total-done)/rate) * time.Second).Round(time.Second))
	}
	fmt.Fprintf(p.w, "\r\x1b[K%s: %s%s", verb, text, left)
	p.drawn = true
}

// done takes the line away.
func (p *progress) done() {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.drawn {
		fmt.Fprint(p.w, "\r\x1b[K")
		p.drawn = false
	}
}

// intakeDone ends the intake.
func (p *progress) intakeDone() {
	p.done()
	if !p.quiet && !p.terminal {
		fmt.Fprintf(p.w, "counterfoil: read %d files\n", p.total)
	}
}

// leaveOff gives what do gives, or the error of ctx as soon as that ends. What
// do has begun then goes on until the program ends, which is next: it must
// write nothing.
func leaveOff[T any](ctx context.Context, do func() (T, error)) (T, error) {
	type answer struct {
		value T
		err   error
	}
	done := make(chan answer, 1)
	go func() {
		value, err := do()
		done <- answer{value, err}
	}()
	select {
	case a := <-done:
		return a.value, a.err
	case <-ctx.Done():
		var none T
		return none, ctx.Err()
	}
}

// halted is a run that the user stopped, with what to say about it.
type halted struct {
	error
	text string
}

func (h halted) Unwrap() error { return h.error }

// halted adds to an error of the intake how far it came, if the user stopped it.
// cache is the folder that keeps what was read, or "".
func (p *progress) halted(err error, cache string) error {
	if !errors.Is(err, context.Canceled) {
		return err
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	text := "stopped; no file was read and nothing was written"
	if p.total > 0 {
		text = fmt.Sprintf("stopped after reading %d of %d files; nothing was written", p.read, p.total)
		if cache != "" {
			text += ". The cache keeps what was read: the same command goes on from there"
		}
	}
	return halted{err, text}
}

// line says what the program does next.
func (p *progress) line(format string, args ...any) {
	if !p.quiet {
		fmt.Fprintf(p.w, "counterfoil: "+format+"\n", args...)
	}
}

func isTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	return ok && isatty.IsTerminal(f.Fd())
}

// terminalWidth is the number of columns the summary is fitted to.
const terminalWidth = 100
