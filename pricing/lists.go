package pricing

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"
)

// Summary tells which price list there is, without what is in it.
type Summary struct {
	Name      string
	Version   int
	Currency  string // ISO 4217 code
	System    string // "us" or "metric"
	Effective string // YYYY-MM-DD
	Note      string
	ETag      string // quotes included
}

// Lists is where price lists come from.
type Lists interface {
	// Summaries are those of the latest version of every list, by name.
	Summaries(ctx context.Context) ([]Summary, error)

	// Latest is the latest version of a list. The error is a *ListNotFoundError if there is none of the name.
	Latest(ctx context.Context, name string) (*List, error)

	// Version is one version of a list. The error is a *ListNotFoundError if there is none such.
	Version(ctx context.Context, name string, version int) (*List, error)
}

// ListNotFoundError says that there is no such list, or no such version of it.
type ListNotFoundError struct {
	Name    string
	Version int      // the version asked for, 0 for the latest
	Known   []string // the names that there are, sorted
	Latest  int      // the latest version of the list, 0 if there is no list of the name
}

// Error names what there is instead.
func (e *ListNotFoundError) Error() string {
	switch {
	case e.Latest > 0:
		return fmt.Sprintf("price list %q has no version %d; the latest is %d", e.Name, e.Version, e.Latest)
	case len(e.Known) == 0:
		return fmt.Sprintf("there is no price list %q, nor any other", e.Name)
	}
	return fmt.Sprintf("there is no price list %q; there are: %s", e.Name, strings.Join(e.Known, ", "))
}

// VersionConflictError says that a list was not what the caller who wanted to publish a version took it to be.
type VersionConflictError struct {
	Name    string
	Current string // ETag of the latest version, empty if there is none
}

// Error says what is there.
func (e *VersionConflictError) Error() string {
	if e.Current == "" {
		return fmt.Sprintf("price list %q does not exist", e.Name)
	}
	return fmt.Sprintf("price list %q has been changed: its latest version is now %s", e.Name, e.Current)
}

// FixedLists are price lists in memory that nobody can publish to.
type FixedLists struct {
	lists []*List // by name, then version
}

// Fixed are the lists given. Of two with one name and version the first is kept.
func Fixed(lists ...*List) *FixedLists {
	f := &FixedLists{lists: slices.Clone(lists)}
	slices.SortStableFunc(f.lists, func(a, b *List) int {
		return cmp.Or(cmp.Compare(a.Name, b.Name), cmp.Compare(a.Version, b.Version))
	})
	f.lists = slices.CompactFunc(f.lists, func(a, b *List) bool { return a.Name == b.Name && a.Version == b.Version })
	return f
}

// Summaries implements Lists.
func (f *FixedLists) Summaries(context.Context) ([]Summary, error) {
	summaries := make([]Summary, 0, len(f.lists))
	for i, l := range f.lists {
		if i+1 == len(f.lists) || f.lists[i+1].Name != l.Name {
			summaries = append(summaries, l.Summary())
		}
	}
	return summaries, nil
}

// Latest implements Lists.
func (f *FixedLists) Latest(_ context.Context, name string) (*List, error) {
	for _, l := range slices.Backward(f.lists) {
		if l.Name == name {
			return l, nil
		}
	}
	return nil, f.missing(name, 0)
}

// Version implements Lists.
func (f *FixedLists) Version(_ context.Context, name string, version int) (*List, error) {
	for _, l := range f.lists {
		if l.Name == name && l.Version == version {
			return l, nil
		}
	}
	return nil, f.missing(name, version)
}

func (f *FixedLists) missing(name string, version int) error {
	e := &ListNotFoundError{Name: name, Version: version}
	for _, l := range f.lists {
		if len(e.Known) == 0 || e.Known[len(e.Known)-1] != l.Name {
			e.Known = append(e.Known, l.Name)
		}
		if l.Name == name {
			e.Latest = max(e.Latest, l.Version)
		}
	}
	return e
}
