package parse

import (
	"os"
	"time"
)

// sourceList keeps sources in little memory: their names lie one behind the
// other.
type sourceList struct {
	roots []*os.Root
	names []byte
	list  []listedSource
}

// listedSource is a source in the list.
type listedSource struct {
	size, modified  int64 // modified in nanoseconds since 1970
	name            int   // where in the names it begins
	long, rel, root int32 // lengths of the name and of its end that lies below the root; index of the root
}

func (l *sourceList) add(s *source) {
	if n := len(l.roots); n == 0 || l.roots[n-1] != s.root {
		l.roots = append(l.roots, s.root)
	}
	l.list = append(l.list, listedSource{s.size, s.modified.UnixNano(), len(l.names), int32(len(s.name)), int32(len(s.rel)), int32(len(l.roots) - 1)})
	l.names = append(l.names, s.name...)
}

func (l *sourceList) name(i int) string {
	x := &l.list[i]
	return string(l.names[x.name:][:x.long])
}

// source makes a source again.
func (l *sourceList) source(i int) *source {
	x := &l.list[i]
	name := l.name(i)
	return &source{name: name, root: l.roots[x.root], rel: name[x.long-x.rel:], size: x.size, modified: time.Unix(0, x.modified).UTC()}
}

// bytes is the size of all files.
func (l *sourceList) bytes() (n int64) {
	for i := range l.list {
		n += l.list[i].size
	}
	return n
}
