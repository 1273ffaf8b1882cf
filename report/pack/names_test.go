package pack

import (
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
)

func TestFolderName(t *testing.T) {
	assert.Equal(t, "GL-5930377", FolderName("GL-5930377"))
	for key, want := range map[string]string{
		"gl-5930377":                  "gl-5930377-",
		"shop.example/item/1?x=../..": "shop.example-item-1-x-",
		"../../etc/passwd":            "etc-passwd-",
		"CON":                         "CON-",
		"..":                          "",
		"":                            "",
		strings.Repeat("A", 300):      strings.Repeat("A", 60) + "-",
		"Ключ 7":                      "7-",
	} {
		assert.Equal(t, want+shortHash(key), FolderName(key), "%q", key)
	}
}

func TestCleanPath(t *testing.T) {
	for p, want := range map[string]string{
		"pages/a b.html":         "pages/a b.html",
		"/pages/../../x":         "pages/x",
		"C:\\evil\x00\r\n%41":    "C__evil____41",
		"a/CON.txt":              "a/_CON.txt",
		"a./ .hidden ":           "a/hidden",
		"Nu\u0301n\u0303ez.html": "Núñez.html",
		"\u202egpj.exe":          "_gpj.exe",
		"~root":                  "_root",
		"\xff":                   "_",
	} {
		assert.Equal(t, want, cleanPath(p), "%q", p)
	}
	long := cleanPath(strings.Repeat("é", 400) + ".html")
	assert.LessOrEqual(t, len(long), nameLimit)
	assert.True(t, strings.HasSuffix(long, ".html"))
	deep := cleanPath(strings.Repeat("folder/", 100) + "page.html")
	assert.LessOrEqual(t, len(deep), pathLimit)
	assert.True(t, strings.HasSuffix(deep, "-page.html"))
}

func TestShelf(t *testing.T) {
	s := shelf{}
	assert.Equal(t, "captures/a.html", s.place("captures/a.html"))
	assert.Equal(t, "captures/A-2.html", s.place("captures/A.html"))
	assert.Equal(t, "captures/b/c", s.place("captures/b/c"))
	assert.Equal(t, "captures/B-2", s.place("captures/B"), "a folder has the name")
	inFile := s.place("captures/a.html/d.jpg")
	assert.Regexp(t, `^captures/[0-9a-f]{8}-d\.jpg$`, inFile)
}

func TestCommonDir(t *testing.T) {
	assert.Equal(t, "in/pages", commonDir([]string{"in/pages/a.html", "in/pages/a_files/1.jpg"}))
	assert.Equal(t, "in", commonDir([]string{"in/pages/a.html", "in/pagesize.csv"}))
	assert.Equal(t, "", commonDir([]string{"/x/a", "b/a"}))
	assert.Equal(t, "", commonDir(nil))
}

// Whatever a file is called, its name in a package is short, visible and stays
// where it is put.
func FuzzCleanPath(f *testing.F) {
	f.Add("../..//a\\b\r\n%00.html")
	f.Add("CON/nul.txt")
	f.Fuzz(func(t *testing.T, p string) {
		got := cleanPath(p)
		if got == "" || len(got) > pathLimit || strings.HasPrefix(got, "/") || strings.ContainsAny(got, "\\%:~\r\n\x00") {
			t.Fatalf("%q becomes %q", p, got)
		}
		for _, name := range strings.Split(got, "/") {
			if name == "" || strings.Trim(name, ".") == "" || len(name) > nameLimit || strings.ContainsFunc(name, unicode.IsControl) {
				t.Fatalf("%q becomes %q", p, got)
			}
		}
		if shelf := (shelf{}); shelf.place(got) != got {
			t.Fatalf("%q does not stay", got)
		}
	})
}
