package bagit_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/report/pack/bagit"
)

// reference finds outside data, which lies beside the project.
func reference(t *testing.T, name string) string {
	t.Helper()
	dir := filepath.Join("..", "..", "..", "..", "shared", "reference", name)
	if _, err := os.Stat(dir); err != nil {
		absent(t, "the reference data ../shared/reference/"+name+" is not there")
	}
	return dir
}

// absent skips a test for want of a tool or of data, and fails where all of
// them are demanded.
func absent(t *testing.T, why string) {
	t.Helper()
	if os.Getenv("COUNTERFOIL_REQUIRE_TOOLS") != "" {
		t.Fatal(why)
	}
	t.Skip(why)
}

// Every bag of the BagIt conformance suite (Library of Congress, CC0) gets the
// verdict that its folder demands: valid, invalid, or valid with a warning. The
// suite runs its platform folders on their platform only; a bag travels, so
// they are invalid everywhere here.
func TestConformanceSuite(t *testing.T) {
	suite := reference(t, "bagit")
	bags, err := filepath.Glob(filepath.Join(suite, "v*", "*", "*"))
	require.NoError(t, err)
	n := 0
	for _, dir := range bags {
		if info, err := os.Stat(dir); err != nil || !info.IsDir() {
			continue
		}
		n++
		rel, err := filepath.Rel(suite, dir)
		require.NoError(t, err)
		t.Run(filepath.ToSlash(rel), func(t *testing.T) {
			report, err := bagit.Verify(t.Context(), os.DirFS(dir))
			switch want := filepath.Base(filepath.Dir(dir)); want {
			case "valid":
				assert.NoError(t, err)
			case "warning":
				assert.NoError(t, err)
				assert.NotEmpty(t, report.Warnings)
			case "invalid", "linux-only", "windows-only":
				var invalid *bagit.Invalid
				assert.ErrorAs(t, err, &invalid)
			default:
				t.Fatalf("the suite has a folder %q, of which no verdict is known", want)
			}
			t.Log(err, report.Warnings)
		})
	}
	assert.GreaterOrEqual(t, n, 45, "bags of the suite")
}
