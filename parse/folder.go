package parse

import (
	"errors"
	"io/fs"
	"net/url"
	"os"
	"path"
	"strings"

	"counterfoil/parse/savedpage"
)

// folder gives a page or table the files of its own folder, and nothing else.
type folder struct {
	root *os.Root
	dir  string // of the page, below root
	name string // of that directory, as reports print it
	// saved are the folders that may hold the page's files besides the one that
	// a reference names: a user may have renamed page and folder.
	saved []string
	album *album
}

// savedSuffixes are what browsers add to a page's name for the folder with its
// files, in the languages browsers come in.
var savedSuffixes = []string{"_files", "-Dateien", "_fichiers", "_archivos", "_file", "_pliki",
	"-filer", "_bestanden", "_soubory", "_ficheiros", "_arquivos", "_tiedostot", "_dosyalar",
	"_elemei", ".files", "_файлы"}

// pageOfFolder gives the page name that a folder of saved files belongs to, ""
// if the folder's name is not of that kind.
func pageOfFolder(dir string) string {
	for _, s := range savedSuffixes {
		if stem, ok := strings.CutSuffix(dir, s); ok && stem != "" {
			return stem
		}
	}
	return ""
}

func folderOf(s *source, a *album) *folder {
	dir := path.Dir(s.rel)
	f := &folder{root: s.root, dir: dir, name: path.Dir(s.name), album: a}
	base := path.Base(s.rel)
	stem := strings.TrimSuffix(base, path.Ext(base))
	for _, suffix := range savedSuffixes {
		f.saved = append(f.saved, stem+suffix)
	}
	return f
}

// maxPhoto is the largest photo file read, in bytes.
const maxPhoto = 64 << 20

// Open implements [savedpage.Resources].
func (f *folder) Open(ref string) (savedpage.Resource, error) {
	rel, err := localPath(ref)
	if err != nil {
		return savedpage.Resource{}, err
	}
	res, err := f.open(rel)
	if !errors.Is(err, savedpage.ErrNotSaved) {
		return res, err
	}
	if plain, uerr := url.PathUnescape(rel); uerr == nil && plain != rel {
		if clean, cerr := localPath(plain); cerr != nil {
			return savedpage.Resource{}, cerr
		} else if res, err := f.open(clean); !errors.Is(err, savedpage.ErrNotSaved) {
			return res, err
		}
	}
	for _, dir := range f.saved {
		if res, err := f.open(path.Join(dir, path.Base(rel))); !errors.Is(err, savedpage.ErrNotSaved) {
			return res, err
		}
	}
	return savedpage.Resource{}, savedpage.ErrNotSaved
}

// localPath turns a reference into a path below the page's folder.
func localPath(ref string) (string, error) {
	ref = strings.ReplaceAll(strings.TrimSpace(ref), `\`, "/")
	if strings.ContainsRune(ref, 0) {
		return "", savedpage.ErrOutside
	}
	if strings.HasPrefix(ref, "//") {
		return "", savedpage.ErrRemote
	}
	if scheme, _, ok := strings.Cut(ref, ":"); ok && isScheme(scheme) {
		if strings.EqualFold(scheme, "file") || len(scheme) == 1 {
			return "", savedpage.ErrOutside
		}
		return "", savedpage.ErrRemote
	}
	ref, _, _ = strings.Cut(ref, "#")
	ref, _, _ = strings.Cut(ref, "?")
	if strings.HasPrefix(ref, "/") {
		return "", savedpage.ErrRemote // a path of the site, which the page was saved from
	}
	clean := path.Clean(ref)
	if clean == ".." || strings.HasPrefix(clean, "../") {
		return "", savedpage.ErrOutside
	}
	if clean == "." {
		return "", savedpage.ErrNotSaved
	}
	return clean, nil
}

func isScheme(s string) bool {
	for i, c := range s {
		letter := c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z'
		if !letter && (i == 0 || !(c >= '0' && c <= '9' || c == '+' || c == '-' || c == '.')) {
			return false
		}
	}
	return s != ""
}

func (f *folder) open(rel string) (savedpage.Resource, error) {
	full := path.Join(f.dir, rel)
	// A link inside the folder is refused as well: what it points to may change
	// after the capture.
	s := &source{name: path.Join(f.name, rel), root: f.root, rel: full}
	for at := full; at != "." && at != f.dir; at = path.Dir(at) {
		info, err := f.root.Lstat(at)
		if err != nil {
			if errors.Is(err, fs.ErrNotExist) {
				return savedpage.Resource{}, savedpage.ErrNotSaved
			}
			return savedpage.Resource{}, err
		}
		if info.Mode()&fs.ModeSymlink != 0 {
			return savedpage.Resource{}, savedpage.ErrOutside
		}
		if at == full && !info.Mode().IsRegular() {
			return savedpage.Resource{}, savedpage.ErrNotSaved
		}
		if at == full {
			if s.size, s.modified = info.Size(), info.ModTime().UTC(); s.size > maxPhoto {
				return savedpage.Resource{}, savedpage.ErrTooLarge
			}
		}
	}
	data, err := s.read(maxPhoto)
	if err != nil {
		return savedpage.Resource{}, err
	}
	f.album.opened(s)
	return savedpage.Resource{File: s.name, Data: data}, nil
}
