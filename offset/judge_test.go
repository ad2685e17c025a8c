//go:build unix

package offset

import (
	"flag"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"text/tabwriter"

	"github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/encoding/wkb"

	"example.org/kerfleaf/internal/ring"
)

var judge = flag.String("judge", "", "program built from testdata/judge, to be timed against")

// cpuSeconds is the processor time that the process has used.
func cpuSeconds() float64 {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return math.NaN()
	}
	return float64(u.Utime.Nano()+u.Stime.Nano()) / 1e9
}

// TestAgainstLibraries prints how much processor time general libraries take for
// the same polygons, and compares the areas. See testdata/judge.
func TestAgainstLibraries(t *testing.T) {
	if *judge == "" {
		t.Skip("no -judge given")
	}
	runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(runtime.NumCPU())
	cases := []struct {
		name string
		mp   *geom.MultiPolygon
		d    []float64
	}{
		{"lace", lacePage(100_000, 1), []float64{0.1, -0.1, 1, -1, 3, -3}},
		{"noise", noisePage(520, 520, 2.4, 0.4, 1), []float64{0.1, -0.1, 1, -1}},
	}
	w := tabwriter.NewWriter(os.Stdout, 0, 8, 2, ' ', 0)
	fmt.Fprintln(w, "page\tvertices\trings\tmm\tengine\tway\tCPU s\ttimes ours\tarea mm²\tvertices out\trings out")
	for _, c := range cases {
		file := filepath.Join(t.TempDir(), c.name+".wkb")
		b, err := wkb.Marshal(c.mp, wkb.NDR)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, b, 0o600); err != nil {
			t.Fatal(err)
		}
		for _, d := range c.d {
			head := fmt.Sprintf("%s\t%d\t%d\t%+g", c.name, c.mp.NumCoords(), len(ring.Rings(c.mp)), d)
			ours := math.Inf(1)
			var out *geom.MultiPolygon
			measure := func() {
				for range 3 {
					runtime.GC()
					t0 := cpuSeconds()
					if out, err = Polygons(c.mp, d, nil); err != nil {
						t.Fatal(err)
					}
					ours = min(ours, cpuSeconds()-t0)
				}
			}
			measure()
			ref, err := exec.Command(*judge, file, fmt.Sprint(d), fmt.Sprint(DefaultTolerance)).Output()
			if err != nil {
				t.Fatal(err)
			}
			measure()
			fmt.Fprintf(w, "%s\tkerfleaf\t\t%.4f\t1\t%.1f\t%d\t%d\n", head, ours, out.Area(), out.NumCoords(), len(ring.Rings(out)))
			for line := range strings.Lines(string(ref)) {
				f := strings.Split(strings.TrimSpace(line), "\t")
				sec, _ := strconv.ParseFloat(f[2], 64)
				area, _ := strconv.ParseFloat(f[3], 64)
				fmt.Fprintf(w, "%s\t%s\t%s\t%.4f\t%.1f\t%.1f\t%s\t%s\n", head, f[0], f[1], sec, sec/ours, area, f[4], f[5])
				// Chords within the tolerance either way.
				if lim := 2*DefaultTolerance*out.Length() + 1; math.Abs(area-out.Area()) > lim {
					t.Errorf("%s %+g: area %.2f, %s %s says %.2f", c.name, d, out.Area(), f[0], f[1], area)
				}
			}
			w.Flush()
		}
	}
}
