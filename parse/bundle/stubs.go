package bundle

import (
	"errors"
	"io"
)

var errLater = errors.New("not read yet")

func openMHTML(io.ReaderAt, int64, *builder) (store, error) { return nil, errLater }
func openWACZ(io.ReaderAt, int64, *builder) (store, error)  { return nil, errLater }
func openWARC(io.ReaderAt, int64, *builder) (store, error)  { return nil, errLater }

func isWARCMember(string) bool { return false }
