package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// block returns the fenced code between a marker in README.md and its end.
func block(t *testing.T, readme, marker string) string {
	t.Helper()
	_, rest, ok := strings.Cut(readme, "<!-- "+marker+" -->\n```")
	_, rest, ok2 := strings.Cut(rest, "\n")
	code, _, ok3 := strings.Cut(rest, "```\n<!-- end -->")
	if !ok || !ok2 || !ok3 {
		t.Fatalf("README.md has no block %q", marker)
	}
	return code
}

// fenced returns the first fenced block that holds a text.
func fenced(t *testing.T, readme, text string) string {
	t.Helper()
	for _, part := range strings.Split(readme, "```") {
		if strings.Contains(part, text) {
			_, body, _ := strings.Cut(part, "\n")
			return body
		}
	}
	t.Fatalf("README.md has no block with %q", text)
	return ""
}

// The README's program is built in a module of its own, outside the project,
// with the go.mod that the README shows, and run.
func TestReadmeProgram(t *testing.T) {
	if testing.Short() {
		t.Skip("builds a second module")
	}
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	readme := read(t, filepath.Join(root, "README.md"))
	dir := t.TempDir()
	mod := strings.Replace(fenced(t, readme, "module supper"), "=> ../kerfleaf", "=> "+root, 1)
	sum, err := os.ReadFile(filepath.Join(root, "go.sum"))
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{"go.mod": mod, "go.sum": string(sum), "main.go": block(t, readme, "program")} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	var stdout, stderr bytes.Buffer
	cmd := exec.Command("go", "run", "-mod=mod", ".")
	cmd.Dir, cmd.Stdout, cmd.Stderr = dir, &stdout, &stderr
	cmd.Env = append(os.Environ(), "GOFLAGS=", "GOWORK=off")
	if err := cmd.Run(); err != nil {
		t.Fatalf("%v\n%s", err, stderr.String())
	}
	// 200 x 100 pixels of 0.25 mm from (25, 25) mm, less a kerf of 0.2 mm: the
	// path runs from 25.1 to 74.9 and from 25.1 to 49.9.
	for _, want := range []string{`width="100mm"`, `height="75mm"`, "25.1", "74.9", "49.9"} {
		if !strings.Contains(stdout.String(), want) {
			t.Errorf("the SVG lacks %s:\n%s", want, stdout.String())
		}
	}
}

// What the README says the demo prints is what it prints.
func TestReadmeDemo(t *testing.T) {
	readme := read(t, filepath.Join("..", "..", "README.md"))
	want := block(t, readme, "demo")
	desk(t)
	if got := mustRun(t, "demo"); got != want {
		t.Errorf("the README shows\n%s\nbut the demo prints\n%s", want, got)
	}
}
