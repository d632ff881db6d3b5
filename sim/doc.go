// Package sim is an introduction to the packages below it, which are a simulated
// patient for learning the astigmatic dial method. It has no code.
//
// An eye ([conoid/sim/eye]) looks through lenses ([conoid/sim/optics]) at a chart
// ([conoid/sim/chart]); the image on its retina ([conoid/sim/retina]) is all that
// the person knows who answers ([conoid/sim/patient]). A sitting
// ([conoid/sim/sitting]) is one examination of such a person, and an examiner who
// works by the book ([conoid/sim/expert]) can do it. The facts of the method are in
// [conoid/sim/method]. What people are to be told is a fact
// ([conoid/sim/fact]) until package [conoid/render/voice] puts it into words.
//
// Begin with the example of package sitting for somebody to examine, with that of
// package retina for an image, and with package [conoid/cases] for people whose
// eyes and lives are written already. Package [conoid/scoring] compares what was
// found with the truth, and [conoid/render] makes pictures.
//
// Nothing here knows a file, a display or a clock, and what is done twice comes out
// the same twice. It is a simulation for training: it measures nobody, and
// refraction of people is for licensed practice under local rules.
package sim
