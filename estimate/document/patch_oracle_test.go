package document_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	jsonpatch "github.com/evanphx/json-patch/v5"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate/document"
)

// The names of members in drawn documents; few, so that paths often meet something.
var drawnNames = rapid.SampledFrom([]string{"a", "b", "c", "x/y", "m~n"})

func drawnValue(t *rapid.T, depth int) string {
	kinds := 6
	if depth == 0 {
		kinds = 4
	}
	switch rapid.IntRange(0, kinds-1).Draw(t, "kind") {
	case 0:
		return fmt.Sprint(rapid.IntRange(-3, 3).Draw(t, "number"))
	case 1:
		return fmt.Sprintf("%q", drawnNames.Draw(t, "text"))
	case 2:
		return rapid.SampledFrom([]string{"true", "false"}).Draw(t, "bool")
	case 3:
		return rapid.SampledFrom([]string{`"2 ft"`, `"x"`}).Draw(t, "quantity")
	case 4:
		var items []string
		for range rapid.IntRange(0, 3).Draw(t, "items") {
			items = append(items, drawnValue(t, depth-1))
		}
		return "[" + strings.Join(items, ",") + "]"
	}
	return drawnObject(t, depth, "")
}

// drawnObject is an object; with null some of its members are.
func drawnObject(t *rapid.T, depth int, null string) string {
	var members []string
	for _, name := range rapid.SliceOfNDistinct(drawnNames, 0, 4, rapid.ID).Draw(t, "names") {
		value := null
		switch {
		case null == "" || rapid.Bool().Draw(t, "a value"):
			value = drawnValue(t, depth-1)
		case depth > 1 && rapid.Bool().Draw(t, "an object"):
			value = drawnObject(t, depth-1, null)
		}
		members = append(members, fmt.Sprintf("%q:%s", name, value))
	}
	return "{" + strings.Join(members, ",") + "}"
}

func drawnPath(t *rapid.T, label string) string {
	var b strings.Builder
	for range rapid.IntRange(1, 3).Draw(t, label) {
		b.WriteString("/" + rapid.SampledFrom([]string{"a", "b", "c", "0", "1", "2", "-", "x~1y", "m~0n", "a"}).Draw(t, label))
	}
	return b.String()
}

func drawnPatch(t *rapid.T) string {
	var list []string
	for range rapid.IntRange(0, 5).Draw(t, "operations") {
		op := rapid.SampledFrom([]string{"add", "add", "remove", "replace", "move", "copy", "test"}).Draw(t, "op")
		o := fmt.Sprintf(`{"op":%q,"path":%q`, op, drawnPath(t, "path"))
		switch op {
		case "add", "replace", "test":
			o += `,"value":` + drawnValue(t, 2)
		case "move", "copy":
			o += fmt.Sprintf(`,"from":%q`, drawnPath(t, "from"))
		}
		list = append(list, o+"}")
	}
	return "[" + strings.Join(list, ",") + "]"
}

// TestPatchesAgreeWithAnotherImplementation sets github.com/evanphx/json-patch beside ours, with the habits that RFC 6902
// does not have switched off.
func TestPatchesAgreeWithAnotherImplementation(t *testing.T) {
	t.Parallel()
	options := jsonpatch.NewApplyOptions()
	options.SupportNegativeIndices = false
	options.EscapeHTML = false
	applied, refused := 0, 0
	rapid.Check(t, func(rt *rapid.T) {
		target, patch := drawnObject(rt, 3, ""), drawnPatch(rt)
		theirs, err := jsonpatch.DecodePatch([]byte(patch))
		require.NoError(rt, err)
		if intoItself(theirs) {
			return // RFC 6902, 4.4, forbids it; the library goes by what is left after the removal
		}
		want, err := theirs.ApplyWithOptions([]byte(target), options)
		got, faults := patched(t, target, patch)
		require.Equal(rt, err == nil, len(faults) == 0, "%s\n%s\n%v\n%v", target, patch, err, faults)
		if err != nil {
			refused++
			require.Len(rt, faults, 1)
			return
		}
		applied++
		require.JSONEq(rt, string(want), got, "%s\n%s", target, patch)
	})
	assert.NotZero(t, applied)
	assert.NotZero(t, refused)
}

func intoItself(p jsonpatch.Patch) bool {
	for _, o := range p {
		path, _ := o.Path()
		if from, err := o.From(); err == nil && o.Kind() == "move" && strings.HasPrefix(path+"/", from+"/") {
			return true
		}
	}
	return false
}

func TestMergePatchesAgreeWithAnotherImplementation(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		target, patch := drawnObject(rt, 3, ""), drawnObject(rt, 3, "null")
		want, err := jsonpatch.MergePatch([]byte(target), []byte(patch))
		require.NoError(rt, err)
		got, faults := patched(t, target, patch)
		require.Empty(rt, faults)
		require.JSONEq(rt, string(want), got, "%s\n%s", target, patch)
	})
}

// The laws of the operations on one another.
func TestPatchesThatUndoOneAnother(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		target, value := drawnObject(rt, 3, ""), drawnValue(rt, 2)
		for _, patch := range []string{
			`[]`, `{}`,
			`[{"op":"add","path":"/new","value":` + value + `},{"op":"test","path":"/new","value":` + value + `},{"op":"remove","path":"/new"}]`,
			`[{"op":"add","path":"/new","value":[]},{"op":"add","path":"/new/-","value":` + value + `},{"op":"move","from":"/new/0","path":"/other"},{"op":"test","path":"/other","value":` + value +
				`},{"op":"remove","path":"/new"},{"op":"remove","path":"/other"}]`,
			`[{"op":"replace","path":"","value":` + target + `}]`,
			`[{"op":"test","path":"","value":` + target + `}]`,
		} {
			got, faults := patched(t, target, patch)
			require.Empty(rt, faults, patch)
			require.Equal(rt, target, got, patch)
		}
	})
}

func FuzzPatch(f *testing.F) {
	for _, s := range [][2]string{
		{`{"beds":[{"id":"a"}]}`, `[{"op":"replace","path":"/beds/0/id","value":"b"}]`},
		{`{"a":{"b":1}}`, `{"a":{"b":null,"c":[null]}}`},
		{`{"a":[1,2]}`, `[{"op":"move","from":"/a/0","path":"/a/-"},{"op":"copy","from":"","path":"/b"},{"op":"test","path":"/~01","value":1e0}]`},
	} {
		f.Add(s[0], s[1])
	}
	f.Fuzz(func(t *testing.T, target, changes string) {
		node, err := document.Parse([]byte(target))
		if err != nil || node.Kind != document.Object {
			return
		}
		root, err := document.Parse([]byte(`{"changes":` + changes + `}`))
		if err != nil || root.Member("changes") == nil {
			return
		}
		var faults document.Faults
		v, ok := document.Read(root, &faults).Value("changes", document.Required)
		if !ok {
			return
		}
		before := string(node.AppendJSON(nil))
		out, ok := document.NewPatcher(node).Apply(v)
		if ok != (faults.Len() == 0) {
			t.Fatal("neither a document nor a fault, or both")
		}
		if after := string(node.AppendJSON(nil)); after != before {
			t.Fatalf("the document itself was changed: %s", after)
		}
		for _, x := range faults.List(root) {
			if _, there := root.Lookup(x.Pointer); !there && x.Code != document.CodeMissing {
				t.Fatalf("%s at a pointer to nothing: %q", x.Code, x.Pointer)
			}
			if x.Detail == "" || x.Example != "" && !json.Valid([]byte(x.Example)) {
				t.Fatalf("%+v", x)
			}
		}
		if ok {
			if _, err := document.Parse(out.AppendJSON(nil)); err != nil {
				t.Fatalf("what comes out can't be read: %v", err)
			}
		}
	})
}
