-- What came with version 0.3 of the contract: how goods travel, what is left over, crews, tools, holds, payments.

alter table materials
  add column surplus_per_quantity quantity_text,
  add column surplus_per_count    item_count,
  add column surplus_resale       price_number,
  add column surplus_disposal     price_number,
  add check (num_nonnulls(surplus_per_quantity, surplus_per_count) = num_nonnulls(surplus_resale, surplus_disposal)),
  add check (num_nonnulls(surplus_resale, surplus_disposal) <= 1);

alter table offers
  add column lead_days      plain_number check (lead_days <= 365),
  add column handling_hours plain_number,
  add column load_with      list_key;

alter table labour
  add column crew_size     plain_number check (crew_size between 1 and 50),
  add column hours_per_day plain_number check (hours_per_day between 0.5 and 24);

alter table labour_rates
  add column tool         text check (tool in ('hand', 'machine')),
  add column access_from  quantity_text,
  add column unit_mass_to quantity_text;

alter table equipment
  add column transport price_number;

create table equipment_operations (
  name               list_key not null,
  version            integer  not null,
  equipment_position integer  not null,
  position           integer  not null check (position >= 0),
  operation          word     not null,
  primary key (name, version, equipment_position, position),
  unique (name, version, equipment_position, operation),
  foreign key (name, version, equipment_position) references equipment (name, version, position)
);

alter table hauling
  add column pace         quantity_text,
  add column fill_minutes plain_number,
  add column tip_minutes  plain_number,
  add column slope_factor plain_number check (slope_factor <= 1),
  add column access_from  quantity_text,
  add check (pace is not null or num_nonnulls(fill_minutes, tip_minutes, slope_factor, access_from) = 0);

alter table settings
  add column hand_lift    quantity_text,
  add column machine_lift quantity_text;

create table holds (
  name         list_key not null,
  version      integer  not null,
  position     integer  not null check (position >= 0),
  key          word     not null,
  working_days plain_number,
  hours        plain_number,
  source       prose,
  primary key (name, version, position),
  unique (name, version, key),
  foreign key (name, version) references price_list_versions (name, version),
  check (num_nonnulls(working_days, hours) = 1)
);

alter table commercial
  add column discount_percent plain_number check (discount_percent < 100),
  add column round_price_to   price_number check (round_price_to > 0),
  add column rounding         text check (rounding in ('nearest', 'up')),
  add column deposit_percent  plain_number check (deposit_percent <= 100),
  add column valid_days       plain_number check (valid_days between 1 and 365);

create table stages (
  name     list_key     not null,
  version  integer      not null,
  position integer      not null check (position >= 0),
  label    prose        not null,
  percent  plain_number not null check (percent <= 100),
  primary key (name, version, position),
  foreign key (name, version) references price_list_versions (name, version)
);

alter table taxes
  add column jurisdiction prose;

do $$
declare
  t text;
begin
  foreach t in array array['equipment_operations', 'holds', 'stages'] loop
    execute format('create trigger refuse_change before update or delete on %I
                    for each row execute function refuse_change()', t);
    execute format('create trigger refuse_truncate before truncate on %I
                    for each statement execute function refuse_change()', t);
    execute format('create trigger refuse_late_row before insert on %I
                    for each row execute function refuse_late_row()', t);
  end loop;
end
$$;
