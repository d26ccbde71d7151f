package main

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"
)

var subjects = []string{"lamps", "tides", "stores", "birds", "wrecks", "weather", "letters", "knots"}

// What the invented keepers write about.
var (
	who   = []string{"the keeper", "the second keeper", "the boatman", "the inspector", "a stranger", "the cook", "nobody"}
	did   = []string{"trimmed", "counted", "forgot", "mended", "carried up", "entered in the log", "painted", "weighed"}
	what  = []string{"the lamp", "forty gallons of oil", "the brass rail", "a basket of eggs", "the storm glass", "two coils of rope", "the ladder", "a crate of wicks"}
	since = []string{"before the tide turned", "while the fog lasted", "in a falling wind", "as on every Sunday", "for the third time this month", "and said nothing of it", "by the light of the moon"}
)

// textBook writes a book of prose in A5 with a running number on each page.
func textBook(seed uint64, pages int) ([]byte, error) {
	random := rand.New(rand.NewPCG(seed, 1871))
	doc := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: 148, Ht: 210}})
	doc.SetCreationDate(time.Unix(0, 0).UTC())
	doc.SetModificationDate(time.Unix(0, 0).UTC())
	doc.SetCatalogSort(true)
	doc.SetTitle(fmt.Sprintf("Larkhaven papers, volume %d", seed), true)
	doc.SetMargins(18, 18, 18)
	doc.SetAutoPageBreak(false, 0)
	for page := 1; page <= pages; page++ {
		doc.AddPage()
		doc.SetFont("Times", "", 11)
		for range 5 {
			doc.MultiCell(0, 5, paragraph(random), "", "J", false)
			doc.Ln(2)
		}
		doc.SetFont("Times", "I", 9)
		doc.Text(72, 198, fmt.Sprint(page))
	}
	var out bytes.Buffer
	err := doc.Output(&out)
	return out.Bytes(), err
}

func paragraph(random *rand.Rand) string {
	one := func(words []string) string { return words[random.IntN(len(words))] }
	var sentences []string
	for range 4 + random.IntN(3) {
		s := one(who) + " " + one(did) + " " + one(what) + " " + one(since) + "."
		sentences = append(sentences, strings.ToUpper(s[:1])+s[1:])
	}
	return strings.Join(sentences, " ")
}
