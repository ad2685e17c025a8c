package words

import (
	"bytes"
	"errors"
	"fmt"
	"sync"

	"github.com/go-text/typesetting/bidi"
	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
	"github.com/go-text/typesetting/harfbuzz"
	"golang.org/x/image/font/gofont/gobold"

	"example.org/kerfleaf/internal/ring"
)

// A FontError says that a font could not be read, or that what it holds is
// damaged.
type FontError struct {
	Err error // the cause
}

func (e *FontError) Error() string { return "words: the font cannot be used: " + e.Err.Error() }

// Unwrap returns the cause.
func (e *FontError) Unwrap() error { return e.Err }

// A Font is a typeface that was read once and may set any number of texts, by
// several goroutines at the same time. It keeps the polygons of the letters
// that it has set, so the next name is set faster.
type Font struct {
	font    *font.Font
	tables  sync.RWMutex // written to by newHarfBuzz only
	setters sync.Pool    // of *setter
	areas   sync.Map     // from glyphKey to *geom.MultiPolygon
}

// ParseFont reads a TrueType or OpenType font (TTF or OTF) from the bytes of
// its file. Of a collection (TTC) it takes the first font, of a variable font
// the default instance. The bytes must not be changed afterwards. The error is
// a *FontError.
func ParseFont(data []byte) (*Font, error) {
	f := &Font{}
	err := guard(func() error {
		if err := checkDirectory(data); err != nil {
			return err
		}
		loaders, err := opentype.NewLoaders(bytes.NewReader(data))
		if err != nil {
			return err
		}
		f.font, err = font.NewFont(loaders[0])
		return err
	})
	if err == nil && f.font.Upem() == 0 {
		err = errors.New("it has 0 units to the em")
	}
	if err != nil {
		return nil, &FontError{err}
	}
	return f, nil
}

// BuiltIn returns the built-in font, Go Bold by Bigelow & Holmes, which covers
// Latin, Greek and Cyrillic (WGL4). It is a sturdy face: its slots are wide
// enough to weed, and its letters stand up as paper.
func BuiltIn() *Font { return builtIn() }

var builtIn = sync.OnceValue(func() *Font {
	f, err := ParseFont(gobold.TTF)
	if err != nil {
		panic(err) // the font is compiled in: only a broken build gets here
	}
	return f
})

// A setter is what one goroutine needs to set text: the parts of the shaping
// library that may not be shared.
type setter struct {
	*Font
	face  *font.Face
	hb    *harfbuzz.Font
	buf   *harfbuzz.Buffer
	bidi  bidi.Paragraph
	boxes map[opentype.GID]ring.Box
}

// use lends a setter to do. The shaping library indexes into the font's tables
// and panics on some damaged ones, so a panic becomes a *FontError here; the
// setter is dropped then.
func (f *Font) use(do func(*setter) error) error {
	s, _ := f.setters.Get().(*setter)
	if s == nil {
		err := guard(func() error {
			f.tables.Lock()
			defer f.tables.Unlock()
			face := font.NewFace(f.font)
			s = &setter{Font: f, face: face, hb: newHarfBuzz(face), buf: harfbuzz.NewBuffer(), boxes: map[opentype.GID]ring.Box{}}
			return nil
		})
		if err != nil {
			return &FontError{err}
		}
	}
	var failed error // an error of ours, to be told from the guard's
	err := guard(func() error {
		f.tables.RLock()
		defer f.tables.RUnlock()
		failed = do(s)
		return nil
	})
	if err != nil {
		return &FontError{err}
	}
	f.setters.Put(s)
	return failed
}

// guard runs do and turns a panic into an error.
func guard(do func() error) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("damaged table: %v", p)
		}
	}()
	return do()
}

// capHeight is the height of the capitals in font units.
func (s *setter) capHeight() float64 {
	if id, ok := s.face.NominalGlyph('H'); ok {
		if b, err := s.bounds(id); err == nil && b.MinY < 0 {
			return -b.MinY
		}
	}
	if h := s.face.LineMetric(font.CapHeight); h > 0 {
		return float64(h)
	}
	return 0.7 * float64(s.font.Upem())
}

// pitch is the font's own distance between baselines in font units.
func (s *setter) pitch() float64 {
	if e, ok := s.face.FontHExtents(); ok && e.Ascender-e.Descender > 0 {
		return float64(e.Ascender - e.Descender + max(0, e.LineGap))
	}
	return 1.2 * float64(s.font.Upem())
}
