-- How cost becomes price.

create table commercial (
  name                list_key not null,
  version             integer  not null,
  contingency_percent plain_number,
  overhead_percent    plain_number,
  markup_percent      plain_number,
  margin_percent      plain_number check (margin_percent < 100),
  primary key (name, version),
  foreign key (name, version) references price_list_versions (name, version),
  check (num_nonnulls(markup_percent, margin_percent) <= 1)
);

create table taxes (
  name     list_key     not null,
  version  integer      not null,
  position integer      not null check (position >= 0),
  label    prose        not null,
  percent  plain_number not null,
  primary key (name, version, position),
  foreign key (name, version) references price_list_versions (name, version)
);

create table tax_categories (
  name         list_key not null,
  version      integer  not null,
  tax_position integer  not null,
  position     integer  not null check (position >= 0),
  category     text     not null check (category in ('materials', 'delivery', 'equipment', 'labour', 'disposal')),
  primary key (name, version, tax_position, position),
  unique (name, version, tax_position, category),
  foreign key (name, version, tax_position) references taxes (name, version, position)
);
