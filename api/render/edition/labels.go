package edition

import (
	"bedline/api/render/locale"
	"bedline/api/render/page"
)

// labels are the words that the writers of pages need.
func labels(l *locale.Locale) page.Labels {
	return page.Labels{Page: l.Say("page.page"), Contents: l.Say("page.contents"), Source: l.Say("page.source"),
		Enlarge: l.Say("page.enlarge"), Whole: l.Say("page.whole")}
}
