package picture

import (
	"context"
	"flag"
	"image"
	"os"
	"path/filepath"
	"testing"
	"time"
)

var look = flag.String("look", "", "write pictures for people to look at into this `folder`")

func write(t *testing.T, name string, img image.Image) {
	t.Helper()
	f, err := os.Create(filepath.Join(*look, name+".png"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := Encode(f, img); err != nil {
		t.Fatal(err)
	}
}

// Pictures to judge by eye: go test -run Look -look FOLDER.
func TestLook(t *testing.T) {
	if *look == "" {
		t.Skip("for the eye: go test -run Look -look FOLDER")
	}
	s := piece(1)
	for _, v := range []View{Front, Quarter, Side} {
		start := time.Now()
		img, err := Render(context.Background(), s, Options{Width: 1600, Height: 1200, View: v})
		if err != nil {
			t.Fatal(err)
		}
		t.Log(v, time.Since(start))
		write(t, "piece-"+v.String(), img)
	}
}

func BenchmarkRender(b *testing.B) {
	s := piece(1)
	for _, v := range []View{Front, Quarter} {
		b.Run(v.String(), func(b *testing.B) {
			for b.Loop() {
				if _, err := Render(context.Background(), s, Options{Width: 1600, Height: 1200, View: v}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
