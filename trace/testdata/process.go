//go:build ignore

// Process measures whole processes on the page that the benchmarks trace: one
// that decodes it, one that decodes it and calls trace.Image, and the program.
// On Linux, from the module's folder:
//
//	go test -run WritePage ./trace -args -write-page page.pgm
//	go run trace/testdata/process.go trace/page.pgm
//
// It prints for each the least CPU time, user and system, of several runs by
// turns, and the most memory that was resident, at 600 dpi and at 300, on one
// core and on two.
package main

import (
	"bufio"
	"fmt"
	"image"
	"image/png"
	"io"
	"log"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"time"

	"example.org/kerfleaf/trace"
)

const rounds = 9

func main() {
	log.SetFlags(0)
	if len(os.Args) == 2 {
		measure(os.Args[1])
		return
	}
	// A process of its own for each thing, as this one's memory would count.
	switch name := os.Args[2]; os.Args[1] {
	case "draw":
		draw(name, os.Args[3])
	case "decode":
		decode(name)
	case "image":
		if _, err := trace.Image(decode(name), 1, nil); err != nil {
			log.Fatal(err)
		}
	}
}

func measure(page string) {
	dir, err := os.MkdirTemp("", "process")
	if err != nil {
		log.Fatal(err)
	}
	defer os.RemoveAll(dir)
	self, err := os.Executable()
	if err != nil {
		log.Fatal(err)
	}
	program := filepath.Join(dir, "kerfleaf")
	run(exec.Command("go", "build", "-o", program, "./cmd/kerfleaf"))
	run(exec.Command(self, "draw", page, dir))
	for _, dpi := range []string{"600", "300"} {
		file := filepath.Join(dir, dpi+".png")
		traced := []string{program, "trace", file, "--dpi", dpi, "--format", "svg", "--out", dir, "--force", "--quiet"}
		processes := []struct {
			name    string
			command []string
		}{
			{"decode", []string{self, "decode", file}},
			{"decode, trace.Image", []string{self, "image", file}},
			{"kerfleaf trace, no order, no proof", append(traced[:len(traced):len(traced)], "--order", "off", "--proof", "off")},
			{"kerfleaf trace, no proof", append(traced[:len(traced):len(traced)], "--proof", "off")},
			{"kerfleaf trace", traced},
		}
		for _, cores := range []string{"1", "2"} {
			least := make([]time.Duration, len(processes))
			most := make([]int64, len(processes))
			for round := range rounds {
				for i, p := range processes {
					cpu, kb := used(p.command, cores)
					if round == 0 || cpu < least[i] {
						least[i] = cpu
					}
					most[i] = max(most[i], kb)
				}
			}
			for i, p := range processes {
				fmt.Printf("%s dpi, cores %s  %-36s %5d ms %5.1f times decoding %4d MB\n",
					dpi, cores, p.name, least[i].Milliseconds(), float64(least[i])/float64(least[0]), most[i]/1024)
			}
		}
	}
}

// used runs a command and returns what CPU time and memory it took.
func used(command []string, cores string) (cpu time.Duration, kb int64) {
	c := exec.Command(command[0], command[1:]...)
	c.Env = append(os.Environ(), "GOMAXPROCS="+cores)
	run(c)
	return c.ProcessState.UserTime() + c.ProcessState.SystemTime(), c.ProcessState.SysUsage().(*syscall.Rusage).Maxrss
}

func run(c *exec.Cmd) {
	if out, err := c.CombinedOutput(); err != nil {
		log.Fatalf("%s: %v\n%s", strings.Join(c.Args, " "), err, out)
	}
}

// draw writes the page as PNG, and at half its resolution the means of four pixels.
func draw(pgm, dir string) {
	f, err := os.Open(pgm)
	if err != nil {
		log.Fatal(err)
	}
	r := bufio.NewReader(f)
	var w, h, white int
	if _, err := fmt.Fscanf(r, "P5\n%d %d\n%d\n", &w, &h, &white); err != nil {
		log.Fatal(err)
	}
	whole, half := image.NewGray(image.Rect(0, 0, w, h)), image.NewGray(image.Rect(0, 0, w/2, h/2))
	if _, err := io.ReadFull(r, whole.Pix); err != nil {
		log.Fatal(err)
	}
	for y := range h / 2 {
		for x := range w / 2 {
			k := 2*y*whole.Stride + 2*x
			p, q := whole.Pix[k:k+2], whole.Pix[k+whole.Stride:k+whole.Stride+2]
			half.Pix[y*half.Stride+x] = uint8((int(p[0]) + int(p[1]) + int(q[0]) + int(q[1]) + 2) / 4)
		}
	}
	encode(whole, filepath.Join(dir, "600.png"))
	encode(half, filepath.Join(dir, "300.png"))
}

func encode(g *image.Gray, name string) {
	f, err := os.Create(name)
	if err != nil {
		log.Fatal(err)
	}
	if err := png.Encode(f, g); err != nil {
		log.Fatal(err)
	}
	if err := f.Close(); err != nil {
		log.Fatal(err)
	}
}

func decode(name string) image.Image {
	f, err := os.Open(name)
	if err != nil {
		log.Fatal(err)
	}
	m, err := png.Decode(f)
	if err != nil {
		log.Fatal(err)
	}
	return m
}
