package pricing_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"github.com/govalues/decimal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate/document"
	"bedline/pricing"
)

func dec(text string) decimal.Decimal { return decimal.MustParse(text) }

func decPointer(text string) *decimal.Decimal {
	d := dec(text)
	return &d
}

// smallDocument is a list with one of everything, to be spoilt by tests.
func smallDocument() *pricing.Document {
	return &pricing.Document{
		Name: "small", Currency: "USD", System: "us", Effective: "2027-03-01", Note: "Invented prices for tests.",
		Materials: []pricing.MaterialDocument{
			{Key: "edger-8x4", Name: "Edger", Kind: "unit", Length: "8 in", Width: "4 in", Thickness: "2 in", JointMax: "3/16 in", Mass: "5 lb"},
			{Key: "base-crushed", Name: "Base", Kind: "loose", LooseDensity: "100 lb/ft3", CompactionFactor: decPointer("1.25"), Surplus: &pricing.SurplusDocument{Per: pricing.Content{Quantity: "1 yd3"}, Resale: decPointer("8.00")}},
			{Key: "fabric-woven", Name: "Fabric", Kind: "fabric", RollWidth: "4 ft", RollLength: "50 ft", Lap: "6 in", Mass: "9 lb", Pin: "pin-6", PinSpacing: "3 ft"},
			{Key: "pin-6", Name: "Pin", Kind: "piece", Mass: "0.05 lb"},
		},
		Soils: []pricing.SoilDocument{{Key: "loam", SwellFactor: dec("1.25"), BankDensity: "95 lb/ft3"}},
		Suppliers: []pricing.SupplierDocument{{Key: "north-yard", Name: "North yard", MinimumOrder: decPointer("50.00"),
			Delivery: &pricing.DeliveryDocument{Fee: dec("65.00"), Payload: "10 ton", PayloadVolume: "12 yd3", FreeFrom: decPointer("600.00")},
			PickUp:   &pricing.PickUpDocument{TripCost: dec("18.00"), CrewHours: decPointer("0.75"), Payload: "1500 lb", PayloadVolume: "1 yd3"}}},
		Offers: []pricing.OfferDocument{
			{Key: "base-bulk", Supplier: "north-yard", Material: "base-crushed", Form: "bulk", Content: pricing.Content{Quantity: "1 yd3"}, Price: dec("38.00"),
				Minimum: pricing.Content{Quantity: "1 yd3"}, Increment: pricing.Content{Quantity: "0.5 yd3"},
				Breaks: []pricing.BreakDocument{{From: pricing.Content{Quantity: "5 yd3"}, Price: dec("34.00")}, {From: pricing.Content{Quantity: "9 yd3"}, Price: dec("32.00")}}},
			{Key: "base-bag", Supplier: "north-yard", Material: "base-crushed", Form: "bag", Content: pricing.Content{Quantity: "50 lb"}, Price: dec("5.20"),
				Breaks: []pricing.BreakDocument{{From: pricing.Content{Count: 56}, Price: dec("4.60")}}},
			{Key: "edger-pallet", Supplier: "north-yard", Material: "edger-8x4", Form: "pallet", Content: pricing.Content{Count: 240}, Price: dec("310.00"),
				LeadDays: decPointer("3"), HandlingHours: decPointer("0.5"), LoadWith: "pallets"},
			{Key: "fabric-roll", Supplier: "north-yard", Material: "fabric-woven", Form: "roll", Content: pricing.Content{Count: 1}, Price: dec("42.00")},
			{Key: "pin-bag", Supplier: "north-yard", Material: "pin-6", Form: "bag", Content: pricing.Content{Count: 50}, Price: dec("9.80")},
		},
		Labour: pricing.LabourDocument{HourlyCost: dec("38.00"), CrewSize: decPointer("2"), HoursPerDay: decPointer("7.5"), Rates: []pricing.RateDocument{
			{Operation: "dig_trench", Per: pricing.Content{Quantity: "1 yd3"}, Hours: dec("1.8")},
			{Operation: "lay_edging", Per: pricing.Content{Count: 100}, Hours: dec("4.5")},
			{Operation: "set_out", Per: pricing.Content{Quantity: "100 ft"}, Hours: dec("0.75")},
			{Operation: "strip_cover", Cover: "turf", Per: pricing.Content{Quantity: "100 ft2"}, Hours: dec("1.5")},
			{Operation: "haul_spoil", Soil: "loam", HaulTo: "65 ft", Per: pricing.Content{Quantity: "1 yd3"}, Hours: dec("0.72")},
			{Operation: "compact_base", Tool: "machine", AccessFrom: "36 in", Per: pricing.Content{Quantity: "100 ft2"}, Hours: dec("0.4")},
			{Operation: "lay_slabs", Tool: "hand", UnitMassTo: "90 lb", Per: pricing.Content{Count: 10}, Hours: dec("2.5")},
		}},
		Equipment:  []pricing.EquipmentDocument{{Key: "plate-compactor", Name: "Plate compactor", HalfDay: dec("48.00"), Day: dec("75.00"), Transport: decPointer("20.00"), Operations: []string{"compact_base", "place_base"}}},
		Disposal:   &pricing.DisposalDocument{Per: "1 yd3", Price: dec("25.00")},
		Hauling:    []pricing.HaulingDocument{{Vehicle: "wheelbarrow", Payload: "300 lb", Volume: "6 ft3", Pace: "150 ft", FillMinutes: decPointer("4"), TipMinutes: decPointer("0.5"), SlopeFactor: decPointer("0.04"), AccessFrom: "28 in"}, {Vehicle: "truck", Payload: "5 ton", Volume: "5 yd3", Source: "papers"}},
		Holds:      []pricing.HoldDocument{{Key: "utility_marking", WorkingDays: decPointer("3")}, {Key: "joint_cure", Hours: decPointer("24"), Source: "label"}},
		Allowances: pricing.Allowances{Base: decPointer("5")},
		Settings:   pricing.SettingsDocument{DigTo: "1/2 in", LeastPiece: decPointer("0.333"), HandLift: "50 mm", MachineLift: "100 mm"},
		Commercial: pricing.CommercialDocument{ContingencyPercent: decPointer("5"), OverheadPercent: decPointer("10"), MarginPercent: decPointer("20"),
			DiscountPercent: decPointer("3"), RoundPriceTo: decPointer("5.00"), Rounding: "up", DepositPercent: decPointer("30"),
			Stages: []pricing.StageDocument{{Name: "When the edging is laid", Percent: dec("40")}, {Name: "On completion", Percent: dec("30")}}, ValidDays: decPointer("30")},
		Taxes: []pricing.TaxDocument{{Name: "Sales tax", Jurisdiction: "Our county", Percent: dec("6"), On: []string{"materials"}}},
	}
}

func TestSmallDocumentIsPossible(t *testing.T) {
	t.Parallel()
	_, err := smallDocument().Compile(1)
	require.NoError(t, err)
}

// spoiling is one thing that makes a list impossible.
type spoiling struct {
	spoil   func(d *pricing.Document)
	pointer string
	code    string
	mend    bool // the example of the fault, put in place of the value, mends it
}

var spoilings = map[string]spoiling{
	"a name with capitals":              {func(d *pricing.Document) { d.Name = "Small" }, "/name", document.CodeBadKey, true},
	"an unknown currency":               {func(d *pricing.Document) { d.Currency = "ZZZ" }, "/currency", document.CodeUnknownValue, true},
	"a currency in small letters":       {func(d *pricing.Document) { d.Currency = "usd" }, "/currency", document.CodeUnknownValue, true},
	"an unknown system":                 {func(d *pricing.Document) { d.System = "imperial" }, "/system", document.CodeUnknownValue, true},
	"a day that does not exist":         {func(d *pricing.Document) { d.Effective = "2027-02-29" }, "/effective", pricing.CodeBadDate, true},
	"a day in another order":            {func(d *pricing.Document) { d.Effective = "01/03/2027" }, "/effective", pricing.CodeBadDate, true},
	"a note of two lines":               {func(d *pricing.Document) { d.Note = "a\nb" }, "/note", document.CodeBadText, true},
	"a name that is too long":           {func(d *pricing.Document) { d.Materials[0].Name = strings.Repeat("x", 201) }, "/materials/0/name", document.CodeOutOfRange, true},
	"an unnamed material":               {func(d *pricing.Document) { d.Materials[0].Name = " " }, "/materials/0/name", document.CodeMissing, true},
	"two materials of one key":          {func(d *pricing.Document) { d.Materials = append(d.Materials, d.Materials[0]) }, "/materials/4/key", pricing.CodeDuplicate, false},
	"an unknown kind":                   {func(d *pricing.Document) { d.Materials[0].Kind = "paver" }, "/materials/0/kind", document.CodeUnknownValue, true},
	"a zero length":                     {func(d *pricing.Document) { d.Materials[0].Length = "0 in" }, "/materials/0/length", document.CodeNotPositive, true},
	"a negative width":                  {func(d *pricing.Document) { d.Materials[0].Width = "-4 in" }, "/materials/0/width", document.CodeNegative, true},
	"a thickness without a unit":        {func(d *pricing.Document) { d.Materials[0].Thickness = "2" }, "/materials/0/thickness", document.CodeUnitMissing, true},
	"a thickness that is no length":     {func(d *pricing.Document) { d.Materials[0].Thickness = "2 lb" }, "/materials/0/thickness", document.CodeBadQuantity, true},
	"a missing thickness":               {func(d *pricing.Document) { d.Materials[0].Thickness = "" }, "/materials/0/thickness", document.CodeMissing, true},
	"a unit wider than long":            {func(d *pricing.Document) { d.Materials[0].Width = "9 in" }, "/materials/0/width", document.CodeOutOfRange, true},
	"a length beyond any unit":          {func(d *pricing.Document) { d.Materials[0].Length = "999999999999 m" }, "/materials/0/length", document.CodeOutOfRange, true},
	"a mass of zero":                    {func(d *pricing.Document) { d.Materials[0].Mass = "0 lb" }, "/materials/0/mass", document.CodeNotPositive, true},
	"a unit with a roll":                {func(d *pricing.Document) { d.Materials[0].RollWidth = "4 ft" }, "/materials/0/roll_width", document.CodeUnknownMember, false},
	"a density of zero":                 {func(d *pricing.Document) { d.Materials[1].LooseDensity = "0 lb/ft3" }, "/materials/1/loose_density", document.CodeNotPositive, true},
	"a missing density":                 {func(d *pricing.Document) { d.Materials[1].LooseDensity = "" }, "/materials/1/loose_density", document.CodeMissing, true},
	"compaction that swells":            {func(d *pricing.Document) { d.Materials[1].CompactionFactor = decPointer("0.99") }, "/materials/1/compaction_factor", document.CodeOutOfRange, true},
	"a lap as wide as the roll":         {func(d *pricing.Document) { d.Materials[2].Lap = "4 ft" }, "/materials/2/lap", document.CodeOutOfRange, true},
	"a pin that is not in the list":     {func(d *pricing.Document) { d.Materials[2].Pin = "pin-9" }, "/materials/2/pin", pricing.CodeUnknownKey, true},
	"a pin that is no piece":            {func(d *pricing.Document) { d.Materials[2].Pin = "edger-8x4" }, "/materials/2/pin", pricing.CodeWrongKind, true},
	"pins without spacing":              {func(d *pricing.Document) { d.Materials[2].PinSpacing = "" }, "/materials/2/pin_spacing", document.CodeMissing, true},
	"pins at no distance":               {func(d *pricing.Document) { d.Materials[2].PinSpacing = "0 ft" }, "/materials/2/pin_spacing", document.CodeNotPositive, true},
	"soil that does not swell":          {func(d *pricing.Document) { d.Soils[0].SwellFactor = dec("1") }, "/soils/0/swell_factor", document.CodeOutOfRange, true},
	"soil without weight":               {func(d *pricing.Document) { d.Soils[0].BankDensity = "0 kg/m3" }, "/soils/0/bank_density", document.CodeNotPositive, true},
	"goods with no way to the site":     {func(d *pricing.Document) { d.Suppliers[0].Delivery, d.Suppliers[0].PickUp = nil, nil }, "/suppliers/0", document.CodeMissing, false},
	"a negative fee":                    {func(d *pricing.Document) { d.Suppliers[0].Delivery.Fee = dec("-1") }, "/suppliers/0/delivery/fee", document.CodeNegative, true},
	"a fee of half a cent":              {func(d *pricing.Document) { d.Suppliers[0].Delivery.Fee = dec("65.005") }, "/suppliers/0/delivery/fee", pricing.CodeTooManyDigits, true},
	"a lorry that carries nothing":      {func(d *pricing.Document) { d.Suppliers[0].Delivery.Payload = "0 ton" }, "/suppliers/0/delivery/payload", document.CodeNotPositive, true},
	"a trip with a negative cost":       {func(d *pricing.Document) { d.Suppliers[0].PickUp.TripCost = dec("-0.01") }, "/suppliers/0/pick_up/trip_cost", document.CodeNegative, true},
	"an offer of an unknown supplier":   {func(d *pricing.Document) { d.Offers[0].Supplier = "nort-yard" }, "/offers/0/supplier", pricing.CodeUnknownKey, true},
	"an offer of an unknown material":   {func(d *pricing.Document) { d.Offers[0].Material = "base-crushd" }, "/offers/0/material", pricing.CodeUnknownKey, true},
	"two offers of one key":             {func(d *pricing.Document) { d.Offers[1].Key = "base-bulk" }, "/offers/1/key", pricing.CodeDuplicate, true},
	"an unknown form":                   {func(d *pricing.Document) { d.Offers[0].Form = "sack" }, "/offers/0/form", document.CodeUnknownValue, true},
	"loose stone on a roll":             {func(d *pricing.Document) { d.Offers[1].Form = "roll" }, "/offers/1/form", document.CodeUnknownValue, true},
	"an empty bag":                      {func(d *pricing.Document) { d.Offers[1].Content = pricing.Content{Quantity: "0 lb"} }, "/offers/1/content", document.CodeNotPositive, true},
	"a bag without content":             {func(d *pricing.Document) { d.Offers[1].Content = pricing.Content{} }, "/offers/1/content", document.CodeNotPositive, true},
	"a pallet of nothing":               {func(d *pricing.Document) { d.Offers[2].Content = pricing.Content{} }, "/offers/2/content", document.CodeNotPositive, true},
	"a pallet of fewer than none":       {func(d *pricing.Document) { d.Offers[2].Content = pricing.Content{Count: -1} }, "/offers/2/content", document.CodeNotPositive, true},
	"a bag by area":                     {func(d *pricing.Document) { d.Offers[1].Content = pricing.Content{Quantity: "10 ft2"} }, "/offers/1/content", pricing.CodeWrongKind, true},
	"a bag by the piece":                {func(d *pricing.Document) { d.Offers[1].Content = pricing.Content{Count: 3} }, "/offers/1/content", pricing.CodeWrongKind, true},
	"a bag of fewer than no pounds":     {func(d *pricing.Document) { d.Offers[1].Content = pricing.Content{Quantity: "-50 lb"} }, "/offers/1/content", document.CodeNegative, true},
	"a bag of half of something":        {func(d *pricing.Document) { d.Offers[1].Content = pricing.Content{Quantity: "0.5"} }, "/offers/1/content", document.CodeUnitMissing, true},
	"a rate per half of something":      {func(d *pricing.Document) { d.Labour.Rates[0].Per = pricing.Content{Quantity: "0.5"} }, "/labour/rates/0/per", document.CodeUnitMissing, true},
	"units by volume":                   {func(d *pricing.Document) { d.Offers[2].Content = pricing.Content{Quantity: "1 yd3"} }, "/offers/2/content", pricing.CodeWrongKind, true},
	"an area less than one unit":        {func(d *pricing.Document) { d.Offers[2].Content = pricing.Content{Quantity: "31 in2"} }, "/offers/2/content", pricing.CodeWrongKind, true},
	"pins by mass":                      {func(d *pricing.Document) { d.Offers[4].Content = pricing.Content{Quantity: "5 lb"} }, "/offers/4/content", pricing.CodeWrongKind, true},
	"a negative price":                  {func(d *pricing.Document) { d.Offers[0].Price = dec("-38") }, "/offers/0/price", document.CodeNegative, false},
	"a price of five decimals":          {func(d *pricing.Document) { d.Offers[0].Price = dec("38.12345") }, "/offers/0/price", pricing.CodeTooManyDigits, true},
	"a price of nine digits":            {func(d *pricing.Document) { d.Offers[0].Price = dec("123456789") }, "/offers/0/price", pricing.CodeTooManyDigits, true},
	"a minimum of bulk in packs":        {func(d *pricing.Document) { d.Offers[0].Minimum = pricing.Content{Count: 2} }, "/offers/0/minimum", pricing.CodeWrongKind, true},
	"a minimum of packs in pounds":      {func(d *pricing.Document) { d.Offers[1].Minimum = pricing.Content{Quantity: "100 lb"} }, "/offers/1/minimum", pricing.CodeWrongKind, true},
	"an increment of nothing":           {func(d *pricing.Document) { d.Offers[0].Increment = pricing.Content{Quantity: "0 yd3"} }, "/offers/0/increment", document.CodeNotPositive, true},
	"an increment of packs in area":     {func(d *pricing.Document) { d.Offers[1].Increment = pricing.Content{Quantity: "1 ft2"} }, "/offers/1/increment", pricing.CodeWrongKind, true},
	"breaks that fall":                  {func(d *pricing.Document) { d.Offers[0].Breaks[1].From = pricing.Content{Quantity: "4 yd3"} }, "/offers/0/breaks/1/from", pricing.CodeNotRising, false},
	"breaks that stand still":           {func(d *pricing.Document) { d.Offers[0].Breaks[1].From = pricing.Content{Quantity: "135 ft3"} }, "/offers/0/breaks/1/from", pricing.CodeNotRising, false},
	"a break from nothing":              {func(d *pricing.Document) { d.Offers[1].Breaks[0].From = pricing.Content{} }, "/offers/1/breaks/0/from", document.CodeNotPositive, false},
	"a break that makes dearer":         {func(d *pricing.Document) { d.Offers[0].Breaks[0].Price = dec("38.01") }, "/offers/0/breaks/0/price", pricing.CodeNotRising, true},
	"a break of packs by volume":        {func(d *pricing.Document) { d.Offers[1].Breaks[0].From = pricing.Content{Quantity: "5 yd3"} }, "/offers/1/breaks/0/from", pricing.CodeWrongKind, true},
	"a negative hourly cost":            {func(d *pricing.Document) { d.Labour.HourlyCost = dec("-1") }, "/labour/hourly_cost", document.CodeNegative, true},
	"a rate of an unknown operation":    {func(d *pricing.Document) { d.Labour.Rates[0].Operation = "dig_trnch" }, "/labour/rates/0/operation", document.CodeUnknownValue, true},
	"digging by the piece":              {func(d *pricing.Document) { d.Labour.Rates[0].Per = pricing.Content{Count: 10} }, "/labour/rates/0/per", pricing.CodeWrongKind, true},
	"digging by area":                   {func(d *pricing.Document) { d.Labour.Rates[0].Per = pricing.Content{Quantity: "10 ft2"} }, "/labour/rates/0/per", pricing.CodeWrongKind, true},
	"edging by length":                  {func(d *pricing.Document) { d.Labour.Rates[1].Per = pricing.Content{Quantity: "10 ft"} }, "/labour/rates/1/per", pricing.CodeWrongKind, true},
	"set-out by area":                   {func(d *pricing.Document) { d.Labour.Rates[2].Per = pricing.Content{Quantity: "10 ft2"} }, "/labour/rates/2/per", pricing.CodeWrongKind, true},
	"stripping by volume":               {func(d *pricing.Document) { d.Labour.Rates[3].Per = pricing.Content{Quantity: "1 yd3"} }, "/labour/rates/3/per", pricing.CodeWrongKind, true},
	"a rate per nothing":                {func(d *pricing.Document) { d.Labour.Rates[0].Per = pricing.Content{Quantity: "0 yd3"} }, "/labour/rates/0/per", document.CodeNotPositive, true},
	"a rate per no count":               {func(d *pricing.Document) { d.Labour.Rates[1].Per = pricing.Content{} }, "/labour/rates/1/per", document.CodeNotPositive, true},
	"negative hours":                    {func(d *pricing.Document) { d.Labour.Rates[0].Hours = dec("-1.8") }, "/labour/rates/0/hours", document.CodeNegative, true},
	"hours beyond a thousand":           {func(d *pricing.Document) { d.Labour.Rates[0].Hours = dec("1000.5") }, "/labour/rates/0/hours", document.CodeOutOfRange, true},
	"hours of seven decimals":           {func(d *pricing.Document) { d.Labour.Rates[0].Hours = dec("1.2345678") }, "/labour/rates/0/hours", pricing.CodeTooManyDigits, true},
	"a rate for a soil not in the list": {func(d *pricing.Document) { d.Labour.Rates[4].Soil = "clay" }, "/labour/rates/4/soil", pricing.CodeUnknownKey, true},
	"a rate for an unknown cover":       {func(d *pricing.Document) { d.Labour.Rates[3].Cover = "lawn" }, "/labour/rates/3/cover", document.CodeUnknownValue, true},
	"a haul of no length":               {func(d *pricing.Document) { d.Labour.Rates[4].HaulTo = "0 ft" }, "/labour/rates/4/haul_to", document.CodeNotPositive, true},
	"two rates for the same":            {func(d *pricing.Document) { d.Labour.Rates = append(d.Labour.Rates, d.Labour.Rates[0]) }, "/labour/rates/7/operation", pricing.CodeDuplicate, false},
	"two rates for one haul": {func(d *pricing.Document) {
		r := d.Labour.Rates[4]
		r.HaulTo = "780 in"
		d.Labour.Rates = append(d.Labour.Rates, r)
	}, "/labour/rates/7/operation", pricing.CodeDuplicate, false},
	"two machines of one key":       {func(d *pricing.Document) { d.Equipment = append(d.Equipment, d.Equipment[0]) }, "/equipment/1/key", pricing.CodeDuplicate, true},
	"a negative hire":               {func(d *pricing.Document) { d.Equipment[0].Day = dec("-75") }, "/equipment/0/day", document.CodeNegative, true},
	"disposal per length":           {func(d *pricing.Document) { d.Disposal.Per = "1 ft" }, "/disposal/per", pricing.CodeWrongKind, true},
	"disposal per nothing":          {func(d *pricing.Document) { d.Disposal.Per = "0 yd3" }, "/disposal/per", document.CodeNotPositive, true},
	"a vehicle without a word":      {func(d *pricing.Document) { d.Hauling[0].Vehicle = "cart" }, "/hauling/0/vehicle", document.CodeUnknownValue, true},
	"two of one vehicle":            {func(d *pricing.Document) { d.Hauling[1].Vehicle = "wheelbarrow" }, "/hauling/1/vehicle", pricing.CodeDuplicate, true},
	"a barrow that carries nothing": {func(d *pricing.Document) { d.Hauling[0].Payload = "0 lb" }, "/hauling/0/payload", document.CodeNotPositive, true},
	"a barrow for a handful":        {func(d *pricing.Document) { d.Hauling[0].Payload = "2 lb" }, "/hauling/0/payload", document.CodeOutOfRange, true},
	"a barrow for a cup":            {func(d *pricing.Document) { d.Hauling[0].Volume = "0.9 L" }, "/hauling/0/volume", document.CodeOutOfRange, true},
	"a payload that is a volume":    {func(d *pricing.Document) { d.Hauling[0].Payload = "6 ft3" }, "/hauling/0/payload", document.CodeBadQuantity, true},
	"a barrow that holds nothing":   {func(d *pricing.Document) { d.Hauling[0].Volume = "" }, "/hauling/0/volume", document.CodeMissing, true},
	"a trip without a pace":         {func(d *pricing.Document) { d.Hauling[0].Pace = "" }, "/hauling/0/pace", document.CodeMissing, true},
	"a pace of nothing":             {func(d *pricing.Document) { d.Hauling[0].Pace = "0 ft" }, "/hauling/0/pace", document.CodeNotPositive, true},
	"a barrow that passes nothing":  {func(d *pricing.Document) { d.Hauling[0].AccessFrom = "0 in" }, "/hauling/0/access_from", document.CodeNotPositive, true},
	"a way in without a pace":       {func(d *pricing.Document) { d.Hauling[1].AccessFrom = "7 ft" }, "/hauling/1/pace", document.CodeMissing, true},
	"lifts of nothing":              {func(d *pricing.Document) { d.Settings.HandLift = "0 in" }, "/settings/hand_lift", document.CodeNotPositive, true},
	"lifts by the pound":            {func(d *pricing.Document) { d.Settings.MachineLift = "4 lb" }, "/settings/machine_lift", document.CodeBadQuantity, true},
	"a slope that doubles the way":  {func(d *pricing.Document) { d.Hauling[0].SlopeFactor = decPointer("1.5") }, "/hauling/0/slope_factor", document.CodeOutOfRange, true},
	"half a lead day":               {func(d *pricing.Document) { d.Offers[2].LeadDays = decPointer("0.5") }, "/offers/2/lead_days", document.CodeOutOfRange, true},
	"a lead of two years":           {func(d *pricing.Document) { d.Offers[2].LeadDays = decPointer("730") }, "/offers/2/lead_days", document.CodeOutOfRange, true},
	"handling below zero":           {func(d *pricing.Document) { d.Offers[2].HandlingHours = decPointer("-1") }, "/offers/2/handling_hours", document.CodeNegative, true},
	"a load word with a blank":      {func(d *pricing.Document) { d.Offers[2].LoadWith = "my stone" }, "/offers/2/load_with", document.CodeBadKey, true},
	"a surplus worth nothing said":  {func(d *pricing.Document) { d.Materials[1].Surplus.Resale = nil }, "/materials/1/surplus", document.CodeMissing, true},
	"a surplus sold and tipped":     {func(d *pricing.Document) { d.Materials[1].Surplus.Disposal = decPointer("1") }, "/materials/1/surplus/disposal", pricing.CodeConflict, false},
	"a surplus of a loose count":    {func(d *pricing.Document) { d.Materials[1].Surplus.Per = pricing.Content{Count: 3} }, "/materials/1/surplus/per", pricing.CodeWrongKind, true},
	"a crew of none":                {func(d *pricing.Document) { d.Labour.CrewSize = decPointer("0") }, "/labour/crew_size", document.CodeOutOfRange, true},
	"a day of 25 hours":             {func(d *pricing.Document) { d.Labour.HoursPerDay = decPointer("25") }, "/labour/hours_per_day", document.CodeOutOfRange, true},
	"a tool that is none":           {func(d *pricing.Document) { d.Labour.Rates[5].Tool = "spade" }, "/labour/rates/5/tool", document.CodeUnknownValue, true},
	"a way in of no width":          {func(d *pricing.Document) { d.Labour.Rates[5].AccessFrom = "0 in" }, "/labour/rates/5/access_from", document.CodeNotPositive, true},
	"a unit mass that is a length":  {func(d *pricing.Document) { d.Labour.Rates[6].UnitMassTo = "3 ft" }, "/labour/rates/6/unit_mass_to", document.CodeBadQuantity, true},
	"a machine for a made-up task":  {func(d *pricing.Document) { d.Equipment[0].Operations[1] = "compact_bases" }, "/equipment/0/operations/1", document.CodeUnknownValue, true},
	"a machine named twice for one": {func(d *pricing.Document) { d.Equipment[0].Operations[1] = "compact_base" }, "/equipment/0/operations/1", pricing.CodeDuplicate, true},
	"transport below zero":          {func(d *pricing.Document) { d.Equipment[0].Transport = decPointer("-5") }, "/equipment/0/transport", document.CodeNegative, true},
	"a hold for nothing known":      {func(d *pricing.Document) { d.Holds[0].Key = "rain" }, "/holds/0/key", document.CodeUnknownValue, true},
	"two holds of one kind":         {func(d *pricing.Document) { d.Holds[1].Key = "utility_marking" }, "/holds/1/key", pricing.CodeDuplicate, true},
	"a hold of no length":           {func(d *pricing.Document) { d.Holds[0].WorkingDays = nil }, "/holds/0", document.CodeMissing, true},
	"a hold in days and hours":      {func(d *pricing.Document) { d.Holds[0].Hours = decPointer("1") }, "/holds/0/hours", pricing.CodeConflict, false},
	"a hold of a year":              {func(d *pricing.Document) { d.Holds[0].WorkingDays = decPointer("365") }, "/holds/0/working_days", document.CodeOutOfRange, true},
	"a discount of everything":      {func(d *pricing.Document) { d.Commercial.DiscountPercent = decPointer("100") }, "/commercial/discount_percent", document.CodeOutOfRange, true},
	"a price rounded to nothing":    {func(d *pricing.Document) { d.Commercial.RoundPriceTo = decPointer("0") }, "/commercial/round_price_to", document.CodeNotPositive, true},
	"a rounding without a multiple": {func(d *pricing.Document) { d.Commercial.RoundPriceTo = nil }, "/commercial/rounding", pricing.CodeConflict, false},
	"a rounding down":               {func(d *pricing.Document) { d.Commercial.Rounding = "down" }, "/commercial/rounding", document.CodeUnknownValue, true},
	"payments above the price":      {func(d *pricing.Document) { d.Commercial.Stages[0].Percent = dec("41") }, "/commercial/stages", document.CodeOutOfRange, true},
	"more payments than any job has": {func(d *pricing.Document) {
		percent := dec("5.384615")
		d.Commercial.DepositPercent = decPointer("30.000005")
		d.Commercial.Stages = slices.Repeat([]pricing.StageDocument{{Name: "Stage", Percent: percent}}, 13)
	}, "/commercial/stages", document.CodeOutOfRange, true},
	"a price finer than a cent":    {func(d *pricing.Document) { d.Commercial.RoundPriceTo = decPointer("0.005") }, "/commercial/round_price_to", pricing.CodeTooManyDigits, true},
	"a payment without a name":     {func(d *pricing.Document) { d.Commercial.Stages[1].Name = "" }, "/commercial/stages/1/name", document.CodeMissing, true},
	"a quote good for no day":      {func(d *pricing.Document) { d.Commercial.ValidDays = decPointer("0") }, "/commercial/valid_days", document.CodeOutOfRange, true},
	"a jurisdiction of two lines":  {func(d *pricing.Document) { d.Taxes[0].Jurisdiction = "a\nb" }, "/taxes/0/jurisdiction", document.CodeBadText, true},
	"a source of two lines":        {func(d *pricing.Document) { d.Hauling[1].Source = "a\nb" }, "/hauling/1/source", document.CodeBadText, true},
	"a negative allowance":         {func(d *pricing.Document) { d.Allowances.Base = decPointer("-5") }, "/allowances/base", document.CodeNegative, true},
	"an allowance beyond reason":   {func(d *pricing.Document) { d.Allowances.Base = decPointer("201") }, "/allowances/base", document.CodeOutOfRange, true},
	"depths rounded to nothing":    {func(d *pricing.Document) { d.Settings.DigTo = "0 in" }, "/settings/dig_to", document.CodeNotPositive, true},
	"a least piece above a half":   {func(d *pricing.Document) { d.Settings.LeastPiece = decPointer("0.51") }, "/settings/least_piece", document.CodeOutOfRange, true},
	"markup beside margin":         {func(d *pricing.Document) { d.Commercial.MarkupPercent = decPointer("25") }, "/commercial/margin_percent", pricing.CodeConflict, false},
	"a margin of all the price":    {func(d *pricing.Document) { d.Commercial.MarginPercent = decPointer("100") }, "/commercial/margin_percent", document.CodeOutOfRange, true},
	"a negative overhead":          {func(d *pricing.Document) { d.Commercial.OverheadPercent = decPointer("-1") }, "/commercial/overhead_percent", document.CodeNegative, true},
	"a tax on an unknown category": {func(d *pricing.Document) { d.Taxes[0].On = []string{"goods"} }, "/taxes/0/on/0", document.CodeUnknownValue, true},
	"a tax on one category twice":  {func(d *pricing.Document) { d.Taxes[0].On = []string{"labour", "labour"} }, "/taxes/0/on/1", pricing.CodeDuplicate, true},
	"a tax on nothing":             {func(d *pricing.Document) { d.Taxes[0].On = nil }, "/taxes/0/on", document.CodeMissing, true},
	"a negative tax":               {func(d *pricing.Document) { d.Taxes[0].Percent = dec("-6") }, "/taxes/0/percent", document.CodeNegative, true},
	"two taxes of one name":        {func(d *pricing.Document) { d.Taxes = append(d.Taxes, d.Taxes[0]) }, "/taxes/1/name", pricing.CodeDuplicate, true},
	"a quantity of fifty characters": {func(d *pricing.Document) {
		d.Offers[0].Content = pricing.Content{Quantity: "1" + strings.Repeat(" ", 48) + "yd3"}
	}, "/offers/0/content", document.CodeBadQuantity, true},
	"an increment far below the content": {func(d *pricing.Document) { d.Offers[0].Increment = pricing.Content{Quantity: "0.0001 in3"} }, "/offers/0/increment", document.CodeOutOfRange, true},
}

func faultsOf(t *testing.T, err error) []document.Fault {
	t.Helper()
	var invalid *pricing.InvalidListError
	require.ErrorAs(t, err, &invalid)
	require.NotEmpty(t, invalid.Faults)
	return invalid.Faults
}

func TestItem46AnImpossibleListIsRefusedByTheNameOfTheMember(t *testing.T) {
	t.Parallel()
	for name, c := range spoilings {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			d := smallDocument()
			c.spoil(d)
			list, err := d.Compile(1)
			assert.Nil(t, list)
			faults := faultsOf(t, err)
			require.Len(t, faults, 1, "%v", faults)
			assert.Equal(t, c.pointer, faults[0].Pointer)
			assert.Equal(t, c.code, faults[0].Code)
			assert.NotEmpty(t, faults[0].Detail)
			assert.True(t, json.Valid([]byte(faults[0].Example)), "example %q", faults[0].Example)
			assert.NotEqual(t, `""`, faults[0].Example)
			assert.Contains(t, err.Error(), c.pointer)
		})
	}
}

func TestItem46TheExampleOfAFaultMendsTheList(t *testing.T) {
	t.Parallel()
	for name, c := range spoilings {
		if !c.mend {
			continue
		}
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			d := smallDocument()
			c.spoil(d)
			_, err := d.Compile(1)
			fault := faultsOf(t, err)[0]
			text, err := d.JSON()
			require.NoError(t, err)
			example := fault.Example
			if c.pointer == "/taxes/0/on" {
				example = "[" + example + "]"
			}
			_, err = pricing.ReadDocument(spoilt(text, fault.Pointer, example))
			if err == nil {
				return
			}
			for _, f := range faultsOf(t, err) { // a currency or a name of another list may make new faults elsewhere
				assert.NotEqual(t, fault.Pointer, f.Pointer, "%s: %s", fault.Example, f.Detail)
			}
		})
	}
}

func TestItem47FaultsComeTogetherInTheOrderOfTheDocument(t *testing.T) {
	t.Parallel()
	d := smallDocument()
	d.Taxes[0].Percent = dec("-6")
	d.Materials[2].Pin = "pin-9"
	d.Materials[2].Lap = "9 ft"
	d.Offers[1].Content = pricing.Content{Quantity: "0 lb"}
	d.Currency = "ZZZ"
	_, err := d.Compile(1)
	var pointers []string
	for _, f := range faultsOf(t, err) {
		pointers = append(pointers, f.Pointer)
	}
	assert.Equal(t, []string{"/currency", "/materials/2/lap", "/materials/2/pin", "/offers/1/content", "/taxes/0/percent"}, pointers)
}

func TestItem47AtMostFiftyFaultsAreGiven(t *testing.T) {
	t.Parallel()
	d := smallDocument()
	for range 80 {
		d.Equipment = append(d.Equipment, pricing.EquipmentDocument{Key: "plate-compactor", Name: "Another"})
	}
	_, err := d.Compile(1)
	var invalid *pricing.InvalidListError
	require.ErrorAs(t, err, &invalid)
	assert.Len(t, invalid.Faults, 50)
	assert.Equal(t, 80, invalid.Total)
}

func TestAVersionIsNumberedFromOne(t *testing.T) {
	t.Parallel()
	_, err := smallDocument().Compile(0)
	require.Error(t, err)
	list, err := smallDocument().Compile(7)
	require.NoError(t, err)
	assert.Equal(t, 7, list.Version)
}
