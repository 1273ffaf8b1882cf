package photocache

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"sync"
)

// maxPage is the largest entry of a drawer, in bytes.
const maxPage = 4 << 20

// Drawer holds entries too large to be kept in memory, each in a file of its
// own that begins with the SHA-256 of its name and content. A file that is
// damaged or cut short is passed over and written anew. It is safe for
// concurrent use, by several processes too.
type Drawer struct {
	dir string

	mu     sync.Mutex
	failed error // of the first write that failed
}

// Pages gives the drawer of what this build of the program read from pages. The
// hash of the program's own file names it, for any change of the program may
// change what is read from a page.
func (c *Cache) Pages() (*Drawer, error) {
	program, err := programHash()
	if err != nil {
		return nil, err
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.drawer == nil {
		c.drawer = &Drawer{dir: filepath.Join(c.dir, "pages-"+program[:16])}
	}
	return c.drawer, nil
}

var programHash = sync.OnceValues(func() (string, error) {
	name, err := os.Executable()
	if err != nil {
		return "", err
	}
	f, err := os.Open(name)
	if err != nil {
		return "", err
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return "", err
	}
	return hex.EncodeToString(h.Sum(nil)), nil
})

func (d *Drawer) file(name string) string { return filepath.Join(d.dir, name[:2], name) }

// Get gives the entry of a hash in lower-case hex, if there is a sound one.
func (d *Drawer) Get(name string) ([]byte, bool) {
	if _, ok := key(name); !ok {
		return nil, false
	}
	f, err := os.Open(d.file(name))
	if err != nil {
		return nil, false
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, sha256.Size+maxPage+1))
	if err != nil || len(data) < sha256.Size || len(data) > sha256.Size+maxPage {
		return nil, false
	}
	value := data[sha256.Size:]
	return value, bytes.Equal(data[:sha256.Size], seal(name, value))
}

// Put stores an entry. What cannot be stored is read again next time; see
// [Cache.Close].
func (d *Drawer) Put(name string, value []byte) {
	if _, ok := key(name); !ok || len(value) > maxPage {
		return
	}
	if err := d.write(name, value); err != nil {
		d.mu.Lock()
		defer d.mu.Unlock()
		if d.failed == nil {
			d.failed = fmt.Errorf("entry of a page: %w", err)
		}
	}
}

// write puts the whole file in place at once.
func (d *Drawer) write(name string, value []byte) (err error) {
	to := d.file(name)
	if err := os.MkdirAll(filepath.Dir(to), 0o777); err != nil {
		return err
	}
	f, err := os.CreateTemp(filepath.Dir(to), "new-*")
	if err != nil {
		return err
	}
	_, err = f.Write(append(seal(name, value), value...))
	if err = errors.Join(err, f.Close()); err == nil {
		err = os.Rename(f.Name(), to)
	}
	if err != nil {
		_ = os.Remove(f.Name())
	}
	return err
}

func seal(name string, value []byte) []byte {
	h := sha256.New()
	io.WriteString(h, name)
	h.Write(value)
	return h.Sum(nil)
}

func (d *Drawer) error() error {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.failed
}
