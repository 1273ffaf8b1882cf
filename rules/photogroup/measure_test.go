package photogroup

import (
	"bufio"
	"encoding/hex"
	"fmt"
	"math/bits"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/photo"
)

// change is one way a copy is made, by ImageMagick, and the least share of copies
// that must be found, rounded down to whole copies: of photos, and of objects cut
// out on white. 0 is no aim: the figure is printed only.
type change struct {
	name           string
	args           string
	photos, object float64
}

const quality = " -quality 85"

var changes = []change{
	{"resized to 75 %", "-resize 75%" + quality, .99, .99},
	{"resized to 50 %", "-resize 50%" + quality, .99, .99},
	{"resized to 25 %", "-resize 25%" + quality, .99, .99},
	{"JPEG quality 95", "-quality 95", .99, .99},
	{"JPEG quality 60", "-quality 60", .99, .99},
	{"JPEG quality 30", "-quality 30", .99, .99},
	{"gamma 0.5", "-gamma 0.5" + quality, 0, 0},
	{"gamma 0.7", "-gamma 0.7" + quality, .99, .99},
	{"gamma 1.4", "-gamma 1.4" + quality, .99, .99},
	{"contrast", "-sigmoidal-contrast 4x50%" + quality, .99, .95},
	{"brighter", "-brightness-contrast 10x0" + quality, .99, .95},
	{"grey", "-colorspace Gray" + quality, .99, .99},
	{"mirrored", "-flop" + quality, .99, .99},
	{"mirrored, resized, quality 40", "-flop -resize 60% -quality 40", .99, .95},
	{"white border 5 %", "-bordercolor white -border 5%x5%" + quality, .95, .95},
	{"white border 10 %", "-bordercolor white -border 10%x10%" + quality, .95, .95},
	{"black border 5 %", "-bordercolor black -border 5%x5%" + quality, .95, .95},
	{"blue border 10 %", "-bordercolor #2060a0 -border 10%x10%" + quality, .95, .95},
	{"crop 5 %, all sides", "-gravity center -crop 95%x95%+0+0 +repage" + quality, .95, .95},
	{"crop 10 %, all sides", "-gravity center -crop 90%x90%+0+0 +repage" + quality, .95, .95},
	{"crop 20 %, all sides", "-gravity center -crop 80%x80%+0+0 +repage" + quality, 0, 0},
	{"crop 5 %, left", "-gravity East -crop 95%x100%+0+0 +repage" + quality, .95, .95},
	{"crop 10 %, right", "-gravity West -crop 90%x100%+0+0 +repage" + quality, .95, .95},
	{"crop 10 %, top", "-gravity South -crop 100%x90%+0+0 +repage" + quality, .95, .95},
	{"crop 10 %, left and top", "-gravity SouthEast -crop 90%x90%+0+0 +repage" + quality, .95, .95},
	{"crop 20 %, left", "-gravity East -crop 80%x100%+0+0 +repage" + quality, 0, 0},
	{"crop 20 %, left and top", "-gravity SouthEast -crop 80%x80%+0+0 +repage" + quality, 0, 0},
	{"watermark in a corner", "-font DejaVu-Sans -gravity SouthEast -pointsize 28 -fill white -annotate +12+12 www.parts.example" + quality, .95, .95},
	{"watermark across", "-font DejaVu-Sans -gravity center -pointsize 70 -fill #ffffff80 -annotate +0+0 EXAMPLE" + quality, 0, 0},
	{"turned by 1 degree", "-background white -rotate 1" + quality, 0, 0},
	{"turned by 2 degrees", "-background white -rotate 2" + quality, 0, 0},
	{"turned by 3 degrees", "-background white -rotate 3" + quality, 0, 0},
	{"screenshot", "-bordercolor #f4f4f4 -border 12%x3% -background #303840 -gravity north -splice 0x70" +
		" -background #dddddd -gravity south -splice 0x40 -quality 80", 0, 0},
}

const photosOf = "../../../shared/reference/images/photos/*.png"

// measureAll is the variable that makes the measurement use all pictures and
// compare with OpenCV's image hashes, which takes some minutes.
const measureAll = "COUNTERFOIL_MEASURE"

// need skips a test that lacks something from outside the project, and fails it
// where COUNTERFOIL_REQUIRE_TOOLS is set.
func need(t testing.TB, ok bool, what string) {
	t.Helper()
	switch {
	case ok:
	case os.Getenv("COUNTERFOIL_REQUIRE_TOOLS") != "":
		t.Fatal("absent: " + what)
	default:
		t.Skip("absent: " + what)
	}
}

// seen is one picture as it was read.
type seen struct {
	Photo
	hashes [][]byte // OpenCV's, in the order of its algorithms, then of the mirror image
}

// TestCopiesAreFound derives copies of pictures with ImageMagick and prints the
// share of them found, and the pairs of unrelated pictures mistaken for copies.
// The photos are the Kodak set (PCD0992) and those of the Debian packages
// mate-backgrounds, lomiri-wallpapers-16.04, palapeli-data and tuxpaint-data, the
// objects those of tuxpaint-stamps-default: with COUNTERFOIL_MEASURE=1 all, else
// one in seven of the photos and in thirty of the objects.
func TestCopiesAreFound(t *testing.T) {
	if testing.Short() {
		t.Skip("takes about a minute")
	}
	version, err := exec.Command("convert", "-version").Output()
	need(t, err == nil && strings.Contains(string(version), "ImageMagick"), "ImageMagick, apt-get install imagemagick")
	photos := files(t, photosOf)
	need(t, len(photos) > 0, "the photos of "+photosOf)
	for _, pattern := range []string{"backgrounds/mate/nature/*.jpg", "backgrounds/*_by_*.jpg", "palapeli/collection/*.jpg", "tuxpaint/templates/*.jpg"} {
		list := files(t, "/usr/share/"+pattern)
		need(t, len(list) > 0, "apt-get install mate-backgrounds lomiri-wallpapers-16.04 palapeli-data tuxpaint-data")
		photos = append(photos, list...)
	}
	stamps := stamps(t)
	need(t, len(stamps) > 0, "apt-get install tuxpaint-stamps-default")
	var cv *opencv
	all := os.Getenv(measureAll) != ""
	objects, others := stamps, []string(nil)
	if all {
		cv = startOpenCV(t)
	} else {
		var more []string
		photos, more = everyNth(photos, 7)
		objects, others = everyNth(stamps, 30)
		others = append(more, others...)
	}
	t.Logf("%d photos, %d objects on white, %d further pictures", len(photos), len(objects), len(others))
	originals := slices.Concat(photos, objects)
	copies := deriveAll(t, originals, cv)
	bounds := cv.bounds(copies)
	for c, ch := range changes {
		inPhotos, inObjects := found(copies[:len(photos)], c), found(copies[len(photos):], c)
		t.Logf("%-30s photos %.3f   objects %.3f %s", ch.name, share(inPhotos, len(photos)), share(inObjects, len(objects)), cv.recall(copies, c, bounds))
		assert.GreaterOrEqual(t, inPhotos, int(ch.photos*float64(len(photos))), ch.name)
		assert.GreaterOrEqual(t, inObjects, int(ch.object*float64(len(objects))), ch.name)
	}
	for _, p := range others {
		copies = append(copies, []*seen{readOne(t, p)})
	}
	pairs, wrong := falsePairs(t, copies)
	t.Logf("%d false of %d pairs, %.2f in a million", wrong, pairs, float64(wrong)/float64(pairs)*1e6)
	assert.LessOrEqual(t, float64(wrong), max(1, float64(pairs)/1e6))
}

func files(t testing.TB, pattern string) []string {
	t.Helper()
	list, err := filepath.Glob(pattern)
	require.NoError(t, err)
	return list
}

func everyNth(list []string, n int) (some, others []string) {
	for i, s := range list {
		if i%n == n-1 {
			some = append(some, s)
		} else {
			others = append(others, s)
		}
	}
	return some, others
}

// stamps gives pictures of objects. Those that are drawn turned versions of others
// are left out.
func stamps(t *testing.T) (list []string) {
	known := map[string]bool{}
	const root = "/usr/share/tuxpaint/stamps"
	for _, path := range slices.Concat(files(t, root+"/*/*/*.png"), files(t, root+"/*/*/*/*.png")) {
		name := filepath.Base(path)
		info, err := os.Stat(path)
		require.NoError(t, err)
		if info.Size() < 20_000 || known[name] || strings.Contains(name, "_mirror") || strings.Contains(name, "_flip") {
			continue
		}
		known[name] = true
		list = append(list, path)
	}
	return list
}

// deriveAll gives the original and its copies, in the order of changes.
func deriveAll(t *testing.T, originals []string, cv *opencv) [][]*seen {
	out := make([][]*seen, len(originals))
	each(len(originals), func(i int) {
		dir, err := os.MkdirTemp("", "photo")
		if !assert.NoError(t, err) {
			return
		}
		defer os.RemoveAll(dir)
		paths := []string{filepath.Join(dir, "original.png")}
		args := []string{originals[i], "-background", "white", "-alpha", "remove", "-alpha", "off", "-resize", "800x800>", "-write", paths[0]}
		for c, ch := range changes {
			path := filepath.Join(dir, fmt.Sprintf("%02d.jpg", c))
			paths = append(paths, path)
			args = append(append(append(args, "(", "+clone"), strings.Fields(ch.args)...), "-write", path, "+delete", ")")
		}
		text, err := exec.Command("convert", append(args, "null:")...).CombinedOutput()
		if !assert.NoError(t, err, string(text)) {
			return
		}
		for _, path := range paths {
			p := readOne(t, path)
			p.hashes = cv.hashes(t, path)
			out[i] = append(out[i], p)
		}
	})
	require.False(t, t.Failed())
	return out
}

func readOne(t *testing.T, path string) *seen {
	data, err := os.ReadFile(path)
	if !assert.NoError(t, err) {
		return &seen{}
	}
	p, err := photo.Read(data)
	assert.NoError(t, err, path)
	return &seen{Photo: Photo{Fingerprint: p.Fingerprint, Mirror: p.Mirror, Printed: p.Printed, Detail: p.Detail, SHA256: p.SHA256}}
}

const workers = 3

// each runs f for 0 to n-1.
func each(n int, f func(int)) {
	var wait sync.WaitGroup
	next := make(chan int)
	for range workers {
		wait.Go(func() {
			for i := range next {
				f(i)
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	wait.Wait()
}

func found(copies [][]*seen, change int) (n int) {
	for _, list := range copies {
		if _, ok := Like(&list[0].Photo, &list[1+change].Photo, DefaultBound); ok {
			n++
		}
	}
	return n
}

func share(n, of int) float64 { return float64(n) / float64(max(1, of)) }

// falsePairs counts pairs of pictures from different originals, and those that
// are taken for copies.
func falsePairs(t *testing.T, copies [][]*seen) (pairs, wrong int) {
	for i, list := range copies {
		for k, other := range copies[:i] {
			for m, a := range list {
				for n, b := range other {
					if !a.Printed || !b.Printed {
						continue
					}
					pairs++
					if found, ok := Like(&a.Photo, &b.Photo, DefaultBound); ok {
						if wrong++; wrong <= 20 {
							t.Logf("false: original %d changed %d, original %d changed %d: %d bits %+v", i, m, k, n, found.Distance, found.Overlap)
						}
					}
				}
			}
		}
	}
	return pairs, wrong
}

// opencv is Python with OpenCV, asked file by file. Nil asks nothing.
type opencv struct {
	mu  sync.Mutex
	in  *bufio.Writer
	out *bufio.Scanner
}

var algorithms = []string{"PHash", "AverageHash", "BlockMeanHash"}

const script = `
import sys, cv2
make = [getattr(cv2.img_hash, n + "_create")() for n in sys.argv[1:]]
cv2.setNumThreads(1)
for line in sys.stdin:
    img = cv2.imread(line.rstrip("\n"))
    print(*[bytes(m.compute(i)[0]).hex() for i in (img, cv2.flip(img, 1)) for m in make], flush=True)
`

func startOpenCV(t *testing.T) *opencv {
	cmd := exec.Command("/usr/bin/python3", append([]string{"-c", script}, algorithms...)...)
	in, err := cmd.StdinPipe()
	require.NoError(t, err)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	cmd.Stderr = os.Stderr
	need(t, exec.Command("/usr/bin/python3", "-c", "import cv2.img_hash").Run() == nil, "apt-get install python3-opencv")
	require.NoError(t, cmd.Start())
	t.Cleanup(func() {
		in.Close()
		assert.NoError(t, cmd.Wait())
	})
	return &opencv{in: bufio.NewWriter(in), out: bufio.NewScanner(out)}
}

func (cv *opencv) hashes(t *testing.T, path string) (list [][]byte) {
	if cv == nil {
		return nil
	}
	cv.mu.Lock()
	defer cv.mu.Unlock()
	fmt.Fprintln(cv.in, path)
	cv.in.Flush()
	if !assert.True(t, cv.out.Scan(), path) {
		return nil
	}
	for _, text := range strings.Fields(cv.out.Text()) {
		h, err := hex.DecodeString(text)
		assert.NoError(t, err)
		list = append(list, h)
	}
	return list
}

// bounds gives for each algorithm the largest distance at which no more than one
// pair in a million of different pictures is false, mirror images asked for too,
// as ours are.
func (cv *opencv) bounds(copies [][]*seen) []int {
	if cv == nil {
		return nil
	}
	bounds := make([]int, len(algorithms))
	each(len(algorithms), func(k int) {
		count := make([]int, 1000)
		pairs := 0
		for i, list := range copies {
			for _, other := range copies[:i] {
				for _, a := range list {
					for _, b := range other {
						pairs++
						count[cv.apart(a, b, k)]++
					}
				}
			}
		}
		wrong, d := 0, 0
		for ; d < len(count); d++ {
			if wrong += count[d]; wrong*1_000_000 > max(pairs, 1_000_000) {
				break
			}
		}
		bounds[k] = d - 1
	})
	return bounds
}

func (cv *opencv) apart(a, b *seen, k int) int {
	straight, mirrored := 0, 0
	m := b.hashes[k+len(algorithms)]
	for i, v := range a.hashes[k] {
		straight += bits.OnesCount8(v ^ b.hashes[k][i])
		mirrored += bits.OnesCount8(v ^ m[i])
	}
	return min(straight, mirrored)
}

func (cv *opencv) recall(copies [][]*seen, change int, bounds []int) string {
	if cv == nil {
		return ""
	}
	text := "  OpenCV"
	for k, name := range algorithms {
		found := 0
		for _, list := range copies {
			if cv.apart(list[0], list[1+change], k) <= bounds[k] {
				found++
			}
		}
		text += fmt.Sprintf("  %s<=%d %.3f", name, bounds[k], float64(found)/float64(len(copies)))
	}
	return text
}
