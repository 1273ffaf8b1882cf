package photo

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/gif"
	"image/jpeg"
	"image/png"
	"io"

	"github.com/gen2brain/avif"
	"golang.org/x/image/webp"
)

// Bounds of one picture, checked before its pixels are decoded.
const (
	MaxPixels = 100_000_000
	MaxMemory = 512 << 20 // bytes of decoded pixels and the decoder's own tables
)

// decode gives the pixels as stored, without the EXIF orientation.
func decode(format string, data []byte) (img image.Image, err error) {
	defer func() {
		// The decoders are other people's: a panic in one is a damaged file.
		if r := recover(); r != nil {
			img, err = nil, decoderError(format, fmt.Errorf("decoder: %v", r))
		}
	}()
	cfg, err := config(format, data)
	if err != nil {
		return nil, err
	}
	if need := memory(format, data, cfg); int64(cfg.Width)*int64(cfg.Height) > MaxPixels || need > MaxMemory {
		return nil, tooLarge(format, cfg.Width, cfg.Height, need)
	}
	switch format {
	case JPEG:
		img, err = jpeg.Decode(bytes.NewReader(data))
	case PNG:
		img, err = png.Decode(bytes.NewReader(data))
	case GIF:
		img, err = decodeGIF(data, cfg)
	case WebP:
		img, err = webp.Decode(bytes.NewReader(data))
	case AVIF:
		img, err = decodeAVIF(data)
	}
	if err != nil {
		return nil, decoderError(format, err)
	}
	if b := img.Bounds(); b.Dx() != cfg.Width || b.Dy() != cfg.Height {
		return nil, decoderError(format, fmt.Errorf("header says %d x %d, pixels are %d x %d", cfg.Width, cfg.Height, b.Dx(), b.Dy()))
	}
	return img, nil
}

// config reads the size and colour model without decoding pixels.
func config(format string, data []byte) (cfg image.Config, err error) {
	switch format {
	case JPEG:
		cfg, err = jpeg.DecodeConfig(bytes.NewReader(data))
	case PNG:
		cfg, err = png.DecodeConfig(bytes.NewReader(data))
	case GIF:
		cfg, err = gif.DecodeConfig(bytes.NewReader(data))
	case WebP:
		cfg, err = webp.DecodeConfig(bytes.NewReader(data))
	case AVIF:
		if avif.Dynamic() == nil {
			return cfg, &Error{Kind: NotDecoded, Format: AVIF,
				Reason: "AVIF pictures are not decoded by this build: it was made without the tag nodynamic"}
		}
		if !wholeBoxes(data) {
			return cfg, decoderError(AVIF, io.ErrUnexpectedEOF)
		}
		if mirroredAVIF(data) {
			return cfg, &Error{Kind: NotDecoded, Format: AVIF,
				Reason: "AVIF pictures stored as their mirror image are not decoded: only the hash of the bytes is compared"}
		}
		cfg, err = avif.DecodeConfig(bytes.NewReader(data))
	}
	if err != nil {
		return cfg, decoderError(format, err)
	}
	if cfg.Width <= 0 || cfg.Height <= 0 {
		return cfg, decoderError(format, fmt.Errorf("size %d x %d", cfg.Width, cfg.Height))
	}
	return cfg, nil
}

// memory estimates the bytes a decoder allocates, from above.
func memory(format string, data []byte, cfg image.Config) int64 {
	perPixel := int64(4)
	switch cfg.ColorModel {
	case color.GrayModel:
		perPixel = 1
	case color.YCbCrModel:
		perPixel = 3
	case color.RGBA64Model, color.NRGBA64Model, color.Gray16Model:
		perPixel = 8
	}
	switch {
	case format == AVIF: // planes inside the sandbox, then RGBA there and here
		perPixel *= 3
	case format == JPEG && progressive(data): // all coefficients, as int32
		perPixel *= 5
	}
	return perPixel * int64(cfg.Width) * int64(cfg.Height)
}

// decodeGIF puts the first frame where the screen shows it, on white.
func decodeGIF(data []byte, cfg image.Config) (image.Image, error) {
	frame, err := gif.Decode(bytes.NewReader(data))
	if err != nil {
		return nil, err
	}
	screen := image.Rect(0, 0, cfg.Width, cfg.Height)
	if frame.Bounds() == screen {
		return frame, nil
	}
	out := image.NewRGBA(screen)
	draw.Draw(out, screen, image.White, image.Point{}, draw.Src)
	draw.Draw(out, frame.Bounds(), frame, frame.Bounds().Min, draw.Over)
	return out, nil
}

// decodeAVIF gives the pixels with the type that fits them: the library's are not
// multiplied by their alpha, as its type says.
func decodeAVIF(data []byte) (image.Image, error) {
	img, err := avif.Decode(bytes.NewReader(data))
	if err != nil {
		return nil, err
	}
	switch img := img.(type) {
	case *image.RGBA:
		return &image.NRGBA{Pix: img.Pix, Stride: img.Stride, Rect: img.Rect}, nil
	case *image.RGBA64:
		return &image.NRGBA64{Pix: img.Pix, Stride: img.Stride, Rect: img.Rect}, nil
	}
	return img, nil
}

// progressive reports whether a JPEG stores its coefficients in several passes.
func progressive(data []byte) bool {
	for at := 2; at+4 <= len(data) && data[at] == 0xFF; {
		switch marker := data[at+1]; {
		case marker == 0xC2:
			return true
		case marker == 0xDA, marker == 0xC0, marker == 0xC1:
			return false
		case marker == 0xFF:
			at++
			continue
		}
		at += 2 + int(data[at+2])<<8 + int(data[at+3])
	}
	return false
}
