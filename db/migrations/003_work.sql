-- What the work takes and costs: hours, machines, the tip, allowances and settings.

create table labour (
  name        list_key     not null,
  version     integer      not null,
  hourly_cost price_number not null,
  primary key (name, version),
  foreign key (name, version) references price_list_versions (name, version)
);

create table labour_rates (
  name         list_key     not null,
  version      integer      not null,
  position     integer      not null check (position >= 0),
  operation    word         not null,
  soil         list_key,
  cover        word,
  haul_to      quantity_text,
  per_quantity quantity_text,
  per_count    bigint       check (per_count >= 1),
  hours        plain_number not null,
  source       prose,
  primary key (name, version, position),
  foreign key (name, version) references labour (name, version),
  foreign key (name, version, soil) references soils (name, version, key),
  check (num_nonnulls(per_quantity, per_count) = 1)
);

create table equipment (
  name     list_key     not null,
  version  integer      not null,
  position integer      not null check (position >= 0),
  key      list_key     not null,
  label    prose        not null,
  half_day price_number not null,
  day      price_number not null,
  primary key (name, version, position),
  unique (name, version, key),
  foreign key (name, version) references price_list_versions (name, version)
);

create table disposal (
  name    list_key      not null,
  version integer       not null,
  per     quantity_text not null,
  price   price_number  not null,
  primary key (name, version),
  foreign key (name, version) references price_list_versions (name, version)
);

create table allowances (
  name    list_key     not null,
  version integer      not null,
  line    word         not null,
  percent plain_number not null,
  primary key (name, version, line),
  foreign key (name, version) references price_list_versions (name, version)
);

create table settings (
  name        list_key not null,
  version     integer  not null,
  dig_to      quantity_text,
  least_piece plain_number check (least_piece <= 1),
  primary key (name, version),
  foreign key (name, version) references price_list_versions (name, version)
);
