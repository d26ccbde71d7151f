package main

import (
	_ "embed"
	"fmt"
	"strings"
)

//go:embed text/licences.txt
var licencesHead string

// licencesText is all components with their texts. What several have in common stands there once.
func licencesText(parts []component) string {
	type entry struct {
		body string
		of   []string
	}
	var entries []*entry
	index := map[string]*entry{}
	var out strings.Builder
	out.WriteString(licencesHead)
	for _, c := range parts {
		name := strings.TrimSpace(c.name + " " + c.version)
		fmt.Fprintf(&out, "  %s\n", name)
		for _, t := range c.texts {
			e := index[t.body]
			if e == nil {
				e = &entry{body: t.body}
				index[t.body] = e
				entries = append(entries, e)
			}
			e.of = append(e.of, name+", "+t.file)
		}
	}
	for _, e := range entries {
		fmt.Fprintf(&out, "\n%s\n%s\n%s\n\n%s", rule, strings.Join(e.of, "\n"), rule, e.body)
	}
	return out.String()
}

var rule = strings.Repeat("=", 78)
