package photo

import (
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

	"counterfoil/parse/listing"
)

// measuredBound is the distance at which copies are taken for one picture; it is
// the default of the grouping.
const measuredBound = 11

// change is one way a copy is made, by ImageMagick, and the least share of copies
// that must be found: of photos, and of objects cut out on white. 0 is no aim:
// the figure is printed only.
type change struct {
	name           string
	args           string // %d is replaced by a number that varies with the picture
	photos, object float64
}

var changes = []change{
	{"resize to 75 %", "-resize 75%% -quality 85", .99, .99},
	{"resize to 50 %", "-resize 50%% -quality 85", .99, .99},
	{"resize to 25 %", "-resize 25%% -quality 85", .99, .95},
	{"JPEG quality 95", "-quality 95", .99, .99},
	{"JPEG quality 60", "-quality 60", .99, .99},
	{"JPEG quality 30", "-quality 30", .99, .99},
	{"gamma 0.7", "-gamma 0.7 -quality 85", .97, .99},
	{"gamma 1.4", "-gamma 1.4 -quality 85", .99, .99},
	{"contrast", "-sigmoidal-contrast 4x50%% -quality 85", .99, .95},
	{"brighter", "-brightness-contrast 10x0 -quality 85", .99, .95},
	{"grey", "-colorspace Gray -quality 85", .99, .99},
	{"mirror", "-flop -quality 85", .99, .99},
	{"mirror, resize, quality 40", "-flop -resize 60%% -quality 40", .99, .95},
	{"white border 5 %", "-bordercolor white -border 5%%x5%% -quality 85", .90, .95},
	{"black border 5 %", "-bordercolor black -border 5%%x5%% -quality 85", .95, .95},
	{"blue border 10 %", "-bordercolor #2060a0 -border 10%%x10%% -quality 85", .95, .95},
	{"crop 5 %, evenly", "-gravity center -crop 95%%x95%%+0+0 +repage -quality 85", .95, .95},
	{"crop 10 %, evenly", "-gravity center -crop 90%%x90%%+0+0 +repage -quality 85", .90, .90},
	{"crop 5 %, any side", "-gravity NorthWest -crop 95%%x95%%+%d+0 +repage -quality 85", 0, 0},
	{"crop 10 %, any side", "-gravity NorthWest -crop 90%%x90%%+%d+0 +repage -quality 85", 0, 0},
	{"crop 20 %, evenly", "-gravity center -crop 80%%x80%%+0+0 +repage -quality 85", 0, 0},
	{"watermark in a corner", "-gravity SouthEast -pointsize 28 -fill white -annotate +12+12 www.parts.example -quality 85", .95, .95},
	{"watermark across", "-gravity center -pointsize 70 -fill #ffffff80 -annotate +0+0 EXAMPLE -quality 85", 0, 0},
	{"turned by 1 degree", "-background white -rotate 1 -quality 85", 0, 0},
	{"turned by 2 degrees", "-background white -rotate 2 -quality 85", 0, 0},
	{"turned by 3 degrees", "-background white -rotate 3 -quality 85", 0, 0},
}

// TestFingerprintFindsCopies derives copies of photos with ImageMagick and prints
// the share of them found, and the pairs of unrelated pictures mistaken for
// copies. The photos are the Kodak set (PCD0992) and those of the Debian packages
// mate-backgrounds and tuxpaint-stamps-default, tuxpaint-data.
func TestFingerprintFindsCopies(t *testing.T) {
	if testing.Short() {
		t.Skip("takes about a minute")
	}
	version, err := exec.Command("convert", "-version").Output()
	need(t, err == nil && strings.Contains(string(version), "ImageMagick"), "ImageMagick, apt-get install imagemagick")
	photos := files(t, reference+"/photos/*.png")
	need(t, len(photos) > 0, "the photos of "+reference+"/photos")
	photos = append(photos, files(t, "/usr/share/backgrounds/mate/nature/*.jpg")...)
	photos = append(photos, files(t, "/usr/share/tuxpaint/templates/*.jpg")...)
	objects, others := stamps(t)
	t.Logf("%d photos, %d objects on white, %d further pictures", len(photos), len(objects), len(others))
	if len(objects) == 0 {
		t.Log("more with: apt-get install mate-backgrounds tuxpaint-stamps-default tuxpaint-data")
	}
	originals := slices.Concat(photos, objects)
	copies := deriveAll(t, originals)
	for c, ch := range changes {
		inPhotos := recall(copies, c, 0, len(photos))
		inObjects := recall(copies, c, len(photos), len(originals))
		t.Logf("%-28s photos %.3f   objects %.3f", ch.name, inPhotos, inObjects)
		assert.GreaterOrEqual(t, inPhotos, ch.photos, ch.name)
		if len(objects) > 0 {
			assert.GreaterOrEqual(t, inObjects, ch.object, ch.name)
		}
	}
	pairs, wrong := falsePairs(copies, readAll(t, others))
	for d := range wrong {
		if d < 6 {
			continue
		}
		t.Logf("distance <= %2d: %4d false of %d pairs, %.2f in a million", d, wrong[d], pairs, float64(wrong[d])/float64(pairs)*1e6)
	}
	assert.LessOrEqual(t, float64(wrong[measuredBound]), max(1, float64(pairs)/1e6))
}

// stamps gives pictures of objects, one in five for deriving copies. Stamps that
// are drawn turned versions of others are left out.
func stamps(t *testing.T) (derived, others []string) {
	seen := map[string]bool{}
	const root = "/usr/share/tuxpaint/stamps"
	for _, path := range slices.Concat(files(t, root+"/*/*/*.png"), files(t, root+"/*/*/*/*.png")) {
		name := filepath.Base(path)
		info, err := os.Stat(path)
		require.NoError(t, err)
		if info.Size() < 20_000 || seen[name] || strings.Contains(name, "_mirror") || strings.Contains(name, "_flip") {
			continue
		}
		seen[name] = true
		if len(seen)%5 == 0 {
			derived = append(derived, path)
		} else {
			others = append(others, path)
		}
	}
	return derived, others
}

// deriveAll gives the original and its copies, in the order of changes.
func deriveAll(t *testing.T, originals []string) [][]listing.Photo {
	out := make([][]listing.Photo, len(originals))
	each(len(originals), func(i int) {
		dir, err := os.MkdirTemp("", "photo")
		if !assert.NoError(t, err) {
			return
		}
		defer os.RemoveAll(dir)
		args := []string{originals[i], "-background", "white", "-alpha", "remove", "-alpha", "off", "-resize", "800x800>",
			"-write", filepath.Join(dir, "original.png")}
		paths := []string{filepath.Join(dir, "original.png")}
		for c, ch := range changes {
			path := filepath.Join(dir, fmt.Sprintf("%02d.jpg", c))
			paths = append(paths, path)
			args = append(args, "(", "+clone")
			shift := (i*7 + c) % 5 * 10
			args = append(args, strings.Fields(strings.ReplaceAll(strings.ReplaceAll(ch.args, "%%", "%"), "%d", fmt.Sprint(shift)))...)
			args = append(args, "-write", path, "+delete", ")")
		}
		text, err := exec.Command("convert", append(args, "null:")...).CombinedOutput()
		if assert.NoError(t, err, string(text)) {
			out[i] = readAll(t, paths)
		}
	})
	return out
}

func readAll(t *testing.T, paths []string) []listing.Photo {
	out := make([]listing.Photo, len(paths))
	for i, path := range paths {
		data, err := os.ReadFile(path)
		if assert.NoError(t, err) {
			out[i], err = Read(data)
			assert.NoError(t, err, path)
		}
	}
	return out
}

// each runs f for 0 to n-1 on two workers.
func each(n int, f func(int)) {
	var wait sync.WaitGroup
	next := make(chan int)
	for range 2 {
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

func apart(a, b listing.Photo) int {
	return min(bits.OnesCount64(a.Fingerprint^b.Fingerprint), bits.OnesCount64(a.Fingerprint^b.Mirror))
}

func recall(copies [][]listing.Photo, change, from, to int) float64 {
	found := 0
	for _, list := range copies[from:to] {
		if list[0].Printed && list[1+change].Printed && apart(list[0], list[1+change]) <= measuredBound {
			found++
		}
	}
	return float64(found) / float64(max(1, to-from))
}

// falsePairs counts pairs of pictures from different originals by distance, and
// gives how many lie within each distance.
func falsePairs(copies [][]listing.Photo, others []listing.Photo) (pairs int, within [15]int) {
	for _, p := range others {
		copies = append(copies, []listing.Photo{p})
	}
	for i, list := range copies {
		for _, other := range copies[:i] {
			for _, a := range list {
				for _, b := range other {
					if !a.Printed || !b.Printed {
						continue
					}
					pairs++
					for d := apart(a, b); d < len(within); d++ {
						within[d]++
					}
				}
			}
		}
	}
	return pairs, within
}
