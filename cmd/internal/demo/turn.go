package main

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
)

// turnPages adds /Rotate 90 to pages of a file that fpdf has just written, which fpdf cannot do itself,
// and moves the cross-reference table's offsets along. Numbers of pages count from 1.
func turnPages(file []byte, numbers []int) ([]byte, error) {
	head, offsets, trailer, err := splitTable(file)
	if err != nil {
		return nil, err
	}
	const pageDict = "<</Type /Page\n"
	const addition = "/Rotate 90\n"
	for _, number := range numbers {
		at := -1
		for range number {
			next := bytes.Index(head[at+1:], []byte(pageDict))
			if next < 0 {
				return nil, fmt.Errorf("page %d not found in the written file", number)
			}
			at += 1 + next
		}
		at += len(pageDict)
		head = append(head[:at:at], append([]byte(addition), head[at:]...)...)
		for i := range offsets {
			if offsets[i] >= at {
				offsets[i] += len(addition)
			}
		}
	}
	var out bytes.Buffer
	out.Write(head)
	start := out.Len()
	fmt.Fprintf(&out, "xref\n0 %d\n0000000000 65535 f \n", len(offsets)+1)
	for _, offset := range offsets {
		fmt.Fprintf(&out, "%010d 00000 n \n", offset)
	}
	fmt.Fprintf(&out, "%sstartxref\n%d\n%%%%EOF\n", trailer, start)
	return out.Bytes(), nil
}

// splitTable takes a file with a single cross-reference table apart: all before the table, the offsets of
// objects 1 and up, and the trailer up to startxref.
func splitTable(file []byte) (head []byte, offsets []int, trailer string, err error) {
	table := bytes.LastIndex(file, []byte("\nxref\n"))
	if table < 0 {
		return nil, nil, "", fmt.Errorf("no cross-reference table in the written file")
	}
	lines := strings.Split(string(file[table+1:]), "\n")
	for i, text := range lines[3:] {
		if text == "trailer" {
			rest := strings.Join(lines[3+i:], "\n")
			trailer, _, _ = strings.Cut(rest, "startxref")
			return file[:table+1], offsets, trailer, nil
		}
		offset, err := strconv.Atoi(strings.Fields(text + " ?")[0])
		if err != nil {
			return nil, nil, "", fmt.Errorf("cross-reference entry %d: %w", i+1, err)
		}
		offsets = append(offsets, offset)
	}
	return nil, nil, "", fmt.Errorf("no trailer in the written file")
}
