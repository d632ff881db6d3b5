package cases

import (
	"slices"
	"strings"
)

// otherNames are names that people have, in English and German, for what has
// another one in a file: common abbreviations of the trade among them.
var otherNames = map[string]string{
	"od": "right", "oculus dexter": "right", "re": "right", "r": "right", "ra": "right", "rechts": "right", "right eye": "right", "right-eye": "right", "rechtes auge": "right",
	"os": "left", "oculus sinister": "left", "le": "left", "l": "left", "la": "left", "links": "left", "left eye": "left", "left-eye": "left", "linkes auge": "left",

	"person": "patient", "patientin": "patient", "client": "patient",
	"raum": "room", "zimmer": "room",
	"marks": "marking", "bewertung": "marking", "punkte": "marking",
	"german": "texts.de", "deutsch": "texts.de", "english": "texts.en", "englisch": "texts.en", "hints": "feedback", "hinweise": "feedback", "rückmeldung": "feedback", "text": "texts", "texte": "texts",

	"version": versionKey, "titel": "title", "stufe": "level", "difficulty": "level", "geschichte": "story",
	"alter": "age", "years": "age", "beschwerden": "symptoms", "complaint": "symptoms", "complaints": "symptoms", "symptome": "symptoms",
	"verhalten": "manner", "eye": "tested", "auge": "tested",
	"rx": "error", "refraction": "error", "refraktion": "error", "prescription": "error", "fehlsichtigkeit": "error", "fehler": "error", "truth": "error",
	"objektiv": "objective", "autorefraction": "objective", "autorefraktion": "objective", "retinoscopy": "objective", "skiaskopie": "objective",
	"pupille": "pupil", "va": "unaided", "visus": "unaided", "uva": "unaided", "akkommodationsbreite": "amplitude",
	"abstand": "distance", "entfernung": "distance", "hsa": "vertex", "bvd": "vertex", "beschriftung": "labels",
	"glasses": "spectacles", "brille": "spectacles", "old-glasses": "spectacles", "licht": "light", "luminance": "light", "leuchtdichte": "light",
	"sprache": "language", "autor": "author", "stichwörter": "tags", "ziele": "aims", "notizen": "notes", "note": "notes",
	"achse": "axis", "zylinder": "cylinder", "sphäre": "sphere", "schritte": "steps", "zeit": "time",
}

// otherName is the option that another name stands for; empty if there is none.
func otherName(word string, options []string) string {
	if meant := otherNames[strings.ToLower(word)]; slices.Contains(options, meant) {
		return meant
	}
	return ""
}
