package bagit

import (
	"context"
	"encoding/hex"
	"hash"
	"io"
	"maps"
	"slices"

	"counterfoil/parse/listing/until"
)

// fixity recomputes every wanted checksum, each file read once, in the order
// of the paths.
func (c *checker) fixity(ctx context.Context) error {
	for _, name := range slices.Sorted(maps.Keys(c.want)) {
		if err := c.check(ctx, name, c.want[name]); err != nil {
			return err
		}
	}
	return nil
}

func (c *checker) check(ctx context.Context, name string, want []wanted) error {
	sums := map[string]hash.Hash{}
	var writers []io.Writer
	for _, w := range want {
		if alg := algorithms[w.algorithm]; alg != nil && sums[w.algorithm] == nil {
			sums[w.algorithm] = alg()
			writers = append(writers, sums[w.algorithm])
		}
	}
	if len(writers) == 0 {
		return nil
	}
	f, err := c.fsys.Open(name)
	if err != nil {
		return invalid(name, 0, "cannot be read: %v", withoutPath(err))
	}
	defer f.Close()
	if _, err := io.Copy(io.MultiWriter(writers...), until.Reader(ctx, f)); err != nil {
		if ctx.Err() != nil {
			return ctx.Err()
		}
		return invalid(name, 0, "cannot be read: %v", withoutPath(err))
	}
	for _, w := range want {
		sum := sums[w.algorithm]
		if sum == nil {
			continue
		}
		if got := hex.EncodeToString(sum.Sum(nil)); got != w.digest {
			return invalid(name, 0, "its %s is %s; %s, line %d, says %s", w.algorithm, got, w.manifest, w.line, w.digest)
		}
	}
	return nil
}
