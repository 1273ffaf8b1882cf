package ocr

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"os"
	"os/exec"
	"strings"
	"time"
)

// Engine is an installed Tesseract.
type Engine struct {
	path    string
	version string
}

// Bounds of one call of the program.
const (
	callTime   = 30 * time.Second
	maxAnswer  = 4 << 20 // bytes
	versionMax = 40      // characters
)

// Find looks for the program. The error is for the user.
func Find(ctx context.Context) (*Engine, error) {
	file, err := exec.LookPath("tesseract")
	if err != nil {
		return nil, errors.New("tesseract is not installed, so no plate was read; on Debian: apt-get install tesseract-ocr")
	}
	e := &Engine{path: file}
	out, err := e.call(ctx, nil, "--version")
	first, _, _ := strings.Cut(string(out), "\n")
	name, number, _ := strings.Cut(strings.TrimSpace(first), " ")
	if err != nil || name != "tesseract" || number == "" {
		return nil, fmt.Errorf("%s does not answer like tesseract, so no plate was read", file)
	}
	e.version = strings.Map(func(r rune) rune {
		if r == '.' || r == '-' || r >= '0' && r <= '9' || r >= 'a' && r <= 'z' {
			return r
		}
		return '-'
	}, number[:min(len(number), versionMax)])
	return e, nil
}

// Version is the program's own, such as "5.3.0".
func (e *Engine) Version() string { return e.version }

// ShelfName names what may be kept of this program's answers.
func (e *Engine) ShelfName() string { return "lettering-" + passVersion + "-tesseract-" + e.version }

// recognise gives the words in a picture. layout is the program's page
// segmentation mode: 11 looks for sparse text, 6 takes one block of lines.
func (e *Engine) recognise(ctx context.Context, img *image.Gray, layout int) ([]word, error) {
	out, err := e.call(ctx, pgm(img), "stdin", "stdout", "-l", "eng", "--dpi", "150", "--psm", fmt.Sprint(layout),
		"-c", "tessedit_create_tsv=1", "-c", "load_system_dawg=0", "-c", "load_freq_dawg=0")
	if err != nil {
		return nil, err
	}
	return parseWords(out), nil
}

// pgm writes a picture in the portable graymap format.
func pgm(img *image.Gray) []byte {
	w, h := img.Rect.Dx(), img.Rect.Dy()
	out := fmt.Appendf(nil, "P5\n%d %d\n255\n", w, h)
	for y := range h {
		out = append(out, img.Pix[y*img.Stride:y*img.Stride+w]...)
	}
	return out
}

// call runs the program without a shell, with bounds on time and output and an
// environment of its own.
func (e *Engine) call(ctx context.Context, input []byte, args ...string) ([]byte, error) {
	ctx, cancel := context.WithTimeout(ctx, callTime)
	defer cancel()
	cmd := exec.CommandContext(ctx, e.path, args...)
	cmd.WaitDelay = time.Second
	cmd.Stdin = bytes.NewReader(input)
	out := &bounded{left: maxAnswer}
	cmd.Stdout = out
	cmd.Env = []string{"OMP_THREAD_LIMIT=1", "LC_ALL=C"}
	for _, name := range []string{"PATH", "TESSDATA_PREFIX", "SystemRoot"} {
		if v, ok := os.LookupEnv(name); ok {
			cmd.Env = append(cmd.Env, name+"="+v)
		}
	}
	if err := cmd.Run(); err != nil {
		return nil, fmt.Errorf("tesseract gave up: %w", err)
	}
	return out.buf.Bytes(), nil
}

// bounded refuses more than so many bytes, which ends the program.
type bounded struct {
	buf  bytes.Buffer
	left int
}

func (b *bounded) Write(p []byte) (int, error) {
	if b.left -= len(p); b.left < 0 {
		return 0, errors.New("too long an answer")
	}
	return b.buf.Write(p)
}
