package page

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
)

// The mark is three steps of a ladder of claps, each higher than the one before. Colours are those
// of the report page.
var (
	sea   = color.RGBA{0x0d, 0x5c, 0x6b, 0xff}
	rust  = color.RGBA{0xf0, 0x94, 0x6a, 0xff}
	paper = color.RGBA{0xfb, 0xf8, 0xf1, 0xff}
)

// step of the mark, in hundredths of the icon's side. They keep inside the circle of four fifths
// that hosts may cut out.
type markStep struct {
	x, y, w, h int
	fill       color.RGBA
}

var steps = []markStep{{24, 56, 14, 16, paper}, {43, 42, 14, 30, paper}, {62, 28, 14, 44, rust}}

func iconPNG(side int) ([]byte, error) {
	picture := image.NewRGBA(image.Rect(0, 0, side, side))
	draw.Draw(picture, picture.Bounds(), image.NewUniform(sea), image.Point{}, draw.Src)
	for _, s := range steps {
		box := image.Rect(s.x*side/100, s.y*side/100, (s.x+s.w)*side/100, (s.y+s.h)*side/100)
		draw.Draw(picture, box, image.NewUniform(s.fill), image.Point{}, draw.Src)
	}
	var out bytes.Buffer
	err := png.Encode(&out, picture)
	return out.Bytes(), err
}

func iconSVG() []byte {
	var out bytes.Buffer
	hex := func(c color.RGBA) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }
	fmt.Fprintf(&out, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100">`+
		`<rect width="100" height="100" rx="12" fill="%s"/>`, hex(sea))
	for _, s := range steps {
		fmt.Fprintf(&out, `<rect x="%d" y="%d" width="%d" height="%d" fill="%s"/>`, s.x, s.y, s.w, s.h, hex(s.fill))
	}
	out.WriteString("</svg>\n")
	return out.Bytes()
}

// addIcons adds the icons and the manifest that makes the page installable (W3C Web Application
// Manifest).
func addIcons(files map[string][]byte) error {
	type icon struct {
		Src     string `json:"src"`
		Sizes   string `json:"sizes"`
		Type    string `json:"type"`
		Purpose string `json:"purpose,omitempty"`
	}
	icons := []icon{{"icon.svg", "any", "image/svg+xml", ""}}
	for _, side := range []int{180, 192, 512} {
		name := fmt.Sprintf("icon-%d.png", side)
		data, err := iconPNG(side)
		if err != nil {
			return err
		}
		files[name] = data
		icons = append(icons, icon{name, fmt.Sprintf("%dx%d", side, side), "image/png", "any maskable"})
	}
	files["icon.svg"] = iconSVG()
	manifest, err := json.MarshalIndent(map[string]any{
		"name": "clapladder", "short_name": "clapladder",
		"description": "Which tier can this group handle? Listens to a call-and-response " +
			"warm-up, on this phone alone.",
		"start_url": "./", "scope": "./", "id": "./", "display": "standalone",
		"background_color": "#fbf8f1", "theme_color": "#0d5c6b", "icons": icons,
	}, "", "  ")
	files["manifest.webmanifest"] = append(manifest, '\n')
	return err
}
