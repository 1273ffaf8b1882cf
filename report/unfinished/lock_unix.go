//go:build unix && !aix && !solaris

package unfinished

import (
	"os"
	"syscall"
)

// lock takes the lock on an open file, and reports whether nobody else holds it.
func lock(f *os.File) bool {
	return syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB) == nil
}
