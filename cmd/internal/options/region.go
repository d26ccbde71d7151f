package options

import (
	"fmt"
	"slices"
	"strings"

	locale "github.com/jeandeaual/go-locale"
)

// Region is the region for which the computer is set up, an ISO 3166 code
// such as GB, or empty if it does not say.
type Region string

// SystemRegion asks the operating system.
func SystemRegion() Region {
	code, err := locale.GetRegion()
	if err != nil {
		return ""
	}
	return Region(strings.ToUpper(code))
}

// letterRegions are the regions whose office paper is letter; everywhere else
// it is A4 (Unicode CLDR, supplemental data, measurementData, paperSize: from memory).
var letterRegions = []Region{"BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE"}

// Paper is the office paper of the region and why it was chosen.
func (r Region) Paper() (paper, because string) {
	switch {
	case r == "":
		return "a4", "assumed, as this computer names no region"
	case slices.Contains(letterRegions, r):
		return "letter", fmt.Sprintf("the office paper of this computer's region, %s", r)
	}
	return "a4", fmt.Sprintf("the office paper of this computer's region, %s", r)
}
