// Package scoring compares what a student did with the hidden truth. Begin with
// a sitting that is over, done again from its log by [sitting.Replay]:
//
//   - [Of] is its [Mark]: how near the end point is, and what it took.
//   - [Review] is the whole [Report]: the points by part with their evidence,
//     what went otherwise than the method has it, and the way it went. It
//     needs a [Par], which [ParOf] works out from an expert's sittings.
//   - [Compare] compares two lenses alone.
//
// Nothing here is in words. Findings have IDs and values, and so have reasons
// and verdicts (package fact); numbers have units. Package render/voice knows
// the words for them, in every language.
//
// An end point is judged as the lens that is left over when the truth is taken
// away from it, so that plus-cylinder and minus-cylinder forms of one lens are
// one answer, and a sphere can be compared with a sphero-cylinder (the idea of
// Taylor and others (2011), Eye 25:1333).
package scoring
