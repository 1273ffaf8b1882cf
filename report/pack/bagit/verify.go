package bagit

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"strings"
)

// maxFiles bounds the files of a bag.
const maxFiles = 1 << 20

// Report is what was found out about a valid bag.
type Report struct {
	Version    string   // of BagIt, as declared
	Algorithms []string // of the payload manifests that were recomputed, sorted
	Files      int      // payload files
	Bytes      int64    // of the payload
	// Warnings name what the format tolerates and what could not be checked.
	Warnings []string
}

// Verify checks a bag: declaration, paths, completeness in both directions,
// Payload-Oxum and every checksum of every manifest. The error is *Invalid,
// naming the first difference, or one of reading; warnings are given also then. Verify never
// fetches what fetch.txt names: a file that is not there is a difference.
func Verify(ctx context.Context, fsys fs.FS) (*Report, error) {
	c := &checker{fsys: fsys, report: &Report{}}
	for _, step := range []func() error{c.declare, c.list, c.manifests, c.fetch, c.complete, c.tagged, c.info} {
		if err := step(); err != nil {
			return c.report, err
		}
		if err := ctx.Err(); err != nil {
			return c.report, err
		}
	}
	return c.report, c.fixity(ctx)
}

// Seal is the SHA-256 of a bag's [SealFile] in lower-case hex. It says nothing
// about the files of the bag until [Verify] has been passed.
func Seal(fsys fs.FS) (string, error) {
	data, err := readTag(fsys, SealFile)
	if err != nil {
		return "", err
	}
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:]), nil
}

type checker struct {
	fsys   fs.FS
	report *Report
	decl   *declaration
	sizes  map[string]int64    // of the files on disk, by path
	names  map[string][]string // the paths on disk, by their fold
	all    []*manifest
	listed map[string]bool // payload paths on disk that a manifest lists
	want   map[string][]wanted
}

// wanted is a checksum that a file must have.
type wanted struct {
	algorithm, digest string
	manifest          string
	line              int
}

func (c *checker) warn(format string, args ...any) {
	c.report.Warnings = append(c.report.Warnings, fmt.Sprintf(format, args...))
}

func (c *checker) declare() (err error) {
	var warnings []string
	c.decl, warnings, err = readDeclaration(c.fsys)
	c.report.Warnings = append(c.report.Warnings, warnings...)
	if err == nil {
		c.report.Version = c.decl.text
	}
	return err
}

// list finds the files on disk.
func (c *checker) list() error {
	c.sizes, c.names = map[string]int64{}, map[string][]string{}
	data := false
	err := fs.WalkDir(c.fsys, ".", func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return invalid(name, 0, "cannot be read: %v", withoutPath(err))
		case d.IsDir():
			data = data || name == "data"
			return nil
		case !d.Type().IsRegular():
			return invalid(name, 0, "is not a regular file; a bag holds files and folders")
		case len(c.sizes) == maxFiles:
			return invalid("", 0, "more than %d files", maxFiles)
		}
		info, err := d.Info()
		if err != nil {
			return err
		}
		c.sizes[name] = info.Size()
		c.names[fold(name)] = append(c.names[fold(name)], name)
		if strings.HasPrefix(name, payload) {
			c.report.Files++
			c.report.Bytes += info.Size()
		}
		return nil
	})
	if err == nil && !data {
		err = invalid("data", 0, "the payload folder does not exist")
	}
	warn := warner{name: "data", list: &c.report.Warnings}
	for _, key := range slices.Sorted(maps.Keys(c.names)) {
		if same := c.names[key]; len(same) > 1 {
			warn.once(fmt.Sprintf("%q and %q differ in letter case or Unicode normalisation only", same[0], same[1]))
		}
	}
	return err
}

func withoutPath(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}

// onDisk finds the file that a manifest's path names. Where the very path does
// not exist, one that differs in case or normalisation only stands for it.
func (c *checker) onDisk(p string) (name string, ok bool) {
	if _, ok := c.sizes[p]; ok {
		return p, true
	}
	if same := c.names[fold(p)]; len(same) == 1 {
		return same[0], true
	}
	return "", false
}

// manifests reads all manifests and turns them into wanted checksums.
func (c *checker) manifests() error {
	c.want = map[string][]wanted{}
	var checked []string
	payloads := 0
	for _, name := range slices.Sorted(maps.Keys(c.sizes)) {
		if !manifestName.MatchString(name) {
			continue
		}
		data, err := readTag(c.fsys, name)
		if err != nil {
			return err
		}
		text, err := c.decl.decode(name, data)
		if err != nil {
			return err
		}
		m, warnings, err := parseManifest(name, text, c.decl.version)
		if err != nil {
			return err
		}
		c.report.Warnings = append(c.report.Warnings, warnings...)
		c.all = append(c.all, m)
		if !m.tags {
			payloads++
		}
		switch {
		case algorithms[m.algorithm] == nil:
			c.warn("%s: the algorithm %s is not known here; its checksums were not recomputed", name, m.algorithm)
		case !m.tags:
			checked = append(checked, m.algorithm)
		}
		if err := c.expect(m); err != nil {
			return err
		}
	}
	switch {
	case payloads == 0:
		return invalid("", 0, "the bag has no payload manifest")
	case len(checked) == 0:
		return invalid("", 0, "no payload manifest has an algorithm that is known here, so nothing can be checked")
	}
	c.report.Algorithms = checked
	return nil
}

// expect takes the entries of one manifest.
func (c *checker) expect(m *manifest) error {
	if c.listed == nil {
		c.listed = map[string]bool{}
	}
	warn := warner{name: m.name, list: &c.report.Warnings}
	seen, folded := map[string]string{}, map[string]string{}
	for _, e := range m.entries {
		if before, twice := seen[e.path]; twice {
			if before != e.digest {
				return invalid(m.name, e.line, "lists %q a second time, with another checksum", e.path)
			}
			if c.decl.version >= strict {
				return invalid(m.name, e.line, "lists %q a second time", e.path)
			}
			warn.once("lists a file twice, with one checksum")
			continue
		}
		seen[e.path] = e.digest
		key := fold(e.path)
		if other, ok := folded[key]; ok {
			warn.once(fmt.Sprintf("%q and %q differ in letter case or Unicode normalisation only", other, e.path))
		}
		folded[key] = e.path
		name, ok := c.onDisk(e.path)
		if !ok {
			if isSystemFile(e.path) && c.decl.version < strict {
				warn.once(fmt.Sprintf("lists %q, which file managers make and remove unasked and which is not there", e.path))
				continue
			}
			return invalid(e.path, 0, "does not exist; %s, line %d, lists it", m.name, e.line)
		}
		if isSystemFile(e.path) {
			warn.once(fmt.Sprintf("lists %q, which file managers make and remove unasked", e.path))
		}
		if name != e.path {
			warn.once(fmt.Sprintf("lists %q; the file's name differs in letter case or Unicode normalisation", e.path))
		}
		c.listed[name] = c.listed[name] || !m.tags
		c.want[name] = append(c.want[name], wanted{m.algorithm, e.digest, m.name, e.line})
	}
	return nil
}

// fetch checks fetch.txt: what it names must be listed, and must be there.
func (c *checker) fetch() error {
	if _, ok := c.sizes[fetchName]; !ok {
		return nil
	}
	data, err := readTag(c.fsys, fetchName)
	if err != nil {
		return err
	}
	text, err := c.decl.decode(fetchName, data)
	if err != nil {
		return err
	}
	list, err := parseFetch(text, c.decl.version)
	if err != nil {
		return err
	}
	for _, f := range list {
		name, ok := c.onDisk(f.path)
		switch {
		case !ok:
			return invalid(fetchName, f.line, "%q was not fetched", f.path)
		case !c.listed[name]:
			return invalid(fetchName, f.line, "no payload manifest lists %q", f.path)
		case f.size >= 0 && f.size != c.sizes[name]:
			return invalid(fetchName, f.line, "%q has %d bytes instead of %d", f.path, c.sizes[name], f.size)
		}
	}
	return nil
}

// complete holds the payload on disk against the manifests. From version 1.0
// on every payload manifest must list every file; before, one had to.
func (c *checker) complete() error {
	lists := map[string]map[string]bool{}
	if c.decl.version >= strict {
		for _, m := range c.all {
			if m.tags {
				continue
			}
			set := map[string]bool{}
			for _, e := range m.entries {
				if name, ok := c.onDisk(e.path); ok {
					set[name] = true
				}
			}
			lists[m.name] = set
		}
	}
	for _, name := range slices.Sorted(maps.Keys(c.sizes)) {
		if !strings.HasPrefix(name, payload) {
			continue
		}
		if !c.listed[name] {
			return invalid(name, 0, "no payload manifest lists the file")
		}
		for _, m := range c.all {
			if set := lists[m.name]; set != nil && !set[name] {
				return invalid(name, 0, "%s does not list the file", m.name)
			}
		}
	}
	return nil
}

// tagged checks that each tag manifest lists every payload manifest, which
// version 1.0 demands (RFC 8493, section 2.2.1).
func (c *checker) tagged() error {
	if c.decl.version < strict {
		return nil
	}
	for _, t := range c.all {
		if !t.tags {
			continue
		}
		for _, m := range c.all {
			if !m.tags && !slices.ContainsFunc(t.entries, func(e entry) bool { return e.path == m.name }) {
				return invalid(t.name, 0, "does not list %s", m.name)
			}
		}
	}
	return nil
}

// info reads bag-info.txt, which was package-info.txt in the first drafts, and
// checks its Payload-Oxum.
func (c *checker) info() error {
	for _, name := range []string{"bag-info.txt", "package-info.txt"} {
		if _, ok := c.sizes[name]; !ok {
			continue
		}
		data, err := readTag(c.fsys, name)
		if err != nil {
			return err
		}
		text, err := c.decl.decode(name, data)
		if err != nil {
			return err
		}
		fields, err := parseInfo(name, text, c.decl.version)
		if err != nil && c.decl.version < strict {
			c.warn("%v", err)
			continue
		}
		if err != nil {
			return err
		}
		if err := c.checkOxum(name, fields); err != nil {
			return err
		}
	}
	return nil
}

func (c *checker) checkOxum(name string, fields []Field) error {
	for _, f := range fields {
		if !strings.EqualFold(f.Name, "Payload-Oxum") {
			continue
		}
		bytes, files, ok := oxum(f.Value)
		switch {
		case !ok:
			return invalid(name, 0, "the Payload-Oxum %q is not a number of bytes, a dot and a number of files", f.Value)
		case bytes == c.report.Bytes && files == int64(c.report.Files):
		case bytes == c.report.Bytes && c.lacksSystemFiles(files):
			c.warn("%s: Payload-Oxum counts files that file managers made and removed", name)
		default:
			return invalid(name, 0, "Payload-Oxum says %d bytes in %d files, the payload has %d bytes in %d files",
				bytes, files, c.report.Bytes, c.report.Files)
		}
	}
	return nil
}

// lacksSystemFiles reports whether the payload would have that many files with
// those that a manifest lists and that are not there: files that file managers
// remove, or else the bag would not have come so far.
func (c *checker) lacksSystemFiles(files int64) bool {
	for _, m := range c.all {
		lacking := int64(0)
		for _, e := range m.entries {
			if _, ok := c.onDisk(e.path); !ok && !m.tags {
				lacking++
			}
		}
		if lacking > 0 && int64(c.report.Files)+lacking == files {
			return true
		}
	}
	return false
}
