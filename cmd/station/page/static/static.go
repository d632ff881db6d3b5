// Package static makes a folder of the bench that any web server can serve: files whose
// names change with what is in them, and a page that names them.
package static

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"conoid/assets"
	"conoid/cmd/station/page"
	"conoid/render/voice"
)

// Bench is the program for a browser, with the loader that comes with Go.
type Bench struct {
	Plain, Brotli []byte // WebAssembly, as it is and compressed
	Loader        []byte
}

// Case is the case that a site opens with: the ID of one of the library, or a file.
type Case struct {
	ID   string
	Name string
	Data []byte
}

// Site is all files of a build.
type Site struct {
	ID    string            // of the build
	files map[string][]byte // whose names change with them
	page  []byte
	kept  page.Kept
}

// The files whose names stay, since everybody asks for them.
const (
	pageFile   = "index.html"
	workerFile = "worker.js"
)

// New makes a site, which opens with a case if one is given.
func New(b Bench, given *Case) (*Site, error) {
	s := &Site{files: map[string][]byte{}}
	build := page.Build{Worker: workerFile, Manifests: map[string]string{}, Bench: s.bench(b)}
	switch {
	case given == nil:
	case given.Data == nil:
		build.Case = &page.Given{ID: given.ID}
	default:
		build.Case = &page.Given{File: s.add("case.toml", given.Data), Name: given.Name}
	}
	icons := s.icons()
	for _, language := range assets.Languages() {
		build.Manifests[language] = s.add("conoid-"+language+".webmanifest", manifest(language, icons))
	}
	renamed := map[string]string{
		"wasm_exec.js": s.add("wasm_exec.js", b.Loader),
		page.WordsFile: s.add(page.WordsFile, page.Words()),
		page.BuildFile: s.add(page.BuildFile, build.Script()),
	}
	if err := s.compose(renamed, build, icons); err != nil {
		return nil, err
	}
	s.keep(build.Bench)
	return s, nil
}

// add adds a file under a name that goes with what is in it, and gives that name.
func (s *Site) add(name string, data []byte) string {
	ending := path.Ext(name)
	name = strings.TrimSuffix(name, ending) + "." + sum(data)[:16] + ending
	s.files[name] = data
	return name
}

// sum is the SHA-256 of a file.
func sum(data []byte) string { return fmt.Sprintf("%x", sha256.Sum256(data)) }

// bench adds the program: plain, for servers that compress it or have the Brotli beside
// it, and packed, for those that do not. Browsers unpack no Brotli by themselves; the
// ending is none that a server takes for an encoding.
func (s *Site) bench(b Bench) page.Program {
	plain := s.add("bench.wasm", b.Plain)
	s.files[plain+".br"] = b.Brotli
	return page.Program{Plain: plain, Packed: s.add("bench.bin", packed(b.Plain)), Size: len(b.Plain)}
}

func packed(data []byte) []byte {
	var out bytes.Buffer
	z, _ := gzip.NewWriterLevel(&out, gzip.BestCompression) // there is such a level
	z.Write(data)                                           // into memory: cannot fail
	z.Close()
	return out.Bytes()
}

// compose makes the page: that of the program, with the names of this build.
func (s *Site) compose(renamed map[string]string, build page.Build, icons []icon) error {
	all, err := fs.Glob(page.Files(), "*")
	if err != nil {
		return err
	}
	for _, name := range all {
		data, err := page.Files().ReadFile(name)
		if err != nil {
			return err
		}
		if name == pageFile {
			s.page = data
			continue
		}
		renamed[name] = s.add(name, data)
	}
	for name, to := range renamed {
		s.replace(`"`+name+`"`, `"`+to+`"`)
	}
	first := voice.English.Language
	s.replace(`<link rel="icon" href="data:,">`, `<link rel="icon" href="`+icons[0].Source+`">
  <link rel="apple-touch-icon" href="`+icons[0].Source+`">
  <link rel="manifest" href="`+build.Manifests[first]+`">`)
	s.replace(`<meta charset="utf-8">`, `<meta charset="utf-8">
  <meta http-equiv="Content-Security-Policy" content="`+page.MetaPolicy+`">
  <meta name="referrer" content="no-referrer">`)
	return nil
}

// replace changes what stands in the page once.
func (s *Site) replace(old, by string) {
	if bytes.Count(s.page, []byte(old)) != 1 {
		panic("static: not once in the page: " + old) // the page is in the program
	}
	s.page = bytes.Replace(s.page, []byte(old), []byte(by), 1)
}

// icon is an icon as a manifest names it.
type icon struct {
	Source  string `json:"src"`
	Sizes   string `json:"sizes"`
	Type    string `json:"type"`
	Purpose string `json:"purpose"`
}

// icons adds the icons, which may be cut to any form.
func (s *Site) icons() (out []icon) {
	for _, size := range []int{192, 512} {
		name := s.add(fmt.Sprintf("icon-%d.png", size), page.Icon(size))
		out = append(out, icon{name, fmt.Sprintf("%dx%d", size, size), "image/png", "any maskable"})
	}
	return out
}

// manifest says how the bench is installed, in a language (Web Application Manifest,
// W3C). The format has one language a file, so that there is one for each, and the page
// takes the one of its reader; that they start at the same address makes them one.
func manifest(language string, icons []icon) []byte {
	say := func(id string) string { return assets.Words(language, id)[0] }
	data, err := json.MarshalIndent(map[string]any{
		"name": say("page.title"), "short_name": "Conoid", "description": say("page.about"), "lang": language,
		"start_url": "./", "scope": "./", "display": "standalone",
		"background_color": "#f6f1e7", "theme_color": "#f6f1e7", "icons": icons,
	}, "", " ")
	if err != nil {
		panic("static: " + err.Error()) // texts by name can always be written
	}
	return append(data, '\n')
}

// keep says what the service worker keeps: the page, which names all others, gives the
// build its ID.
func (s *Site) keep(bench page.Program) {
	s.ID = sum(s.page)[:16]
	s.kept = page.Kept{ID: s.ID, Bench: bench, Files: map[string]string{"./": sum(s.page)}, Benches: map[string]string{}}
	for name, data := range s.files {
		switch name {
		case bench.Plain, bench.Packed:
			s.kept.Benches[name] = sum(data)
		case bench.Plain + ".br":
		default:
			s.kept.Files[name] = sum(data)
		}
	}
}

// names are the names that change with what is in the files, sorted.
func (s *Site) names() (out []string) {
	for name := range s.files {
		out = append(out, name)
	}
	slices.Sort(out)
	return out
}
