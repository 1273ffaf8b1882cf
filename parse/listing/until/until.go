// Package until ends reading and writing with a context.
package until

import (
	"context"
	"io"
)

// Reader reads from r until ctx ends.
func Reader(ctx context.Context, r io.Reader) io.Reader { return reader{ctx, r} }

type reader struct {
	ctx context.Context
	r   io.Reader
}

func (u reader) Read(p []byte) (int, error) {
	if err := u.ctx.Err(); err != nil {
		return 0, err
	}
	return u.r.Read(p)
}

// Writer writes to w until ctx ends.
func Writer(ctx context.Context, w io.Writer) io.Writer { return writer{ctx, w} }

type writer struct {
	ctx context.Context
	w   io.Writer
}

func (u writer) Write(p []byte) (int, error) {
	if err := u.ctx.Err(); err != nil {
		return 0, err
	}
	return u.w.Write(p)
}
