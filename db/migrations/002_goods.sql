-- What can be bought: materials, suppliers and offers. Positions keep the order of the document.

create table materials (
  name              list_key      not null,
  version           integer       not null,
  position          integer       not null check (position >= 0),
  key               list_key      not null,
  label             prose         not null,
  kind              text          not null check (kind in ('unit', 'loose', 'fabric', 'piece')),
  length            quantity_text,
  width             quantity_text,
  thickness         quantity_text,
  joint_max         quantity_text,
  mass              quantity_text,
  loose_density     quantity_text,
  compaction_factor plain_number  check (compaction_factor >= 1),
  roll_width        quantity_text,
  roll_length       quantity_text,
  lap               quantity_text,
  upturn            quantity_text,
  pin               list_key,
  pin_spacing       quantity_text,
  source            prose,
  primary key (name, version, position),
  unique (name, version, key),
  foreign key (name, version) references price_list_versions (name, version),
  foreign key (name, version, pin) references materials (name, version, key),
  check (kind <> 'unit' or num_nulls(length, width, thickness) = 0),
  check (kind <> 'loose' or loose_density is not null),
  check (kind <> 'fabric' or num_nulls(roll_width, roll_length) = 0)
);

create table soils (
  name         list_key      not null,
  version      integer       not null,
  position     integer       not null check (position >= 0),
  key          list_key      not null,
  swell_factor plain_number  not null check (swell_factor > 1),
  bank_density quantity_text not null,
  source       prose,
  primary key (name, version, position),
  unique (name, version, key),
  foreign key (name, version) references price_list_versions (name, version)
);

create table suppliers (
  name                    list_key not null,
  version                 integer  not null,
  position                integer  not null check (position >= 0),
  key                     list_key not null,
  label                   prose    not null,
  minimum_order           price_number,
  delivery_fee            price_number,
  delivery_payload        quantity_text,
  delivery_payload_volume quantity_text,
  delivery_free_from      price_number,
  trip_cost               price_number,
  trip_crew_hours         plain_number,
  trip_payload            quantity_text,
  trip_payload_volume     quantity_text,
  primary key (name, version, position),
  unique (name, version, key),
  foreign key (name, version) references price_list_versions (name, version),
  -- A supplier delivers if there is a fee, and lets goods be picked up if there is a cost of the trip.
  check (delivery_fee is not null
         or num_nonnulls(delivery_payload, delivery_payload_volume, delivery_free_from) = 0),
  check (trip_cost is not null
         or num_nonnulls(trip_crew_hours, trip_payload, trip_payload_volume) = 0)
);

create table offers (
  name               list_key     not null,
  version            integer      not null,
  position           integer      not null check (position >= 0),
  key                list_key     not null,
  supplier           list_key     not null,
  material           list_key     not null,
  form               text         not null check (form in ('bag', 'bulk', 'pallet', 'roll', 'each', 'tub')),
  content_quantity   quantity_text,
  content_count      item_count,
  price              price_number not null,
  minimum_quantity   quantity_text,
  minimum_count      item_count,
  increment_quantity quantity_text,
  increment_count    item_count,
  primary key (name, version, position),
  unique (name, version, key),
  foreign key (name, version) references price_list_versions (name, version),
  foreign key (name, version, supplier) references suppliers (name, version, key),
  foreign key (name, version, material) references materials (name, version, key),
  check (num_nonnulls(content_quantity, content_count) = 1),
  check (num_nonnulls(minimum_quantity, minimum_count) <= 1),
  check (num_nonnulls(increment_quantity, increment_count) <= 1)
);

create table offer_breaks (
  name           list_key     not null,
  version        integer      not null,
  offer_position integer      not null,
  position       integer      not null check (position >= 0),
  from_quantity  quantity_text,
  from_count     item_count,
  price          price_number not null,
  primary key (name, version, offer_position, position),
  foreign key (name, version, offer_position) references offers (name, version, position),
  check (num_nonnulls(from_quantity, from_count) = 1)
);
