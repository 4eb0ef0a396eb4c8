package document_test

import (
	"testing"

	"bedline/estimate/document"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestFaultsComeInTheOrderOfTheDocument(t *testing.T) {
	t.Parallel()
	root := parse(t, `{"b": [1, {"x": 1}], "a": {"z": 1, "y": 2}, "a/b": 3}`)
	var f document.Faults
	for _, p := range []string{"/c", "/a~1b", "/a/y", "/a/missing/deep", "/a/z", "/b/7", "/b/1/w", "/b/1/x", "/b/1", "/b/0", "", "/a", "/b", "no pointer"} {
		f.Add(p, "code", "detail", "")
	}
	want := []want{}
	for _, p := range []string{"", "no pointer", "/b", "/b/0", "/b/1", "/b/1/x", "/b/1/w", "/b/7", "/a", "/a/z", "/a/y", "/a/missing/deep", "/a~1b", "/c"} {
		want = append(want, struct{ pointer, code string }{p, "code"})
	}
	assert.Equal(t, want, codes(f.List(root)))
	assert.Len(t, f.List(nil), f.Len())
}

func TestTheOrderDoesNotDependOnTheOrderOfAdding(t *testing.T) {
	t.Parallel()
	root := parse(t, `{"b": [1, {"x": 1}], "a": {"z": 1}}`)
	pointers := []string{"", "/b", "/b/0", "/b/1", "/b/1/x", "/b/1/w", "/a", "/a/z", "/c"}
	rapid.Check(t, func(t *rapid.T) {
		var f document.Faults
		for _, p := range rapid.Permutation(pointers).Draw(t, "pointers") {
			f.Add(p, "code", "detail", "")
		}
		var got []string
		for _, x := range f.List(root) {
			got = append(got, x.Pointer)
		}
		assert.Equal(t, pointers, got)
	})
}

func TestOnlyTheFirstFaultOfAPointerAndCodeIsKept(t *testing.T) {
	t.Parallel()
	var f document.Faults
	f.Add("/a", "x", "first", "")
	f.Add("/a", "x", "second", "")
	f.Add("/a", "y", "third", "")
	got := f.List(parse(t, `{"a": 1}`))
	assert.Equal(t, 2, f.Len())
	assert.Equal(t, []string{"first", "third"}, []string{got[0].Detail, got[1].Detail})
}

func TestMergedFaultsFillOnlyPointersWithoutOne(t *testing.T) {
	t.Parallel()
	var f document.Faults
	f.Add("/a", "x", "ours", "")
	f.Merge([]document.Fault{{Pointer: "/a", Code: "schema"}, {Pointer: "/b", Code: "schema"}, {Pointer: "/b", Code: "other"}, {Pointer: "/b", Code: "schema"}})
	assert.Equal(t, []want{{"/a", "x"}, {"/b", "schema"}, {"/b", "other"}}, codes(f.List(parse(t, `{"a": 1, "b": 2}`))))
}

func TestNearWordsAreFound(t *testing.T) {
	t.Parallel()
	courses := []string{"sailor", "soldier", "header", "stretcher"}
	for _, c := range []struct {
		name, word string
		known      []string
		want       []string
	}{
		{"two letters swapped", "soldeir", courses, []string{"soldier"}},
		{"a letter missing", "sailr", courses, []string{"sailor"}},
		{"a letter too many", "saillor", courses, []string{"sailor"}},
		{"a wrong letter", "heager", courses, []string{"header"}},
		{"nothing near", "herringbone", courses, nil},
		{"an empty word", "", courses, nil},
		{"nothing known", "sailor", nil, nil},
		{"capitals", "Sailor", courses, []string{"sailor"}},
		{"at most three, in the order given", "aa", []string{"ba", "ca", "da", "ea"}, []string{"ba", "ca", "da"}},
		{"nearest first", "depths", []string{"death", "depth"}, []string{"depth", "death"}},
		{"one letter is near no other letter", "x", []string{"y"}, nil},
	} {
		assert.Equal(t, c.want, document.Nearest(c.word, c.known), c.name)
	}
}

func TestAWordIsNearestToItself(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		known := rapid.SliceOfN(rapid.StringN(1, 70, 300), 0, 8).Draw(t, "known")
		word := rapid.StringN(0, 80, 400).Draw(t, "word")
		near := document.Nearest(word, known)
		assert.LessOrEqual(t, len(near), 3)
		assert.Subset(t, known, near)
		assert.Equal(t, near, document.Nearest(word, known))
		short := rapid.StringN(1, 20, 80).Draw(t, "short")
		assert.Equal(t, short, document.Nearest(short, append(known, short))[0])
	})
}

func TestFaultsUnderAPlaceAreSeen(t *testing.T) {
	t.Parallel()
	var f document.Faults
	assert.False(t, f.Under(""))
	f.Add("/beds/10/id", "x", "detail", "")
	for _, at := range []string{"", "/beds", "/beds/10", "/beds/10/id"} {
		assert.True(t, f.Under(at), at)
	}
	for _, at := range []string{"/beds/1", "/bed", "/beds/10/i", "/beds/10/id/x"} {
		assert.False(t, f.Under(at), at)
	}
}
