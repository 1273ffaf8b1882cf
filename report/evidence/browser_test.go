package evidence

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/report"
)

// lacking skips a test that needs a tool, or fails it when tools are demanded.
func lacking(t *testing.T, what string) {
	t.Helper()
	if os.Getenv("COUNTERFOIL_REQUIRE_TOOLS") != "" {
		t.Fatal(what)
	}
	t.Skip(what)
}

// browse runs Chromium once on a page of the disk, without a network, and gives
// what it printed and what it logged.
func browse(t *testing.T, page string, args ...string) (stdout, stderr string) {
	t.Helper()
	exe, err := exec.LookPath("chromium")
	if err != nil {
		lacking(t, "chromium is absent: install it (Debian package chromium)")
	}
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	all := append([]string{"--headless", "--disable-gpu", "--disable-dev-shm-usage", "--no-first-run", "--disable-background-networking",
		"--disable-component-update", "--disable-sync", "--disable-extensions", "--user-data-dir=" + t.TempDir(), "--hide-scrollbars",
		"--host-resolver-rules=MAP * ~NOTFOUND", "--enable-logging=stderr", "--lang=en-GB"}, args...)
	if os.Geteuid() == 0 {
		all = append(all, "--no-sandbox") // the sandbox refuses to run for root
	}
	cmd := exec.CommandContext(ctx, exe, append(all, "file://"+page)...)
	var out, log bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &log
	require.NoError(t, cmd.Run(), log.String())
	return out.String(), log.String()
}

// writePages writes the pages of the sample and of a listing whose every text is
// hostile.
func writePages(t *testing.T) (sample, index, hostilePage string) {
	t.Helper()
	dir := t.TempDir()
	s := New(audit(t, batch()), sampleRun(), Options{Dir: dir, Limit: 200, Thumb: thumbnail})
	require.NoError(t, report.Write(dir, s.Files()...))
	bad, j := hostileSet(audit(t, batch()), `"><img src="https://canary.example/a.png" onerror="alert(1)"><script src=//canary.example/b.js></script><style>@import url(https://canary.example/c.css)</style>`)
	name := filepath.Join(dir, "pages", "hostile.html")
	require.NoError(t, os.WriteFile(name, []byte(pageOf(t, bad, j)), 0o666))
	return filepath.Join(dir, filepath.FromSlash(s.Page(s.paged[0]))), filepath.Join(dir, "pages", "index.html"), name
}

var console = regexp.MustCompile(`(?m)^.*(CONSOLE|Refused to|Content Security Policy).*$`)

// The browser shows and prints the pages without a complaint and asks the
// network for nothing.
func TestBrowser(t *testing.T) {
	sample, index, hostilePage := writePages(t)
	for name, page := range map[string]string{"sample": sample, "index": index, "hostile": hostilePage} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			netlog, pdf, shot := filepath.Join(dir, "net.json"), filepath.Join(dir, "page.pdf"), filepath.Join(dir, "page.png")
			_, log := browse(t, page, "--log-net-log="+netlog, "--print-to-pdf="+pdf)
			assert.Empty(t, console.FindAllString(log, -1))
			net, err := os.ReadFile(netlog)
			require.NoError(t, err)
			require.Contains(t, string(net), filepath.Base(page), "the log knows the page itself")
			assert.NotContains(t, string(net), "canary.example")
			printed, err := os.ReadFile(pdf)
			require.NoError(t, err)
			assert.True(t, bytes.HasPrefix(printed, []byte("%PDF-")))
			assert.NotContains(t, string(printed), "/JavaScript")
			_, log = browse(t, page, "--window-size=1000,1400", "--screenshot="+shot)
			assert.Empty(t, console.FindAllString(log, -1))
			picture, err := os.ReadFile(shot)
			require.NoError(t, err)
			assert.True(t, bytes.HasPrefix(picture, []byte("\x89PNG")))
			if keep := os.Getenv("COUNTERFOIL_SHOTS"); keep != "" {
				require.NoError(t, os.WriteFile(filepath.Join(keep, name+".png"), picture, 0o666))
				require.NoError(t, os.WriteFile(filepath.Join(keep, name+".pdf"), printed, 0o666))
			}
		})
	}
}

// axeScript finds the accessibility checker axe-core, at the path that
// COUNTERFOIL_AXE gives or in a folder of NODE_PATH.
func axeScript(t *testing.T) string {
	t.Helper()
	places := []string{os.Getenv("COUNTERFOIL_AXE")}
	for _, dir := range filepath.SplitList(os.Getenv("NODE_PATH")) {
		places = append(places, filepath.Join(dir, "axe-core", "axe.min.js"))
	}
	for _, name := range places {
		if data, err := os.ReadFile(name); err == nil {
			return string(data)
		}
	}
	lacking(t, "axe-core is absent: install it (npm install axe-core) and set COUNTERFOIL_AXE to its axe.min.js")
	return ""
}

const runAxe = `
addEventListener("load", () => axe.run(document, {resultTypes: ["violations", "incomplete"]}).then(r => {
  const lines = (kind, list) => list.flatMap(v => v.nodes.map(n => kind + " " + v.id + ": " + n.target.join(" ") + " " + n.failureSummary));
  document.body.innerHTML = "<pre></pre>";
  document.body.firstChild.textContent = ["passes " + r.passes.length, ...lines("violation", r.violations), "done"].join("\n");
}));`

// axe-core (the engine of most accessibility checks, WCAG 2.2 A and AA and good
// practice) finds nothing: contrast, landmarks, headings, tables, names.
func TestAccessibility(t *testing.T) {
	script := axeScript(t)
	sample, index, hostilePage := writePages(t)
	for name, page := range map[string]string{"sample": sample, "index": index, "hostile": hostilePage} {
		for _, width := range []int{360, 1200} {
			t.Run(fmt.Sprintf("%s at %d", name, width), func(t *testing.T) {
				data, err := os.ReadFile(page)
				require.NoError(t, err)
				// The checker needs a page that lets scripts run.
				text := strings.Replace(string(data), "default-src 'none'", "default-src 'unsafe-inline' 'unsafe-eval'", 1)
				text = strings.Replace(text, "</head>", "<script>"+strings.ReplaceAll(script, "</script", `<\/script`)+runAxe+"</script></head>", 1)
				checked := filepath.Join(t.TempDir(), "page.html")
				require.NoError(t, os.WriteFile(checked, []byte(text), 0o666))
				out, _ := browse(t, checked, "--dump-dom", "--virtual-time-budget=20000", fmt.Sprintf("--window-size=%d,1000", width))
				_, result, ok := strings.Cut(out, "><pre>passes ")
				require.True(t, ok, "the checker did not end")
				assert.Regexp(t, `^[2-9][0-9]\ndone</pre>`, result, "rules passed, then what they found")
			})
		}
	}
}
