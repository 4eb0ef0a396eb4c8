package edition

import (
	"strings"

	"bedline/api/render/locale"
	"bedline/api/render/page"
	"bedline/pricing"
)

// labels are the words that the writers of pages need.
func labels(l *locale.Locale) page.Labels {
	return page.Labels{Page: l.Say("page.page"), Contents: l.Say("page.contents"), Source: l.Say("page.source"),
		Enlarge: l.Say("page.enlarge"), Whole: l.Say("page.whole")}
}

// titleOf is what the job is called, empty for nothing; words that are nothing but blanks say nothing.
func titleOf(q *pricing.Quote) string {
	if title := strings.TrimSpace(q.Job.Title); title != "" {
		return title
	}
	return strings.TrimSpace(q.Job.Reference)
}

// optionName is the name of an option, or its number where the name is nothing but blanks.
func optionName(q *pricing.Quote, i int, l *locale.Locale) string {
	if name := strings.TrimSpace(q.Options[i].Name); name != "" {
		return name
	}
	return l.Whole(i + 1)
}
