package web

import (
	"bytes"
	"image"
	"image/png"
	"os"
	"os/exec"
	"strings"
	"testing"

	cdpage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

func TestShots(t *testing.T) {
	if os.Getenv("SHOTS") == "" {
		t.Skip("tool")
	}
	full := demoShop(t)
	empty := emptyShop(t)
	ctx := chrome(t)
	var pages []string
	if only := os.Getenv("ONLY"); only != "" {
		pages = strings.Split(only, " ")
	} else {
		pages = demoPages
	}
	modes := strings.Split(os.Getenv("SHOTS"), ",")
	for _, m := range modes {
		s := full
		if strings.Contains(m, "empty") {
			s = empty
		}
		tb := s.openSignedIn(t, ctx)
		if strings.Contains(m, "dark") {
			tb.scheme("dark")
		} else {
			tb.scheme("light")
		}
		if strings.Contains(m, "narrow") {
			tb.width(320)
		} else {
			tb.width(1280)
		}
		for _, p := range pages {
			tb.visit(p)
			name := "/tmp/shots/web/" + m + strings.NewReplacer("/", "_", "?", "~", "&", "+", "=", "-").Replace(p)
			if len(name) > 90 {
				name = name[:90]
			}
			if strings.Contains(m, "print") {
				var w, h float64 = 8.27, 11.69
				if strings.Contains(m, "letter") {
					w, h = 8.5, 11
				}
				res, err := chromedp.Call(tb.ctx, cdpage.PrintToPDF, cdpage.PrintToPDFParams{PaperWidth: w, PaperHeight: h, PreferCSSPageSize: new(bool)})
				if err != nil {
					t.Fatal(err)
				}
				data := res.Data
				os.WriteFile(name+".pdf", data, 0o644)
				exec.Command("pdftoppm", "-r", "60", "-png", name+".pdf", name).Run()
				continue
			}
			full, err := chromedp.Run(tb.ctx, chromedp.FullScreenshot(100))
			if err != nil {
				t.Fatal(err)
			}
			img, err := png.Decode(bytes.NewReader(full))
			if err != nil {
				t.Fatal(err)
			}
			for i, y := 0, 0; y < img.Bounds().Dy() && i < 5; i, y = i+1, y+1500 {
				part := img.(interface {
					SubImage(image.Rectangle) image.Image
				}).SubImage(image.Rect(0, y, img.Bounds().Dx(), min(y+1500, img.Bounds().Dy())))
				f, _ := os.Create(name + "." + string(rune('a'+i)) + ".png")
				png.Encode(f, part)
				f.Close()
			}
		}
	}
}
