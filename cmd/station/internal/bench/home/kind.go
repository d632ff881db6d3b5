package home

import (
	"bytes"
	"slices"
	"strings"
	"unicode/utf8"

	"conoid/cmd/station/internal/hand"
)

// signatures are the bytes that files of a kind begin with, by the ID of the words for
// the kind. They are written down from memory of the formats: PNG, JPEG, GIF, BMP, TIFF;
// PDF; ZIP, which office documents are too, gzip, 7z, RAR, OLE; MP3, Ogg, FLAC, Matroska; and our own logs.
var signatures = []struct{ kind, begin string }{
	{"picture", "\x89PNG\r\n"}, {"picture", "\xff\xd8\xff"}, {"picture", "GIF8"}, {"picture", "II*\x00"}, {"picture", "MM\x00*"},
	{"pdf", "%PDF-"},
	{"archive", "PK\x03\x04"}, {"archive", "\x1f\x8b"}, {"archive", "7z\xbc\xaf"}, {"archive", "Rar!"}, {"archive", "\xd0\xcf\x11\xe0"},
	{"sound", "ID3"}, {"sound", "OggS"}, {"sound", "fLaC"}, {"sound", "\x1a\x45\xdf\xa3"},
	{"log", `{"conoid"`},
}

// kindOf is what a file is that is clearly none of ours, as the end of the ID of its
// words; empty for what may be a file of ours.
func kindOf(data []byte) string {
	for _, s := range signatures {
		if bytes.HasPrefix(data, []byte(s.begin)) {
			return s.kind
		}
	}
	head := string(data[:min(len(data), 16)])
	switch {
	case len(bytes.TrimSpace(data)) == 0:
		return "empty"
	case strings.HasPrefix(head, "BM") && !utf8.Valid(data):
		return "picture"
	case len(head) >= 12 && (head[4:8] == "ftyp" || head[:4] == "RIFF"): // what is in it comes next
		if slices.Contains([]string{"WEBP", "heic", "heix", "mif1", "avif"}, head[8:12]) {
			return "picture"
		}
		return "sound"
	case isPage(data):
		return "page"
	case bytes.IndexByte(data, 0) >= 0 || len(data) <= hand.Largest && !utf8.Valid(data):
		return "binary"
	}
	return ""
}

// isPage reports whether a text is a web page or a drawing of the web.
func isPage(data []byte) bool {
	head := strings.ToLower(string(bytes.TrimSpace(data[:min(len(data), 200)])))
	for _, begin := range []string{"<!doctype html", "<html", "<?xml", "<svg"} {
		if strings.HasPrefix(head, begin) {
			return true
		}
	}
	return false
}
