package bundle

import (
	"archive/zip"
	"bufio"
	"encoding/binary"
	"fmt"
	"io"
	"io/fs"

	"github.com/klauspost/compress/flate"
)

// scanZip finds members by their local headers (APPNOTE.TXT 4.3.7), for an
// archive whose directory at the end is lost. It says at what it stopped short
// of the end, "" when it came to the directory.
func scanZip(r io.ReaderAt, size int64, b *budget) (members []zipMember, stopped string) {
	for at := int64(0); len(members) <= b.lim.Entries; {
		m, next, stop := localMember(r, at, size, b)
		if next == 0 {
			return members, stop
		}
		members = append(members, m)
		at = next
	}
	return members, ""
}

const (
	localHeader     = 0x04034b50
	dataDescriptor  = 0x08074b50
	localHeaderSize = 30
	flagEncrypted   = 1 << 0
	flagDescriptor  = 1 << 3
	flagUTF8        = 1 << 11
)

// localMember reads the member at an offset and gives the offset behind it, 0
// when there is none or it is not complete.
func localMember(r io.ReaderAt, at, size int64, b *budget) (m zipMember, next int64, stop string) {
	const cut = "is cut off"
	head := make([]byte, localHeaderSize)
	if n, _ := r.ReadAt(head, at); n < 4 {
		return m, 0, cut
	} else if binary.LittleEndian.Uint32(head) != localHeader {
		return m, 0, ""
	} else if n < localHeaderSize {
		return m, 0, cut
	}
	u16 := func(i int) int64 { return int64(binary.LittleEndian.Uint16(head[i:])) }
	u32 := func(i int) int64 { return int64(binary.LittleEndian.Uint32(head[i:])) }
	flags := u16(6)
	names := make([]byte, u16(26)+u16(28))
	if n, _ := r.ReadAt(names, at+localHeaderSize); n < len(names) {
		return m, 0, cut
	}
	name, extra := string(names[:u16(26)]), names[u16(26):]
	m = zipMember{name: zipName(name, flags&flagUTF8 == 0, extra), mode: 0o644, method: uint16(u16(8)), encrypted: flags&flagEncrypted != 0,
		offset: at + localHeaderSize + int64(len(names)), crc: uint32(u32(14)), packed: u32(18), size: u32(22)}
	if len(name) > 0 && name[len(name)-1] == '/' {
		m.mode = fs.ModeDir | 0o755
	}
	if flags&flagDescriptor == 0 {
		if m.packed == 1<<32-1 || m.size == 1<<32-1 {
			return m, 0, "is larger than 4 GiB"
		}
		if next = m.offset + m.packed; next > size {
			return m, 0, cut
		}
		return m, next, ""
	}
	if m.method != zip.Deflate || m.encrypted {
		return m, 0, "does not state its size"
	}
	return inflated(r, m, size, b)
}

// inflated finds the end of a member that states its size behind its data.
func inflated(r io.ReaderAt, m zipMember, size int64, b *budget) (zipMember, int64, string) {
	in := &position{r: io.NewSectionReader(r, m.offset, size-m.offset)}
	br := bufio.NewReader(in)
	used := func() int64 { return in.n - int64(br.Buffered()) }
	n, err := io.Copy(io.Discard, &meter{r: flate.NewReader(br), budget: b, key: fmt.Sprintf("member at byte %d", m.offset), packed: used, limit: b.lim.Total})
	if err != nil {
		if isEarlyEnd(err) {
			return m, 0, "is cut off"
		}
		return m, 0, "is damaged"
	}
	m.packed, m.size = used(), n
	tail := make([]byte, 24)
	got, _ := r.ReadAt(tail, m.offset+m.packed)
	tail = tail[:got]
	next := m.offset + m.packed
	if len(tail) >= 4 && binary.LittleEndian.Uint32(tail) == dataDescriptor {
		tail, next = tail[4:], next+4
	}
	if len(tail) < 12 {
		return m, 0, "is cut off"
	}
	m.crc = binary.LittleEndian.Uint32(tail)
	next += 12
	// The sizes have eight bytes each in a zip64 descriptor.
	if int64(binary.LittleEndian.Uint32(tail[8:])) != m.size&(1<<32-1) && len(tail) >= 20 && binary.LittleEndian.Uint64(tail[12:]) == uint64(m.size) {
		next += 8
	}
	return m, next, ""
}

// position counts what was read.
type position struct {
	r io.Reader
	n int64
}

func (p *position) Read(b []byte) (int, error) {
	n, err := p.r.Read(b)
	p.n += int64(n)
	return n, err
}
