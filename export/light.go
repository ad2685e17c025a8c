package export

import (
	"image/color"
	"math"
)

// A shade is a colour in the linear light of each channel, 0 to 1.
type shade [3]float32

func shadeOf(c color.Color) shade {
	n := color.NRGBAModel.Convert(c).(color.NRGBA)
	return shade{linear[n.R], linear[n.G], linear[n.B]}
}

func (s shade) times(f float32) shade { return shade{s[0] * f, s[1] * f, s[2] * f} }

// tinted is the colour in shade, warmed by light from the wall.
func (s shade) tinted(f float64) shade {
	v := float32(f)
	return shade{s[0] * v, s[1] * v * (0.93 + 0.07*v), s[2] * v * (0.82 + 0.18*v)}
}

func (s shade) mix(t shade, f float32) shade {
	return shade{s[0] + (t[0]-s[0])*f, s[1] + (t[1]-s[1])*f, s[2] + (t[2]-s[2])*f}
}

// linear is the light of each sRGB value (IEC 61966-2-1).
var linear = func() (t [256]float32) {
	for i := range t {
		v := float64(i) / 255
		if v <= 0.04045 {
			t[i] = float32(v / 12.92)
		} else {
			t[i] = float32(math.Pow((v+0.055)/1.055, 2.4))
		}
	}
	return t
}()

// encoded is the sRGB value of each of 4096 steps of light.
var encoded = func() (t [4097]uint8) {
	for i := range t {
		v := float64(i) / 4096
		if v <= 0.0031308 {
			v *= 12.92
		} else {
			v = 1.055*math.Pow(v, 1/2.4) - 0.055
		}
		t[i] = uint8(v*255 + 0.5)
	}
	return t
}()

func encode(v float32) uint8 { return encoded[int(min(max(v, 0), 1)*4096+0.5)] }
