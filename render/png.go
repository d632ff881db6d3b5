package render

import (
	"fmt"
	"image"
	"image/png"
	"io"

	"conoid/render/whole"
)

// WritePNG writes a picture to a file, over one that may be there already. The
// file is complete or, after an error, as it was before.
func WritePNG(path string, img image.Image) error {
	err := whole.Write(path, 0o644, true, func(w io.Writer) error { return png.Encode(w, img) })
	if err != nil {
		return fmt.Errorf("the picture cannot be written to %s: %w", path, err)
	}
	return nil
}
