package main

import (
	"encoding/json"
	"fmt"
	"os"
	"runtime"
	"slices"
	"strings"
	"testing"
)

func writeText(t testing.TB, name, text string) {
	t.Helper()
	if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func folders(t *testing.T, dir string) (names []string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return names
}

func TestBatch(t *testing.T) {
	desk(t)
	savePNG(t, "slots.png", slots(300, 200, false))
	writeText(t, "crew.csv", "\ufeffWords,paper,drawing,width\nWren Tolliver,card,,\n\"Marlo Quay, Cox\",thin-card,,\n\nWren Tolliver,,,\nOona Pell,vellom,,\n,,slots.png,90mm\nCON,,,\n")
	code, out, msg := kerfleaf("batch", "crew.csv", "--letter-height", "15mm", "--format", "svg")
	if code != exitFailed || !strings.Contains(msg, "crew.csv line 6:") || !strings.Contains(msg, "vellom") || !strings.Contains(msg, "1 of 6 rows failed") {
		t.Errorf("exit %d\n%s%s", code, out, msg)
	}
	want := []string{"con-", "marlo-quay-cox", "slots", "wren-tolliver", "wren-tolliver-2"}
	if got := folders(t, "kerfleaf-out"); !slices.Equal(got, want) {
		t.Errorf("folders %v, want %v", got, want)
	}
	// A row is what the command itself would have made.
	mustRun(t, "box", "--words", "Marlo Quay, Cox", "--letter-height", "15mm", "--paper", "thin-card", "--format", "svg", "--out", "one")
	if a, b := read(t, "one/front.svg"), read(t, "kerfleaf-out/marlo-quay-cox/front.svg"); a != b {
		t.Error("the row differs from the command")
	}
}

func TestBatchResume(t *testing.T) {
	desk(t)
	writeText(t, "crew.csv", "words;letter-height\nWren;15mm\nMarlo;12,5mm\n")
	if err := os.MkdirAll("kerfleaf-out/"+partial+"7", 0o755); err != nil { // as an interrupted run leaves it
		t.Fatal(err)
	}
	flags := []string{"batch", "crew.csv", "--make", "words", "--format", "svg"}
	mustRun(t, flags...)
	if got := folders(t, "kerfleaf-out"); !slices.Equal(got, []string{"marlo", "wren"}) {
		t.Errorf("folders %v", got)
	}
	if err := os.RemoveAll("kerfleaf-out/wren"); err != nil {
		t.Fatal(err)
	}
	if code, _, msg := kerfleaf(flags...); code != exitFailed || !strings.Contains(msg, "--resume") {
		t.Errorf("a second run: exit %d\n%s", code, msg)
	}
	if err := os.RemoveAll("kerfleaf-out/wren"); err != nil {
		t.Fatal(err)
	}
	var got struct{ Made, Skipped, Failed int }
	if err := json.Unmarshal([]byte(mustRun(t, append(flags, "--resume", "--json")...)), &got); err != nil {
		t.Fatal(err)
	}
	if got.Made != 1 || got.Skipped != 1 || got.Failed != 0 {
		t.Errorf("resumed: %+v", got)
	}
	mustRun(t, append(flags, "--force")...)
}

func TestBatchTogether(t *testing.T) {
	desk(t)
	writeText(t, "crew.csv", "words,paper,name\nWren,card,\nMarlo,card,\nOona,thin-card,\nPip,card,sheets\n")
	out := mustRun(t, "batch", "crew.csv", "--make", "words", "--width", "80mm", "--format", "svg", "--together", "--sheet", "a4")
	want := []string{"card-1.dxf", "card-1.png", "card-1.svg", "thin-card-1.dxf", "thin-card-1.png", "thin-card-1.svg"}
	if got := files(t, "kerfleaf-out/sheets"); !slices.Equal(got, want) {
		t.Errorf("files %v, want %v\n%s", got, want, out)
	}
	if got := folders(t, "kerfleaf-out"); !slices.Equal(got, []string{"marlo", "oona", "sheets", "sheets-2", "wren"}) {
		t.Errorf("folders %v", got)
	}
	// Three cards of card: their outlines and what is cut in each lie on one sheet.
	if svg := read(t, "kerfleaf-out/sheets/card-1.svg"); !strings.Contains(svg, `width="210mm" height="297mm"`) || strings.Count(svg, "<path") < 12 {
		t.Errorf("sheet: %.300s", svg)
	}
}

func TestBatchRefuses(t *testing.T) {
	desk(t)
	writeText(t, "empty.csv", "")
	writeText(t, "heads.csv", "words\n")
	writeText(t, "column.csv", "words,colour\nWren,red\n")
	writeText(t, "twice.csv", "words,words\nWren,Wren\n")
	writeText(t, "quote.csv", "words\n\"Wren\n")
	writeText(t, "long.csv", "words\nWren\nMarlo,Quay\n")
	writeText(t, "good.csv", "words\nWren\n")
	for _, c := range []struct {
		args string
		code int
		says string
	}{
		{"batch", exitUsage, "one list"},
		{"batch none.csv", exitFailed, "none.csv"},
		{"batch empty.csv", exitFailed, "empty"},
		{"batch heads.csv", exitFailed, "no rows"},
		{"batch column.csv", exitFailed, "colour"},
		{"batch twice.csv", exitFailed, "twice"},
		{"batch quote.csv", exitFailed, "quote.csv"},
		{"batch long.csv", exitFailed, "line 3"},
		{"batch good.csv --make soup", exitUsage, "--make"},
		{"batch good.csv --make trace", exitFailed, "no drawing"},
		{"batch good.csv --make words --depth 2cm", exitUsage, "--depth"},
		{"batch good.csv --out good.csv", exitFailed, "good.csv"},
	} {
		if code, _, msg := kerfleaf(strings.Fields(c.args)...); code != c.code || !strings.Contains(msg, c.says) {
			t.Errorf("%s: exit %d, want %d and %q:\n%s", c.args, code, c.code, c.says, msg)
		}
	}
}

func TestSafeName(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"Wren Tolliver", "wren-tolliver"}, {`Wren\nTolliver`, "wren-tolliver"}, {"../../etc", "etc"}, {"  ", "words"}, {"", "words"},
		{"Åse Ørn", "åse-ørn"}, {"NUL", "nul-"}, {"a/b\\c:d", "a-b-c-d"}, {"é\u0301", "é\u0301"}, {"…!", "words"},
	} {
		if got := safeName(c.in); got != c.want {
			t.Errorf("safeName(%q) = %q, want %q", c.in, got, c.want)
		}
	}
}

func FuzzSafeName(f *testing.F) {
	f.Add("Wren Tolliver")
	f.Add("../..")
	f.Add("con")
	f.Fuzz(func(t *testing.T, s string) {
		n := safeName(s)
		if n == "" || strings.ContainsAny(n, "/\\:*?\"<>|.\x00\n ") || reserved[n] || len(n) > 80 {
			t.Errorf("safeName(%q) = %q", s, n)
		}
	})
}

// Names a second, words only, and the peak of memory: it must not grow with the
// number of names.
func BenchmarkBatch(b *testing.B) {
	for _, n := range []int{10, 100, 1000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			dir := b.TempDir()
			var csv strings.Builder
			csv.WriteString("words\n")
			for i := range n {
				fmt.Fprintf(&csv, "Crew Number %d\n", i)
			}
			writeText(b, dir+"/crew.csv", csv.String())
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			for b.Loop() {
				if code, _, msg := kerfleaf("batch", dir+"/crew.csv", "--make", "words", "--format", "svg", "--out", dir+"/out", "--force"); code != exitDone {
					b.Fatal(msg)
				}
			}
			runtime.ReadMemStats(&after)
			b.ReportMetric(float64(n*b.N)/b.Elapsed().Seconds(), "names/s")
			b.ReportMetric(float64(after.Sys)/1e6, "MB-from-system")
		})
	}
}
