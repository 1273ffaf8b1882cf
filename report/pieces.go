package report

import (
	"bytes"
	"io"
	"runtime"
	"sync"
)

// inPieces has the lines 0 to n-1 written on all processors, size at a time, from
// to to without to, and puts them to w in their order. It ends with the first error
// in that order.
func inPieces(w io.Writer, n, size int, write func(text *bytes.Buffer, from, to int) error) error {
	type piece struct {
		text *bytes.Buffer
		err  error
	}
	spare := sync.Pool{New: func() any { return new(bytes.Buffer) }}
	queue := make(chan chan piece, runtime.GOMAXPROCS(0)-1) // with the first, so many are at work
	ended := make(chan struct{})
	defer close(ended)
	go func() {
		defer close(queue)
		for from := 0; from < n; from += size {
			done := make(chan piece, 1)
			select {
			case queue <- done:
			case <-ended:
				return
			}
			go func() {
				text := spare.Get().(*bytes.Buffer)
				text.Reset()
				done <- piece{text, write(text, from, min(from+size, n))}
			}()
		}
	}()
	for done := range queue {
		p := <-done
		if p.err != nil {
			return p.err
		}
		if _, err := w.Write(p.text.Bytes()); err != nil {
			return err
		}
		spare.Put(p.text)
	}
	return nil
}
