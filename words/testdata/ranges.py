"""Makes ranges.ttf, a font of boxes drawn for these tests. Its kerning covers a
range of more than 64 glyphs and, after it, single ones."""
import sys
from fontTools.feaLib.builder import addOpenTypeFeaturesFromString
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen

pen = TTGlyphPen(None)
pen.moveTo((100, 0)), pen.lineTo((100, 700)), pen.lineTo((400, 700)), pen.lineTo((400, 0)), pen.closePath()
box = pen.glyph()

letters = {chr(0x100 + i): "g%d" % i for i in range(120)}
order = [".notdef", "H"] + list(letters.values())
font = FontBuilder(1000, isTTF=True)
font.setupGlyphOrder(order)
font.setupCharacterMap({ord(c): g for c, g in letters.items()} | {ord("H"): "H"})
font.setupGlyf({g: box for g in order})
font.setupHorizontalMetrics({g: (500, 100) for g in order})
font.setupHorizontalHeader(ascent=800, descent=-200)
font.setupNameTable({"familyName": "Boxes for tests", "styleName": "Regular"})
font.setupOS2(sCapHeight=700, version=4)
font.setupPost(keepGlyphNames=False)
first = ["g%d" % i for i in list(range(80)) + [90, 100, 110]]
addOpenTypeFeaturesFromString(font.font, "feature kern { pos [%s] [H] -150; } kern;" % " ".join(first))
font.save(sys.argv[1])
