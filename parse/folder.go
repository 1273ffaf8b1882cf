package parse

import (
	"errors"
	"io/fs"
	"net/url"
	"os"
	"path"
	"strings"
	"syscall"

	"counterfoil/parse/bundle"
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
	page  bool // it is a page's
	in    *intake
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

func (in *intake) folderOf(s *source, page bool) *folder {
	f := &folder{root: s.root, dir: path.Dir(s.rel), name: path.Dir(s.name), page: page, in: in}
	if !page {
		return f
	}
	base := path.Base(s.rel)
	stem := strings.TrimSuffix(base, path.Ext(base))
	for _, suffix := range savedSuffixes {
		f.saved = append(f.saved, stem+suffix)
	}
	if stem != base {
		f.saved = append(f.saved, stem)
	}
	return f
}

// Open implements [savedpage.Resources].
func (f *folder) Open(ref string) (savedpage.Resource, error) {
	rel, err := localPath(ref)
	if err != nil {
		return savedpage.Resource{}, err
	}
	names := []string{rel}
	if plain, uerr := url.PathUnescape(rel); uerr == nil && plain != rel {
		clean, cerr := below(plain)
		if cerr != nil {
			return savedpage.Resource{}, cerr
		}
		names = append(names, clean)
	}
	for _, name := range names {
		if res, err := f.open(name); !errors.Is(err, savedpage.ErrNotSaved) {
			return res, err
		}
	}
	// Only a reference into a folder of saved files is looked for under that
	// folder's other names: elsewhere an equal name is another picture.
	for _, name := range names {
		if pageOfFolder(path.Base(path.Dir(name))) == "" {
			continue
		}
		for _, dir := range f.saved {
			if res, err := f.open(path.Join(dir, path.Base(name))); !errors.Is(err, savedpage.ErrNotSaved) {
				return res, err
			}
		}
	}
	return savedpage.Resource{}, savedpage.ErrNotSaved
}

// localPath turns a reference into a path below the page's folder.
func localPath(ref string) (string, error) {
	ref, _, _ = strings.Cut(strings.TrimSpace(ref), "#")
	ref, _, _ = strings.Cut(ref, "?")
	return below(ref)
}

// below cleans a path and refuses what does not lie below the page's folder.
func below(ref string) (string, error) {
	ref = strings.ReplaceAll(ref, `\`, "/")
	if strings.ContainsRune(ref, 0) {
		return "", savedpage.ErrOutside
	}
	if strings.HasPrefix(ref, "//") {
		return "", savedpage.ErrRemote
	}
	if scheme, _, ok := strings.Cut(ref, ":"); ok && bundle.IsScheme(scheme) {
		if strings.EqualFold(scheme, "file") || len(scheme) == 1 {
			return "", savedpage.ErrOutside
		}
		return "", savedpage.ErrRemote
	}
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

func (f *folder) open(rel string) (savedpage.Resource, error) {
	full := path.Join(f.dir, rel)
	// A link inside the folder is refused as well: what it points to may change
	// after the capture.
	s := &source{name: path.Join(f.name, rel), root: f.root, rel: full}
	for at := full; at != "." && at != f.dir; at = path.Dir(at) {
		info, err := f.root.Lstat(at)
		if err != nil {
			return savedpage.Resource{}, notSaved(err)
		}
		if info.Mode()&fs.ModeSymlink != 0 {
			return savedpage.Resource{}, savedpage.ErrOutside
		}
		if at == full && !info.Mode().IsRegular() {
			return savedpage.Resource{}, savedpage.ErrNotSaved
		}
		if at == full {
			if s.size, s.modified = info.Size(), info.ModTime().UTC(); s.size > f.in.opt.limits.photo {
				return savedpage.Resource{}, savedpage.ErrTooLarge
			}
		}
	}
	data, err := s.read(f.in.opt.limits.photo)
	if err != nil {
		return savedpage.Resource{}, err
	}
	page := ""
	if f.page {
		page = f.name
	}
	f.in.album.opened(s, page)
	return savedpage.Resource{File: s.name, Data: data}, nil
}

// notSaved tells names under which no file can lie from trouble with a file.
func notSaved(err error) error {
	for _, e := range []error{fs.ErrNotExist, fs.ErrInvalid, syscall.ENOTDIR, syscall.ENAMETOOLONG} {
		if errors.Is(err, e) {
			return savedpage.ErrNotSaved
		}
	}
	return err
}
