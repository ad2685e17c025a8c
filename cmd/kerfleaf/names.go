package main

import (
	"path/filepath"
	"strings"
	"unicode"
)

// stem is the name that the results of a drawing are called by.
func stem(path string) string {
	base := filepath.Base(path)
	if s := strings.TrimSuffix(base, filepath.Ext(base)); s != "" {
		return s
	}
	return base
}

// safeName turns a text into a file name that every system takes: letters and
// digits of any script, other runs become a hyphen.
func safeName(text string) string {
	var b strings.Builder
	gap := false
	for _, r := range strings.ReplaceAll(text, `\n`, " ") {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) && !unicode.IsMark(r) {
			gap = true
			continue
		}
		if gap && b.Len() > 0 {
			b.WriteByte('-')
		}
		gap = false
		b.WriteRune(unicode.ToLower(r))
		if b.Len() >= 60 {
			break
		}
	}
	if b.Len() == 0 {
		return "words"
	}
	name := b.String()
	if reserved[name] {
		return name + "-"
	}
	return name
}

// reserved are the names that one common system keeps for its devices.
var reserved = map[string]bool{
	"con": true, "prn": true, "aux": true, "nul": true,
	"com1": true, "com2": true, "com3": true, "com4": true, "com5": true, "com6": true, "com7": true, "com8": true, "com9": true,
	"lpt1": true, "lpt2": true, "lpt3": true, "lpt4": true, "lpt5": true, "lpt6": true, "lpt7": true, "lpt8": true, "lpt9": true,
}

// oneLine shows a text of several lines in a summary.
func oneLine(text string) string {
	return strings.Join(strings.FieldsFunc(strings.ReplaceAll(text, `\n`, "\n"), func(r rune) bool { return r == '\n' || r == '\r' }), " / ")
}
