package db

import (
	"context"
	"fmt"

	"github.com/govalues/decimal"
	"github.com/jackc/pgx/v5"

	"bedline/pricing"
)

// tableRows are the rows that a document puts into one table, without the name and version that all of them begin with.
type tableRows struct {
	table   string
	columns []string
	rows    [][]any
}

// insertDocument adds the rows of a version to all tables but the first; the row of the version is there.
func insertDocument(ctx context.Context, tx pgx.Tx, doc *pricing.Document, version int) error {
	for _, t := range tablesOf(doc) {
		if len(t.rows) == 0 {
			continue
		}
		columns := append([]string{"name", "version"}, t.columns...)
		source := pgx.CopyFromSlice(len(t.rows), func(i int) ([]any, error) {
			return append([]any{doc.Name, version}, t.rows[i]...), nil
		})
		if _, err := tx.CopyFrom(ctx, pgx.Identifier{t.table}, columns, source); err != nil {
			return fmt.Errorf("insert %s: %w", t.table, err)
		}
	}
	return nil
}

// tablesOf lists a table after those that it refers to.
func tablesOf(doc *pricing.Document) []tableRows {
	breaks, categories := breakRows(doc), categoryRows(doc)
	return []tableRows{
		{"materials", []string{"position", "key", "label", "kind", "length", "width", "thickness", "joint_max", "mass",
			"loose_density", "compaction_factor", "roll_width", "roll_length", "lap", "upturn", "pin", "pin_spacing", "source",
			"surplus_per_quantity", "surplus_per_count", "surplus_resale", "surplus_disposal"},
			rowsOf(doc.Materials, func(i int, m *pricing.MaterialDocument) []any {
				s := m.Surplus
				if s == nil {
					s = &pricing.SurplusDocument{}
				}
				return []any{i, m.Key, m.Name, m.Kind, text(m.Length), text(m.Width), text(m.Thickness), text(m.JointMax),
					text(m.Mass), text(m.LooseDensity), number(m.CompactionFactor), text(m.RollWidth), text(m.RollLength),
					text(m.Lap), text(m.Upturn), text(m.Pin), text(m.PinSpacing), text(m.Source),
					text(s.Per.Quantity), count(s.Per), number(s.Resale), number(s.Disposal)}
			})},
		{"soils", []string{"position", "key", "swell_factor", "bank_density", "source"},
			rowsOf(doc.Soils, func(i int, s *pricing.SoilDocument) []any {
				return []any{i, s.Key, s.SwellFactor, s.BankDensity, text(s.Source)}
			})},
		{"suppliers", []string{"position", "key", "label", "minimum_order", "delivery_fee", "delivery_payload",
			"delivery_payload_volume", "delivery_free_from", "trip_cost", "trip_crew_hours", "trip_payload",
			"trip_payload_volume"},
			rowsOf(doc.Suppliers, supplierRow)},
		{"offers", []string{"position", "key", "supplier", "material", "form", "content_quantity", "content_count", "price",
			"minimum_quantity", "minimum_count", "increment_quantity", "increment_count", "lead_days", "handling_hours", "load_with"},
			rowsOf(doc.Offers, func(i int, o *pricing.OfferDocument) []any {
				return []any{i, o.Key, o.Supplier, o.Material, o.Form, text(o.Content.Quantity), count(o.Content), o.Price,
					text(o.Minimum.Quantity), count(o.Minimum), text(o.Increment.Quantity), count(o.Increment),
					number(o.LeadDays), number(o.HandlingHours), text(o.LoadWith)}
			})},
		{"offer_breaks", []string{"offer_position", "position", "from_quantity", "from_count", "price"}, breaks},
		{"labour", []string{"hourly_cost", "crew_size", "hours_per_day"},
			[][]any{{doc.Labour.HourlyCost, number(doc.Labour.CrewSize), number(doc.Labour.HoursPerDay)}}},
		{"labour_rates", []string{"position", "operation", "soil", "cover", "haul_to", "per_quantity", "per_count", "hours",
			"source", "tool", "access_from", "unit_mass_to"},
			rowsOf(doc.Labour.Rates, func(i int, r *pricing.RateDocument) []any {
				return []any{i, r.Operation, text(r.Soil), text(r.Cover), text(r.HaulTo), text(r.Per.Quantity), count(r.Per),
					r.Hours, text(r.Source), text(r.Tool), text(r.AccessFrom), text(r.UnitMassTo)}
			})},
		{"equipment", []string{"position", "key", "label", "half_day", "day", "transport"},
			rowsOf(doc.Equipment, func(i int, e *pricing.EquipmentDocument) []any {
				return []any{i, e.Key, e.Name, e.HalfDay, e.Day, number(e.Transport)}
			})},
		{"equipment_operations", []string{"equipment_position", "position", "operation"}, operationRows(doc)},
		{"disposal", []string{"per", "price"}, disposalRows(doc)},
		{"hauling", []string{"position", "vehicle", "payload", "volume", "source", "pace", "fill_minutes", "tip_minutes", "slope_factor", "access_from"},
			rowsOf(doc.Hauling, func(i int, h *pricing.HaulingDocument) []any {
				return []any{i, h.Vehicle, h.Payload, h.Volume, text(h.Source), text(h.Pace), number(h.FillMinutes),
					number(h.TipMinutes), number(h.SlopeFactor), text(h.AccessFrom)}
			})},
		{"holds", []string{"position", "key", "working_days", "hours", "source"},
			rowsOf(doc.Holds, func(i int, h *pricing.HoldDocument) []any {
				return []any{i, h.Key, number(h.WorkingDays), number(h.Hours), text(h.Source)}
			})},
		{"allowances", []string{"line", "percent"}, allowanceRows(doc)},
		{"settings", []string{"dig_to", "least_piece", "hand_lift", "machine_lift"},
			[][]any{{text(doc.Settings.DigTo), number(doc.Settings.LeastPiece), text(doc.Settings.HandLift), text(doc.Settings.MachineLift)}}},
		{"commercial", []string{"contingency_percent", "overhead_percent", "markup_percent", "margin_percent",
			"discount_percent", "round_price_to", "rounding", "deposit_percent", "valid_days"},
			[][]any{{number(doc.Commercial.ContingencyPercent), number(doc.Commercial.OverheadPercent),
				number(doc.Commercial.MarkupPercent), number(doc.Commercial.MarginPercent),
				number(doc.Commercial.DiscountPercent), number(doc.Commercial.RoundPriceTo), text(doc.Commercial.Rounding),
				number(doc.Commercial.DepositPercent), number(doc.Commercial.ValidDays)}}},
		{"stages", []string{"position", "label", "percent"},
			rowsOf(doc.Commercial.Stages, func(i int, s *pricing.StageDocument) []any { return []any{i, s.Name, s.Percent} })},
		{"taxes", []string{"position", "label", "percent", "jurisdiction"},
			rowsOf(doc.Taxes, func(i int, t *pricing.TaxDocument) []any { return []any{i, t.Name, t.Percent, text(t.Jurisdiction)} })},
		{"tax_categories", []string{"tax_position", "position", "category"}, categories},
	}
}

func supplierRow(i int, s *pricing.SupplierDocument) []any {
	row := []any{i, s.Key, s.Name, number(s.MinimumOrder), nil, nil, nil, nil, nil, nil, nil, nil}
	if d := s.Delivery; d != nil {
		copy(row[4:], []any{d.Fee, text(d.Payload), text(d.PayloadVolume), number(d.FreeFrom)})
	}
	if p := s.PickUp; p != nil {
		copy(row[8:], []any{p.TripCost, number(p.CrewHours), text(p.Payload), text(p.PayloadVolume)})
	}
	return row
}

func breakRows(doc *pricing.Document) (rows [][]any) {
	for i := range doc.Offers {
		for j, b := range doc.Offers[i].Breaks {
			rows = append(rows, []any{i, j, text(b.From.Quantity), count(b.From), b.Price})
		}
	}
	return rows
}

func disposalRows(doc *pricing.Document) [][]any {
	if doc.Disposal == nil {
		return nil
	}
	return [][]any{{doc.Disposal.Per, doc.Disposal.Price}}
}

func allowanceRows(doc *pricing.Document) (rows [][]any) {
	for _, a := range allowancesOf(doc) {
		if *a.percent != nil {
			rows = append(rows, []any{a.line, **a.percent})
		}
	}
	return rows
}

func operationRows(doc *pricing.Document) (rows [][]any) {
	for i := range doc.Equipment {
		for j, operation := range doc.Equipment[i].Operations {
			rows = append(rows, []any{i, j, operation})
		}
	}
	return rows
}

func categoryRows(doc *pricing.Document) (rows [][]any) {
	for i := range doc.Taxes {
		for j, category := range doc.Taxes[i].On {
			rows = append(rows, []any{i, j, category})
		}
	}
	return rows
}

// allowance is one member of the allowances of a document, by the key of its line.
type allowance struct {
	line    string
	percent **decimal.Decimal
}

func allowancesOf(doc *pricing.Document) []allowance {
	a := &doc.Allowances
	return []allowance{
		{"edging", &a.Edging}, {"base", &a.Base}, {"bedding_sand", &a.BeddingSand}, {"joint_fill", &a.JointFill},
		{"fabric", &a.Fabric}, {"decorative_stone", &a.DecorativeStone}, {"slabs", &a.Slabs}, {"paving", &a.Paving}, {"planter_soil", &a.PlanterSoil},
		{"pins", &a.Pins},
	}
}

func rowsOf[T any](items []T, row func(i int, item *T) []any) [][]any {
	rows := make([][]any, len(items))
	for i := range items {
		rows[i] = row(i, &items[i])
	}
	return rows
}

// text is null for an absent member.
func text(s string) any {
	if s == "" {
		return nil
	}
	return s
}

// number is null for an absent member.
func number(d *decimal.Decimal) any {
	if d == nil {
		return nil
	}
	return *d
}

// count is null for a quantity and for an absent member.
func count(c pricing.Content) any {
	if c.Count == 0 {
		return nil
	}
	return c.Count
}
