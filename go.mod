module example.org/kerfleaf

go 1.26.3

require (
	codeberg.org/go-pdf/fpdf v0.12.0
	github.com/chromedp/cdproto v0.159.0
	github.com/chromedp/chromedp v0.23.0
	github.com/fogleman/gg v1.3.0
	github.com/go-text/typesetting v0.3.5
	github.com/pelletier/go-toml/v2 v2.4.3
	github.com/peterstace/simplefeatures v0.59.0
	github.com/schollz/progressbar/v3 v3.19.1
	github.com/twpayne/go-geom v1.7.0
	github.com/urfave/cli/v2 v2.27.7
	golang.org/x/image v0.48.0
	golang.org/x/term v0.44.0
	golang.org/x/text v0.44.0
)

require (
	github.com/cpuguy83/go-md2man/v2 v2.0.7 // indirect
	github.com/go-json-experiment/json v0.0.0-20260213210345-44df1a37e875 // indirect
	github.com/golang/freetype v0.0.0-20170609003504-e2365dfdc4a0 // indirect
	github.com/mitchellh/colorstring v0.0.0-20190213212951-d06e56a500db // indirect
	github.com/rivo/uniseg v0.4.7 // indirect
	github.com/russross/blackfriday/v2 v2.1.0 // indirect
	github.com/xrash/smetrics v0.0.0-20240521201337-686a1a2994c1 // indirect
	golang.org/x/sys v0.50.0 // indirect
)
