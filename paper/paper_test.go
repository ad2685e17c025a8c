package paper_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"example.org/kerfleaf/paper"
)

func near(t testing.TB, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.6f, want %.6f", what, got, want)
	}
}

func builtIn(t testing.TB) paper.Stocks {
	t.Helper()
	s, err := paper.BuiltIn()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Every paper of the table is complete, thinner paper bears no less than the
// rules of thumb say (a web at least as wide as the sheet is thick, a bridge wider
// than a web: common practice), and its bulk is that of real paper: 1.0 to 1.8
// cm³/g (thickness = weight x bulk, ISO 534).
func TestBuiltInPapers(t *testing.T) {
	names := ""
	for _, s := range builtIn(t) {
		names += s.Name + " "
		if s.Note == "" || s.GSM <= 0 || s.Tolerance <= 0 || s.Smooth <= 0 || s.Kerf != 0 {
			t.Errorf("%+v is incomplete", s)
		}
		if bulk := s.Thickness * 1000 / s.GSM; bulk < 1 || bulk > 1.8 {
			t.Errorf("%s: bulk %.2f cm³/g", s.Name, bulk)
		}
		if s.MinWeb < s.Thickness || s.Caution <= s.MinWeb || s.Bridge <= s.Caution {
			t.Errorf("%s: web %g, bridge %g", s.Name, s.MinWeb, s.Bridge)
		}
	}
	if want := "copy heavy-copy thin-card light-card card heavy-card smooth-card watercolour "; names != want {
		t.Errorf("got %s", names)
	}
}

func TestMerge(t *testing.T) {
	own := `# what the club has in its cupboard
[card]
kerf = "0.2 mm"

["Black Card"]
gsm = "110 lb cover"
thickness = "0.016in"

[mystery]
thickness = 0.3
min-web = 1
`
	before := builtIn(t)
	after, err := before.Merge("papers.toml", []byte(own))
	if err != nil {
		t.Fatal(err)
	}
	card, err := after.Find("CARD")
	if err != nil {
		t.Fatal(err)
	}
	if card.Kerf != 0.2 || card.Thickness != 0.28 || card.MinWeb != 0.8 {
		t.Errorf("card: %+v", card)
	}
	if old, _ := before.Find("card"); old.Kerf != 0 {
		t.Error("the table that was merged into has changed")
	}
	black, err := after.Find("black card")
	if err != nil {
		t.Fatal(err)
	}
	near(t, "thickness", black.Thickness, 0.4064, 1e-9)
	near(t, "gsm", black.GSM, 297.45, 5e-3)
	near(t, "web", black.MinWeb, 0.8128, 1e-9)
	near(t, "caution", black.Caution, 1.6256, 1e-9)
	near(t, "bridge", black.Bridge, 2.4384, 1e-9)
	near(t, "tolerance", black.Tolerance, 0.06064, 1e-9)
	if after[0].Name != "mystery" || after[0].MinWeb != 1 || after[0].Bridge != 2 {
		t.Errorf("mystery: %+v", after[0])
	}
	if n := len(after) - len(before); n != 2 {
		t.Errorf("%d new papers", n)
	}
}

func TestMergeErrors(t *testing.T) {
	for _, c := range []struct {
		text string
		line int
		say  string
	}{
		{"[card]\n\nthickness = -0.2\n", 3, "card: thickness -0.2 mm must be more than zero"},
		{"[card]\nthickness = 0\n", 2, "more than zero"},
		{"[a]\nthickness = 1\n[card]\nthickness = \"thick\"", 4, `card: thickness "thick" is not a length`},
		{"[card]\nthickness = inf\n", 2, "not a length"},
		{"[card]\nbridge = 280\n", 2, "more than any paper has"},
		{"[card]\ncolour = 3\n", 2, `"colour" is not a value of a paper`},
		{"[reed]\nkerf = 0\n", 1, "reed: a new paper needs a thickness"},
		{"[card]\ngsm = \"110 lb\"\n", 2, "pounds of what"},
		{"[card\n", 1, "expected ']'"},
		{"card = 1\n", 1, "cannot decode"},
		{"[card]\nkerf=[1]\n", 2, "cannot decode"},
		{"card = {kerf = -1}\n", 0, "more than zero"},
		{"[\" \"]\nthickness = 1\n", 1, "needs a name"},
	} {
		_, err := builtIn(t).Merge("own.toml", []byte(c.text))
		var fe *paper.FileError
		if !errors.As(err, &fe) {
			t.Errorf("%q: got %v", c.text, err)
			continue
		}
		if fe.Line != c.line || !strings.Contains(fe.Problem, c.say) || fe.File != "own.toml" {
			t.Errorf("%q: got %v, want line %d: %s", c.text, err, c.line, c.say)
		}
	}
}

func TestFindSuggests(t *testing.T) {
	for asked, want := range map[string]string{
		"cardd": "card", "watercolor": "watercolour", "heavycard": "heavy-card", "thin crad": "thin-card",
		"velvet": "", "": "", "coyp": "copy",
	} {
		_, err := builtIn(t).Find(asked)
		var e *paper.UnknownError
		if !errors.As(err, &e) {
			t.Fatalf("%q: %v", asked, err)
		}
		if got := e.Nearest(); got != want {
			t.Errorf("%q: suggested %q, want %q", asked, got, want)
		}
	}
}

// FuzzMerge: no text makes Merge panic, and what it accepts can be used.
func FuzzMerge(f *testing.F) {
	f.Add(paper.BuiltInTOML())
	f.Add("[card]\nkerf = \"1/64 in\"\n")
	f.Add("card.kerf = 0.1\n[card.x]\n")
	known := builtIn(f)
	f.Fuzz(func(t *testing.T, text string) {
		s, err := known.Merge("own.toml", []byte(text))
		if err != nil {
			return
		}
		for _, k := range s {
			if !(k.Thickness > 0 && k.MinWeb > 0 && k.Bridge > 0 && k.Tolerance > 0 && k.Kerf >= 0 && k.Smooth >= 0 && k.Bridge < 1e4) {
				t.Errorf("accepted %+v", k)
			}
			if got, err := s.Find(k.Name); err != nil || got.Name != k.Name {
				t.Errorf("%q is in the table and not found", k.Name)
			}
		}
	})
}

func ExampleBuiltIn() {
	stocks, err := paper.BuiltIn()
	if err != nil {
		fmt.Println(err)
		return
	}
	card, err := stocks.Find("card")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s: %g g/m², %g mm thick, webs of %g mm hold\n", card.Name, card.GSM, card.Thickness, card.MinWeb)
	// Output:
	// card: 216 g/m², 0.28 mm thick, webs of 0.8 mm hold
}

func ExampleStocks_Find() {
	stocks, err := paper.BuiltIn()
	if err != nil {
		fmt.Println(err)
		return
	}
	_, err = stocks.Find("water colour")
	fmt.Println(err)
	// Output:
	// paper: unknown paper "water colour": did you mean "watercolour"?
}

func ExampleStocks_Merge() {
	stocks, err := paper.BuiltIn()
	if err != nil {
		fmt.Println(err)
		return
	}
	stocks, err = stocks.Merge("papers.toml", []byte("[reed-paper]\ngsm = \"65 lb cover\"\nthickness = 0.25\n"))
	if err != nil {
		fmt.Println(err)
		return
	}
	reed, err := stocks.Find("reed-paper")
	fmt.Printf("%.0f g/m², web %g mm, bridge %g mm, %v\n", reed.GSM, reed.MinWeb, reed.Bridge, err)
	_, err = stocks.Merge("papers.toml", []byte("[card]\n\nkerf = -1\n"))
	fmt.Println(err)
	// Output:
	// 176 g/m², web 0.5 mm, bridge 2 mm, <nil>
	// paper: papers.toml:3: card: kerf -1 mm must be more than zero
}

func ExampleBuiltInTOML() {
	fmt.Println(strings.Contains(paper.BuiltInTOML(), "[watercolour]"))
	// Output:
	// true
}

func ExampleUnknownError_Nearest() {
	e := paper.UnknownError{What: "sheet size", Name: "lettre", Known: []string{"a4", "letter"}}
	fmt.Println(e.Nearest())
	// Output:
	// letter
}
