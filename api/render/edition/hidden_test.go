package edition_test

import (
	"math/big"
	"reflect"
	"regexp"
	"strconv"
	"testing"

	"github.com/govalues/decimal"
	"github.com/stretchr/testify/require"

	"bedline/pricing"
	"bedline/pricing/money"
)

// shown are the figures and words of a quote that its customer may see, by their paths without indices. Options.Quote
// and ChangeOrder.Earlier are quotes too, of which only the price is seen beside what is built. Whatever is not named
// here is the crew's own, members that a quote may get one day among them.
var shown = regexp.MustCompile(`^(` +
	`ID|(Options\.|ChangeOrder\.)?(Name|Quote\.ID|Earlier\.ID)` +
	`|(Options\.Quote\.|ChangeOrder\.Earlier\.)?(` +
	`Job\.(Reference|Title|System|Ground\.Cover|Beds|Slabs|Paving|Planters|Obstacles|SetOut)(\..*)?` +
	`|Takeoff\.(Beds|Courses|Slabs|Paving|Fabrics|Diggings|SetOut|Planters|Obstacles|RootZones|Spoil\.Bank)(\..*)?` +
	`|Takeoff\.Work\.Operation|Lines\.Work\.Operation` +
	`|Totals\.Price)` +
	`|Notices\.Code` +
	`|Totals\.(BeforeTax|Discount|Rounding|Odd|Tax|Taxes\.(Name|Jurisdiction|Amount)|Payments\..*|Validity\..*|Commercial\.DiscountPercent)` +
	`|List\.(Note|Currency\..*)` +
	`|Plan\.(Calendar.*|MarksFirst|Tasks\.(Operation|Start|End)|Holds\.(Until|Hold\.(Key|WorkingDays|Hours)))` +
	`|(Options|ChangeOrder)\.Difference\.Totals\.Price` +
	`|ChangeOrder\.(NewWork|Dropped)\.Operation` +
	`)$`)

// but are the crew's own among them: what materials weigh, how far they are compacted, what is bought of them and what is
// added for waste.
var but = regexp.MustCompile(`\b(Material|Unit|Fill|PinMaterial)\.(Mass|LooseDensity|CompactionFactor|Source|Pin|PinSpacing|Lap|Upturn|RollLength)$` +
	`|^Takeoff\.(Paving\.(Customary\.|Field\.(Bought|Search)\.)|Planters\.Mass|Fabrics\.(Pins|CutLength|Layout\.(ClothLength|ClothArea|Rolls|Pins)))`)

// isShown tells whether a customer may see what stands at a path.
func isShown(path string) bool { return shown.MatchString(path) && !but.MatchString(path) }

// hidden copies a quote and changes everything in the copy that no customer may see: amounts, hours, rates, counts,
// words, yes and no. What is absent stays absent.
func hidden(q *pricing.Quote) (out *pricing.Quote, changed int) {
	h := &hider{copies: map[any]reflect.Value{}, shown: map[string]bool{}}
	return h.copy(reflect.ValueOf(q), "").Interface().(*pricing.Quote), h.changed
}

type hider struct {
	copies  map[any]reflect.Value // of pointers, so that one thing stays one
	shown   map[string]bool       // paths that were looked at
	changed int
}

func (h *hider) copy(v reflect.Value, path string) reflect.Value {
	out := reflect.New(v.Type()).Elem()
	out.Set(v)
	switch x := v.Interface().(type) {
	case money.Amount, decimal.Decimal, big.Int:
		h.leaf(out, path)
		return out
	case error:
		_ = x
		return out
	}
	switch v.Kind() {
	case reflect.Pointer:
		if v.IsNil() {
			return out
		}
		key := [2]any{v.Pointer(), v.Type()}
		if done, ok := h.copies[key]; ok {
			return done
		}
		out.Set(reflect.New(v.Type().Elem()))
		h.copies[key] = out
		out.Elem().Set(h.copy(v.Elem(), path))
	case reflect.Slice:
		if v.IsNil() {
			return out
		}
		out.Set(reflect.MakeSlice(v.Type(), v.Len(), v.Len()))
		for i := range v.Len() {
			out.Index(i).Set(h.copy(v.Index(i), path))
		}
	case reflect.Array:
		for i := range v.Len() {
			out.Index(i).Set(h.copy(v.Index(i), path))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.IsExported() {
				at := f.Name
				if path != "" {
					at = path + "." + f.Name
				}
				out.Field(i).Set(h.copy(v.Field(i), at))
			}
		}
	default:
		h.leaf(out, path)
	}
	return out
}

func (h *hider) leaf(v reflect.Value, path string) {
	seen, ok := h.shown[path]
	if !ok {
		seen = isShown(path)
		h.shown[path] = seen
	}
	if seen {
		return
	}
	h.changed++
	if _, ok := v.Interface().(decimal.Decimal); ok {
		d, err := v.Interface().(decimal.Decimal).Add(decimal.MustParse("7.9137"))
		if err != nil {
			panic(err)
		}
		v.Set(reflect.ValueOf(d))
		return
	}
	switch v.Kind() {
	case reflect.String:
		v.SetString(v.String() + " (changed " + strconv.Itoa(h.changed) + ")")
	case reflect.Bool:
		v.SetBool(!v.Bool())
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		v.SetInt(v.Int() + 3)
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		v.SetUint(v.Uint() + 1)
	case reflect.Float32, reflect.Float64:
		v.SetFloat(v.Float()*1.37 + 0.011)
	default:
		h.changed-- // maps and functions: no figure of an answer
	}
}

func TestHidingChangesWhatTheCrewKeepsToItself(t *testing.T) {
	t.Parallel()
	q := quoted(t, "garage-bed")
	other, changed := hidden(q)
	require.Greater(t, changed, 2000)
	require.NotEqual(t, q.Totals.Materials, other.Totals.Materials)
	require.NotEqual(t, q.Totals.Profit, other.Totals.Profit)
	require.NotEqual(t, q.Totals.Hours.String(), other.Totals.Hours.String())
	require.NotEqual(t, q.Totals.Commercial.MarginPercent.String(), other.Totals.Commercial.MarginPercent.String())
	require.NotEqual(t, q.List.Suppliers[0].Name, other.List.Suppliers[0].Name)
	require.NotEqual(t, q.List.HourlyCost.String(), other.List.HourlyCost.String())
	require.NotEqual(t, q.Lines[0].Amount, other.Lines[0].Amount)
	require.NotEqual(t, q.Lines[0].Orders[0].Price.String(), other.Lines[0].Orders[0].Price.String())
	require.NotEqual(t, q.Supply.Plan, other.Supply.Plan)
	require.NotEqual(t, q.Notices[0].Message, other.Notices[0].Message)
	require.NotEqual(t, q.Job.Catalogue.Materials[0].Mass, other.Job.Catalogue.Materials[0].Mass)
	require.Equal(t, q.Totals.Price, other.Totals.Price)
	require.Equal(t, q.Job.Title, other.Job.Title)
}
