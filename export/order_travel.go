package export

import "time"

// Travel is the way a tool makes over a drawing, in mm, from home and back.
type Travel struct {
	Score float64 // along scores and perforations
	Cut   float64 // along cuts
	PenUp float64 // lifted, between them and from and to home
	Lifts int     // how often the tool goes down
}

// Travel follows the lines of d in their order and direction, from home and back;
// holes of a polygon come before its outer ring, notes do not count. An error is
// one that the writers would return.
func (d *Drawing) Travel(home [2]float64) (Travel, error) {
	if err := d.check(); err != nil {
		return Travel{}, err
	}
	var t Travel
	at := place{home[0], home[1]}
	for _, l := range d.Layers {
		if l.Role == Note {
			continue
		}
		for _, s := range l.Shapes {
			for p := range paths(s) {
				for i := range p.ends {
					k := (i + 1) % len(p.ends)
					start := p.start
					if k > 0 {
						start = p.ends[k-1]
					}
					first := place{p.flat[start], p.flat[start+1]}
					t.PenUp += at.to(first)
					t.Lifts++
					at = first
					for j := start + p.stride; j < p.ends[k]; j += p.stride {
						q := place{p.flat[j], p.flat[j+1]}
						if l.Role == Cut {
							t.Cut += at.to(q)
						} else {
							t.Score += at.to(q)
						}
						at = q
					}
				}
			}
		}
	}
	t.PenUp += at.to(place{home[0], home[1]})
	return t, nil
}

// Time is how long the tool is under way: working at the one speed, lifted at the
// other, both in mm per second. It does not know how the tool brakes in corners.
func (t Travel) Time(working, lifted float64) time.Duration {
	return time.Duration((t.Score+t.Cut)/working*float64(time.Second) + t.PenUp/lifted*float64(time.Second))
}
