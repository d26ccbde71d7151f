module foldwright

go 1.26.8

require (
	codeberg.org/go-pdf/fpdf v0.12.0
	github.com/OpenPrinting/goipp v1.2.0
	github.com/cli/browser v1.3.0
	github.com/gofrs/flock v0.13.2
	github.com/hashicorp/mdns v1.0.7
	github.com/hbollon/go-edlib v1.7.0
	github.com/jeandeaual/go-locale v0.0.0-20250612000132-0ef82f21eade
	github.com/klippa-app/go-pdfium v1.21.4
	github.com/pdfcpu/pdfcpu v0.15.0
	github.com/rivo/uniseg v0.4.7
	github.com/rogpeppe/go-internal v1.16.0
	github.com/schollz/progressbar/v3 v3.19.1
	github.com/spf13/cobra v1.10.2
	github.com/spf13/pflag v1.0.10
	github.com/tetratelabs/wazero v1.12.0
	go.yaml.in/yaml/v3 v3.0.6
	golang.org/x/image v0.48.0
	golang.org/x/sync v0.25.0
	golang.org/x/sys v0.50.0
	golang.org/x/term v0.48.0
	golang.org/x/text v0.44.0
)

require (
	github.com/clipperhouse/uax29/v2 v2.7.0 // indirect
	github.com/google/uuid v1.6.0 // indirect
	github.com/hhrutter/tiff v1.0.6 // indirect
	github.com/inconshreveable/mousetrap v1.1.0 // indirect
	github.com/jolestar/go-commons-pool/v2 v2.1.2 // indirect
	github.com/mattn/go-runewidth v0.0.27 // indirect
	github.com/miekg/dns v1.1.72 // indirect
	github.com/mitchellh/colorstring v0.0.0-20190213212951-d06e56a500db // indirect
	golang.org/x/crypto v0.58.0 // indirect
	golang.org/x/mod v0.42.0 // indirect
	golang.org/x/net v0.61.0 // indirect
	golang.org/x/tools v0.52.0 // indirect
)
