"""From MEI to a picture: Verovio's SVG made fit for `<img>`, on screen and on paper."""
