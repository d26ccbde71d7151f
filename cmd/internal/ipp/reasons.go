package ipp

import "strings"

// reasonWords is what keywords of printer-state-reasons mean (RFC 8011, section 5.4.12;
// PWG 5100.9), without the severity at their end.
var reasonWords = []struct{ keyword, words string }{
	{"media-jam", "paper has jammed"},
	{"media-empty", "the tray is empty"},
	{"media-needed", "the printer wants paper"},
	{"media-low", "there is little paper left"},
	{"input-tray-missing", "a tray is missing"},
	{"cover-open", "a cover is open"},
	{"door-open", "a door is open"},
	{"interlock-open", "a cover is open"},
	{"output-area-full", "the delivery is full: take the sheets out, and keep their order"},
	{"output-area-almost-full", "the delivery is nearly full"},
	{"output-tray-missing", "the delivery tray is missing"},
	{"toner-empty", "the toner has run out"},
	{"toner-low", "there is little toner left"},
	{"marker-supply-empty", "ink or toner has run out"},
	{"marker-supply-low", "there is little ink or toner left"},
	{"marker-waste-full", "the container for used ink or toner is full"},
	{"marker-waste-almost-full", "the container for used ink or toner is nearly full"},
	{"fuser-over-temp", "the fuser is too hot; it cools down by itself"},
	{"fuser-under-temp", "the fuser is warming up"},
	{"opc-life-over", "the drum is worn out"},
	{"opc-near-eol", "the drum is nearly worn out"},
	{"paused", "the printer or its queue is paused"},
	{"moving-to-paused", "the printer is about to pause"},
	{"shutdown", "the printer is switched off"},
	{"offline", "the printer is switched off or out of reach"},
	{"connecting-to-device", "the printer is being looked for"},
	{"timed-out", "the printer doesn't answer"},
	{"stopped-partly", "part of the printer has stopped"},
	{"spool-area-full", "the printer has no room for the job"},
}

// Words is what the printer says is in the way, in words: its reasons, or the keywords
// themselves where they are not known. Nothing is said of what is only reported, nor of
// what a spooler says of itself.
func (s State) Words() []string {
	var all []string
	for _, reason := range s.Reasons {
		keyword := reason
		for _, severity := range []string{"-error", "-warning", "-report"} {
			keyword = strings.TrimSuffix(keyword, severity)
		}
		if strings.HasSuffix(reason, "-report") && keyword != "offline" || strings.HasPrefix(reason, "cups-") {
			continue
		}
		all = append(all, explain(keyword))
	}
	if s.Stopped && s.Message != "" {
		all = append(all, "it has stopped: "+s.Message)
	}
	return all
}

func explain(keyword string) string {
	for _, r := range reasonWords {
		if r.keyword == keyword {
			return r.words
		}
	}
	return "the printer reports " + keyword
}

// IsJammed tells whether sheets may have been lost on their way.
func (s State) IsJammed() bool {
	for _, r := range s.Reasons {
		if strings.HasPrefix(r, "media-jam") {
			return true
		}
	}
	return false
}
