// Package photo reads one picture file: its hash, its size as displayed, and a
// fingerprint by which copies of the same picture are found although they were
// resized, recompressed, cropped, framed, toned or mirrored.
//
// Pixels are read once and dropped. Every file is treated as hostile: sizes are
// read and bounded before pixels are decoded, and a file that is damaged or cut
// short gives an error, never the size or the fingerprint of half a picture.
//
// What is where: read.go the entry point, format.go how formats are told apart,
// decode.go bounds and decoders, luma.go the reduction to grey block means,
// fingerprint.go the algorithm, jpegdc.go, jpegscan.go and jpegbits.go the fast way for
// JPEG,
// exif.go what the camera wrote, position.go where it stood, thumbnail.go small copies for a report,
// error.go what can go wrong.
//
// AVIF is decoded by a WebAssembly build of libavif. Programs should be built
// with the tag nodynamic: without it the library looks for a shared libavif at
// start, and if there is one this package refuses AVIF pixels, since results
// would depend on the machine.
package photo
