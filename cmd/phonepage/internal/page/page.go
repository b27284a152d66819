// Package page puts the phone page together: one self-contained file, or a folder for a web host.
package page

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"html/template"
	"io/fs"
	"path"
	"slices"
	"strings"
)

//go:embed web
var web embed.FS

// Parts are what the page is made of beside its own files.
type Parts struct {
	Scorer   []byte // the Go program for the browser, packed with gzip
	Startup  []byte // the script that starts Go programs in a browser
	Tool     string // name and version
	Licences []byte // texts of what is linked in, packed with gzip
}

// The names of parts that the page asks for.
const (
	scorerPart  = "scorer.wasm.gz"
	workerPart  = "worker.js"
	workletPart = "tap.js"
	licencePart = "licences.txt.gz"
)

// highestTier is the highest tier that a leader can name on the page: that of the starter bank.
const highestTier = 9

// modules are the page's own scripts, by name.
func modules() ([]string, error) {
	found, err := fs.Glob(web, "web/*.js")
	if err != nil {
		return nil, err
	}
	var names []string
	for _, f := range found {
		if name := path.Base(f); !slices.Contains([]string{workerPart, workletPart, "sw.js"}, name) {
			names = append(names, name)
		}
	}
	return names, nil
}

func read(name string) []byte {
	data, err := web.ReadFile("web/" + name)
	if err != nil {
		panic(err) // it is embedded
	}
	return data
}

// worker is Go's start-up script and what runs after it.
func (p Parts) worker() []byte {
	return slices.Concat(p.Startup, []byte("\n"), read(workerPart))
}

const bareImports = "clapladder/" // what the modules write before each other's names

// document is what the template shows.
type document struct {
	Kind, Policy, Tool string
	Head, Body         template.HTML
	Tiers              []int
}

// build fills the template. imports says where each module is, scripts and workers what the policy
// adds.
func (p Parts) build(kind string, imports map[string]string, policy func(inline []string) string,
	head, body string,
) ([]byte, error) {
	table, err := json.Marshal(map[string]any{"imports": imports})
	if err != nil {
		return nil, err
	}
	const begin = `import "` + bareImports + `app.js"`
	head += `<script type="importmap">` + string(table) + `</script>`
	body += `<script type="module">` + begin + `</script>`
	d := document{
		Kind: kind, Policy: policy([]string{string(table), begin}), Tool: p.Tool,
		Head: template.HTML(head), Body: template.HTML(body),
	}
	for t := range highestTier {
		d.Tiers = append(d.Tiers, t+1)
	}
	shell, err := template.New("page").Parse(string(read("index.html")))
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	if err := shell.Execute(&out, d); err != nil {
		return nil, fmt.Errorf("filling the page: %w", err)
	}
	return out.Bytes(), nil
}

// File is the page as one file, with all parts inside.
func (p Parts) File() ([]byte, error) {
	names, err := modules()
	if err != nil {
		return nil, err
	}
	imports := map[string]string{}
	for _, name := range names {
		imports[bareImports+name] = "data:text/javascript;base64," +
			base64.StdEncoding.EncodeToString(read(name))
	}
	var body strings.Builder
	for _, part := range []struct {
		name string
		data []byte
	}{
		{workerPart, p.worker()},
		{workletPart, read(workletPart)},
		{licencePart, p.Licences},
		{scorerPart, p.Scorer},
	} {
		fmt.Fprintf(&body, "<script type=\"text/plain\" id=\"part-%s\">%s</script>\n", part.name,
			encode85(part.data))
	}
	policy := func(inline []string) string {
		return "default-src 'none'; script-src " + hashes(inline) +
			" data: 'wasm-unsafe-eval'; worker-src blob:; " +
			"style-src 'unsafe-inline'; img-src data: blob:; media-src blob:; connect-src " +
			"'none'; form-action 'none'; base-uri 'none'"
	}
	return p.build("file", imports, policy, "<style>"+string(read("app.css"))+"</style>\n", body.String())
}

// Folder is the page as files for any static web host, by name.
func (p Parts) Folder() (map[string][]byte, error) {
	names, err := modules()
	if err != nil {
		return nil, err
	}
	files := map[string][]byte{
		"app.css": read("app.css"), workerPart: p.worker(), workletPart: read(workletPart),
		scorerPart: p.Scorer, licencePart: p.Licences,
	}
	imports := map[string]string{}
	for _, name := range names {
		imports[bareImports+name] = "./" + name
		files[name] = read(name)
	}
	if err := addIcons(files); err != nil {
		return nil, err
	}
	policy := func(inline []string) string {
		return "default-src 'none'; script-src 'self' " + hashes(inline) +
			" 'wasm-unsafe-eval'; worker-src 'self'; manifest-src 'self'; " +
			"style-src 'self' 'unsafe-inline'; img-src 'self' data: blob:; media-src blob:; " +
			"connect-src 'self'; form-action 'none'; base-uri 'none'"
	}
	head := `<link rel="stylesheet" href="app.css"><link rel="manifest" href="manifest.webmanifest">` +
		`<link rel="icon" href="icon.svg"><link rel="apple-touch-icon" href="icon-180.png">` + "\n"
	if files["index.html"], err = p.build("host", imports, policy, head, ""); err != nil {
		return nil, err
	}
	files["sw.js"], err = serviceWorker(files)
	return files, err
}

// serviceWorker names all parts and a sum of them, so that a change of any makes a new version.
func serviceWorker(files map[string][]byte) ([]byte, error) {
	var names []string
	for name := range files {
		names = append(names, name)
	}
	slices.Sort(names)
	sum := sha256.New()
	for _, name := range names {
		fmt.Fprintf(sum, "%s %d\n", name, len(files[name]))
		sum.Write(files[name])
	}
	parts := append([]string{"./"}, slices.DeleteFunc(slices.Clone(names),
		func(n string) bool { return n == "index.html" })...)
	list, err := json.Marshal(parts)
	if err != nil {
		return nil, err
	}
	script := strings.Replace(string(read("sw.js")), "VERSION`", hex.EncodeToString(sum.Sum(nil)[:8])+"`", 1)
	return []byte(strings.Replace(script, "PARTS", string(list), 1)), nil
}

// hashes allows scripts inside the page by what they are (CSP level 2, hash sources).
func hashes(scripts []string) string {
	var out []string
	for _, s := range scripts {
		sum := sha256.Sum256([]byte(s))
		out = append(out, "'sha256-"+base64.StdEncoding.EncodeToString(sum[:])+"'")
	}
	return strings.Join(out, " ")
}

// encode85 writes bytes as their number, a space, and five characters for every four bytes: those
// from # on without < and \, which need no escape in a page. assets.js reads it.
func encode85(data []byte) string {
	var digits []byte
	for c := byte('#'); len(digits) < 85; c++ {
		if c != '<' && c != '\\' {
			digits = append(digits, c)
		}
	}
	out := fmt.Appendf(make([]byte, 0, len(data)*5/4+16), "%d ", len(data))
	for at := 0; at < len(data); at += 4 {
		var word uint32
		for k := range 4 {
			word <<= 8
			if at+k < len(data) {
				word |= uint32(data[at+k])
			}
		}
		var five [5]byte
		for k := 4; k >= 0; k-- {
			five[k] = digits[word%85]
			word /= 85
		}
		out = append(out, five[:]...)
	}
	return string(out)
}
