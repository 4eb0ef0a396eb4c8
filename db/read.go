package db

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"

	"github.com/govalues/decimal"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"bedline/pricing"
)

// querier is a pool, a connection or a transaction.
type querier interface {
	Query(ctx context.Context, sql string, args ...any) (pgx.Rows, error)
	QueryRow(ctx context.Context, sql string, args ...any) pgx.Row
	SendBatch(ctx context.Context, b *pgx.Batch) pgx.BatchResults
}

// digest identifies the content of a version.
type digest [sha256.Size]byte

// digestOf is the digest of the document as published.
func digestOf(list *pricing.List) digest { return sha256.Sum256(list.JSON()) }

// readList reads a version, checks that its rows give the document that was published, and compiles it. Its errors are
// *DamagedListError for rows that are no such list, errNoRow when there is no such version, and those of the database.
func readList(ctx context.Context, q querier, name string, version int) (*pricing.List, digest, error) {
	doc, want, err := readDocument(ctx, q, name, version)
	if err != nil {
		if errors.Is(err, errNoRow) || fromDatabase(ctx, err) {
			return nil, digest{}, err
		}
		return nil, digest{}, &DamagedListError{Name: name, Version: version, Err: err}
	}
	list, err := doc.Compile(version)
	if err == nil && digestOf(list) != want {
		err = errors.New("the rows are not those that were published: the digests differ")
	}
	if err != nil {
		return nil, digest{}, &DamagedListError{Name: name, Version: version, Err: err}
	}
	return list, want, nil
}

// fromDatabase tells errors of the database and of the way to it from values that make no document.
func fromDatabase(ctx context.Context, err error) bool {
	var refused *pgconn.PgError
	return ctx.Err() != nil || connectionFailed(err) || errors.As(err, &refused)
}

var errNoRow = errors.New("no such version")

// readDocument reads the rows of a version in one round trip.
func readDocument(ctx context.Context, q querier, name string, version int) (*pricing.Document, digest, error) {
	r := &reader{name: name, version: version, doc: &pricing.Document{Name: name}}
	var sum digest
	r.versionRow(&sum)
	r.goods()
	r.work()
	r.commercial()
	if err := q.SendBatch(ctx, &r.batch).Close(); err != nil {
		return nil, digest{}, err
	}
	return r.doc, sum, nil
}

// reader queues the queries of one version; each puts what it finds into the document when the batch is read.
type reader struct {
	name    string
	version int
	doc     *pricing.Document
	batch   pgx.Batch
}

// each queues a query over (name, version) and scans every row into targets, then calls add with the row's number.
func (r *reader) each(sql string, targets []any, add func(i int) error) {
	r.batch.Queue(sql, r.name, r.version).Query(func(rows pgx.Rows) error {
		i := 0
		_, err := pgx.ForEachRow(rows, targets, func() error {
			i++
			return add(i - 1)
		})
		return err
	})
}

// inOrder refuses rows that are missing or that somebody added.
func inOrder(table string, position, i int) error {
	if position != i {
		return fmt.Errorf("%s: position %d where %d should be", table, position, i)
	}
	return nil
}

func (r *reader) versionRow(sum *digest) {
	d, sha := r.doc, []byte(nil)
	r.batch.Queue(`
select currency, system, to_char(effective, 'YYYY-MM-DD'), coalesce(note, ''), document_sha256
  from price_list_versions where name = $1 and version = $2`, r.name, r.version).QueryRow(func(row pgx.Row) error {
		err := row.Scan(&d.Currency, &d.System, &d.Effective, &d.Note, &sha)
		if errors.Is(err, pgx.ErrNoRows) {
			return errNoRow
		}
		if copy(sum[:], sha) != len(sum) && err == nil {
			return errors.New("the digest is cut short")
		}
		return err
	})
}

func (r *reader) goods() {
	d := r.doc
	var position, offer int

	var m pricing.MaterialDocument
	var left pricing.SurplusDocument
	r.each(`
select position, key, label, kind, coalesce(length, ''), coalesce(width, ''), coalesce(thickness, ''),
       coalesce(joint_max, ''), coalesce(mass, ''), coalesce(loose_density, ''), compaction_factor,
       coalesce(roll_width, ''), coalesce(roll_length, ''), coalesce(lap, ''), coalesce(upturn, ''), coalesce(pin, ''),
       coalesce(pin_spacing, ''), coalesce(source, ''), coalesce(surplus_per_quantity, ''), coalesce(surplus_per_count, 0),
       surplus_resale, surplus_disposal
  from materials where name = $1 and version = $2 order by position`,
		[]any{&position, &m.Key, &m.Name, &m.Kind, &m.Length, &m.Width, &m.Thickness, &m.JointMax, &m.Mass, &m.LooseDensity,
			&m.CompactionFactor, &m.RollWidth, &m.RollLength, &m.Lap, &m.Upturn, &m.Pin, &m.PinSpacing, &m.Source,
			&left.Per.Quantity, &left.Per.Count, &left.Resale, &left.Disposal},
		func(i int) error {
			m.Surplus = nil
			if left.Resale != nil || left.Disposal != nil {
				own := left
				m.Surplus = &own
			}
			d.Materials = append(d.Materials, m)
			return inOrder("materials", position, i)
		})

	var s pricing.SoilDocument
	r.each(`
select position, key, swell_factor, bank_density, coalesce(source, '')
  from soils where name = $1 and version = $2 order by position`,
		[]any{&position, &s.Key, &s.SwellFactor, &s.BankDensity, &s.Source},
		func(i int) error {
			d.Soils = append(d.Soils, s)
			return inOrder("soils", position, i)
		})

	r.suppliers()

	var o pricing.OfferDocument
	r.each(`
select position, key, supplier, material, form, coalesce(content_quantity, ''), coalesce(content_count, 0), price,
       coalesce(minimum_quantity, ''), coalesce(minimum_count, 0), coalesce(increment_quantity, ''),
       coalesce(increment_count, 0), lead_days, handling_hours, coalesce(load_with, '')
  from offers where name = $1 and version = $2 order by position`,
		[]any{&position, &o.Key, &o.Supplier, &o.Material, &o.Form, &o.Content.Quantity, &o.Content.Count, &o.Price,
			&o.Minimum.Quantity, &o.Minimum.Count, &o.Increment.Quantity, &o.Increment.Count,
			&o.LeadDays, &o.HandlingHours, &o.LoadWith},
		func(i int) error {
			d.Offers = append(d.Offers, o)
			return inOrder("offers", position, i)
		})

	var b pricing.BreakDocument
	r.each(`
select offer_position, position, coalesce(from_quantity, ''), coalesce(from_count, 0), price
  from offer_breaks where name = $1 and version = $2 order by offer_position, position`,
		[]any{&offer, &position, &b.From.Quantity, &b.From.Count, &b.Price},
		func(int) error {
			if offer >= len(d.Offers) {
				return fmt.Errorf("offer_breaks: there is no offer %d", offer)
			}
			breaks := &d.Offers[offer].Breaks
			*breaks = append(*breaks, b)
			return inOrder("offer_breaks", position, len(*breaks)-1)
		})
}

func (r *reader) suppliers() {
	d := r.doc
	var position int
	var s pricing.SupplierDocument
	var fee, tripCost, freeFrom, crewHours *decimal.Decimal
	var payload, volume, tripPayload, tripVolume string
	r.each(`
select position, key, label, minimum_order, delivery_fee, coalesce(delivery_payload, ''),
       coalesce(delivery_payload_volume, ''), delivery_free_from, trip_cost, trip_crew_hours, coalesce(trip_payload, ''),
       coalesce(trip_payload_volume, '')
  from suppliers where name = $1 and version = $2 order by position`,
		[]any{&position, &s.Key, &s.Name, &s.MinimumOrder, &fee, &payload, &volume, &freeFrom, &tripCost, &crewHours,
			&tripPayload, &tripVolume},
		func(i int) error {
			s.Delivery, s.PickUp = nil, nil
			if fee != nil {
				s.Delivery = &pricing.DeliveryDocument{Fee: *fee, Payload: payload, PayloadVolume: volume, FreeFrom: freeFrom}
			}
			if tripCost != nil {
				s.PickUp = &pricing.PickUpDocument{TripCost: *tripCost, CrewHours: crewHours, Payload: tripPayload,
					PayloadVolume: tripVolume}
			}
			d.Suppliers = append(d.Suppliers, s)
			return inOrder("suppliers", position, i)
		})
}

func (r *reader) work() {
	d := r.doc
	var position int

	r.each(`select hourly_cost, crew_size, hours_per_day from labour where name = $1 and version = $2`,
		[]any{&d.Labour.HourlyCost, &d.Labour.CrewSize, &d.Labour.HoursPerDay}, func(int) error { return nil })

	var rate pricing.RateDocument
	r.each(`
select position, operation, coalesce(soil, ''), coalesce(cover, ''), coalesce(haul_to, ''), coalesce(per_quantity, ''),
       coalesce(per_count, 0), hours, coalesce(source, ''), coalesce(tool, ''), coalesce(access_from, ''),
       coalesce(unit_mass_to, '')
  from labour_rates where name = $1 and version = $2 order by position`,
		[]any{&position, &rate.Operation, &rate.Soil, &rate.Cover, &rate.HaulTo, &rate.Per.Quantity, &rate.Per.Count,
			&rate.Hours, &rate.Source, &rate.Tool, &rate.AccessFrom, &rate.UnitMassTo},
		func(i int) error {
			d.Labour.Rates = append(d.Labour.Rates, rate)
			return inOrder("labour_rates", position, i)
		})

	var e pricing.EquipmentDocument
	r.each(`
select position, key, label, half_day, day, transport
  from equipment where name = $1 and version = $2 order by position`,
		[]any{&position, &e.Key, &e.Name, &e.HalfDay, &e.Day, &e.Transport},
		func(i int) error {
			d.Equipment = append(d.Equipment, e)
			return inOrder("equipment", position, i)
		})

	var machine int
	var operation string
	r.each(`
select equipment_position, position, operation
  from equipment_operations where name = $1 and version = $2 order by equipment_position, position`,
		[]any{&machine, &position, &operation},
		func(int) error {
			if machine >= len(d.Equipment) {
				return fmt.Errorf("equipment_operations: there is no equipment %d", machine)
			}
			operations := &d.Equipment[machine].Operations
			*operations = append(*operations, operation)
			return inOrder("equipment_operations", position, len(*operations)-1)
		})

	var disposal pricing.DisposalDocument
	r.each(`select per, price from disposal where name = $1 and version = $2`,
		[]any{&disposal.Per, &disposal.Price},
		func(int) error {
			d.Disposal = &disposal
			return nil
		})

	var h pricing.HaulingDocument
	r.each(`
select position, vehicle, payload, volume, coalesce(source, ''), coalesce(pace, ''), fill_minutes, tip_minutes, slope_factor,
       coalesce(access_from, '')
  from hauling where name = $1 and version = $2 order by position`,
		[]any{&position, &h.Vehicle, &h.Payload, &h.Volume, &h.Source, &h.Pace, &h.FillMinutes, &h.TipMinutes, &h.SlopeFactor, &h.AccessFrom},
		func(i int) error {
			d.Hauling = append(d.Hauling, h)
			return inOrder("hauling", position, i)
		})

	var hold pricing.HoldDocument
	r.each(`
select position, key, working_days, hours, coalesce(source, '')
  from holds where name = $1 and version = $2 order by position`,
		[]any{&position, &hold.Key, &hold.WorkingDays, &hold.Hours, &hold.Source},
		func(i int) error {
			d.Holds = append(d.Holds, hold)
			return inOrder("holds", position, i)
		})

	var line string
	var percent decimal.Decimal
	r.each(`select line, percent from allowances where name = $1 and version = $2 order by line`,
		[]any{&line, &percent},
		func(int) error {
			for _, a := range allowancesOf(d) {
				if a.line == line {
					value := percent
					*a.percent = &value
					return nil
				}
			}
			return fmt.Errorf("allowances: unknown line %q", line)
		})

	r.each(`
select coalesce(dig_to, ''), least_piece, coalesce(hand_lift, ''), coalesce(machine_lift, '')
  from settings where name = $1 and version = $2`,
		[]any{&d.Settings.DigTo, &d.Settings.LeastPiece, &d.Settings.HandLift, &d.Settings.MachineLift}, func(int) error { return nil })
}

func (r *reader) commercial() {
	d := r.doc
	var position, tax int

	c := &d.Commercial
	r.each(`
select contingency_percent, overhead_percent, markup_percent, margin_percent, discount_percent, round_price_to,
       coalesce(rounding, ''), deposit_percent, valid_days
  from commercial where name = $1 and version = $2`,
		[]any{&c.ContingencyPercent, &c.OverheadPercent, &c.MarkupPercent, &c.MarginPercent, &c.DiscountPercent, &c.RoundPriceTo,
			&c.Rounding, &c.DepositPercent, &c.ValidDays},
		func(int) error { return nil })

	var stage pricing.StageDocument
	r.each(`select position, label, percent from stages where name = $1 and version = $2 order by position`,
		[]any{&position, &stage.Name, &stage.Percent},
		func(i int) error {
			c.Stages = append(c.Stages, stage)
			return inOrder("stages", position, i)
		})

	var t pricing.TaxDocument
	r.each(`select position, label, percent, coalesce(jurisdiction, '') from taxes where name = $1 and version = $2 order by position`,
		[]any{&position, &t.Name, &t.Percent, &t.Jurisdiction},
		func(i int) error {
			d.Taxes = append(d.Taxes, t)
			return inOrder("taxes", position, i)
		})

	var category string
	r.each(`
select tax_position, position, category
  from tax_categories where name = $1 and version = $2 order by tax_position, position`,
		[]any{&tax, &position, &category},
		func(int) error {
			if tax >= len(d.Taxes) {
				return fmt.Errorf("tax_categories: there is no tax %d", tax)
			}
			on := &d.Taxes[tax].On
			*on = append(*on, category)
			return inOrder("tax_categories", position, len(*on)-1)
		})
}
