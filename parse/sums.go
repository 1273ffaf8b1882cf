package parse

import (
	"crypto/sha256"
	"encoding/binary"
	"path"
	"strings"
)

// sum stands for a text where many are compared: the first 64 bits of its
// SHA-256, so that nobody can write two texts of one sum.
type sum uint64

func sumOfText(parts ...string) sum {
	var room [256]byte
	b := room[:0]
	for _, p := range parts {
		b = append(append(b, p...), 0)
	}
	h := sha256.Sum256(b)
	return sum(binary.LittleEndian.Uint64(h[:]))
}

// names are the names of files, of which only whether they are there is asked.
type names map[sum]struct{}

func (n names) add(name string) { n[sumOfText(name)] = struct{}{} }

func (n names) has(name string) bool {
	_, ok := n[sumOfText(name)]
	return ok
}

// addStems notes a file that may be a page, so that a folder of saved files is
// told from a folder of captures.
func (n names) addStems(file string) {
	ext := path.Ext(file)
	switch strings.ToLower(ext) {
	case "", ".html", ".htm", ".xhtml", ".xht", ".shtml", ".php", ".asp", ".aspx", ".jsp", ".cgi":
		n.add(file[:len(file)-len(ext)])
		n.add(file)
	}
}
