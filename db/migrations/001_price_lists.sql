-- Published price lists, one row per list and version. Everything else hangs on (name, version).
-- Columns are only ever added: an older program names its columns and goes on reading.

-- A name of a list or a key in it.
create domain list_key as text
  check (value ~ '^[a-z0-9][a-z0-9_-]{0,63}$');

-- A word of the contract. Which ones there are the program says: a list with a word that it does not know is refused.
create domain word as text
  check (value ~ '^[a-z][a-z_]{0,63}$');

-- A text for people.
create domain prose as text
  check (value <> '' and length(value) <= 2000);

-- A quantity as it was written, with its unit: '8 in', '0.5 yd3'. Absent is null, never empty.
create domain quantity_text as text
  check (value <> '' and length(value) <= 200);

-- A whole number of units, pieces or packs.
create domain item_count as integer
  check (value between 1 and 1000000);

-- Prices and other numbers are exact. A bare numeric refuses by its check what numeric(12,4) would round in silence;
-- 'NaN' and 'Infinity' compare greater than every bound.
create domain price_number as numeric
  check (value >= 0 and value < 100000000 and scale(trim_scale(value)) <= 4);
create domain plain_number as numeric
  check (value >= 0 and value < 1000000 and scale(trim_scale(value)) <= 6);

create table price_list_versions (
  name            list_key    not null,
  version         integer     not null check (version >= 1),
  currency        text        not null check (currency ~ '^[A-Z]{3}$'),
  system          text        not null check (system in ('us', 'metric')),
  effective       date        not null,
  note            prose,
  document_sha256 bytea       not null check (octet_length(document_sha256) = 32),
  published_at    timestamptz not null default now(),
  primary key (name, version)
);

comment on column price_list_versions.published_at is
  'For people who look into the database; no answer of the service holds it.';
comment on column price_list_versions.document_sha256 is
  'SHA-256 of the JSON document that the rows are made from; rows that do not give it again are refused.';
