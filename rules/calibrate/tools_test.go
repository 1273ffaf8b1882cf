package calibrate

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"testing"

	"github.com/stretchr/testify/require"
)

// absent skips a test for want of a tool, and fails where all are demanded.
func absent(t *testing.T, why string) {
	t.Helper()
	if os.Getenv("COUNTERFOIL_REQUIRE_TOOLS") != "" {
		t.Fatal(why)
	}
	t.Skip(why)
}

const notThere = "scikit-learn is not there: install the Debian package python3-sklearn"

// sklearn runs a Python script, which finds its input as `data` and leaves its
// answer in `answer`.
func sklearn(t *testing.T, script string, data, answer any) {
	t.Helper()
	const python = "/usr/bin/python3"
	if _, err := os.Stat(python); err != nil {
		absent(t, notThere)
	}
	in, err := json.Marshal(data)
	require.NoError(t, err)
	cmd := exec.Command(python, "-c", "import json, sys\ntry:\n  import sklearn\nexcept ImportError:\n  sys.exit(9)\ndata = json.load(sys.stdin)\n"+script+"\njson.dump(answer, sys.stdout)")
	cmd.Stdin = bytes.NewReader(in)
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if cmd.ProcessState != nil && cmd.ProcessState.ExitCode() == 9 {
		absent(t, notThere)
	}
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(out, answer))
}
