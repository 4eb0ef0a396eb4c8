-- What one load of a vehicle may weigh and hold. A list without rows leaves it to the program.

create table hauling (
  name     list_key      not null,
  version  integer       not null,
  position integer       not null check (position >= 0),
  vehicle  word          not null,
  payload  quantity_text not null,
  volume   quantity_text not null,
  source   prose,
  primary key (name, version, position),
  unique (name, version, vehicle),
  foreign key (name, version) references price_list_versions (name, version)
);

create trigger refuse_change before update or delete on hauling for each row execute function refuse_change();
create trigger refuse_truncate before truncate on hauling for each statement execute function refuse_change();
create trigger refuse_late_row before insert on hauling for each row execute function refuse_late_row();
