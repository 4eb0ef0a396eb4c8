-- A published version never changes: a quote of last year must come out the same. Rows are added only by the transaction
-- that publishes their version, and no row is changed or taken away.

create function refuse_change() returns trigger language plpgsql as $$
begin
  raise exception 'published price lists are immutable: % on % refused', lower(tg_op), tg_table_name
    using errcode = 'restrict_violation', hint = 'Publish a new version instead.';
end
$$;

create function refuse_late_row() returns trigger language plpgsql as $$
begin
  perform 1
    from price_list_versions v
   where v.name = new.name and v.version = new.version
     and v.xmin = pg_current_xact_id()::xid;
  if not found then
    raise exception 'published price lists are immutable: insert on % for % version % refused',
      tg_table_name, new.name, new.version
      using errcode = 'restrict_violation', hint = 'Publish a new version instead.';
  end if;
  return new;
end
$$;

do $$
declare
  t text;
begin
  foreach t in array array['price_list_versions', 'materials', 'soils', 'suppliers', 'offers', 'offer_breaks', 'labour',
                           'labour_rates', 'equipment', 'disposal', 'allowances', 'settings', 'commercial', 'taxes',
                           'tax_categories'] loop
    execute format('create trigger refuse_change before update or delete on %I
                    for each row execute function refuse_change()', t);
    execute format('create trigger refuse_truncate before truncate on %I
                    for each statement execute function refuse_change()', t);
    if t <> 'price_list_versions' then
      execute format('create trigger refuse_late_row before insert on %I
                      for each row execute function refuse_late_row()', t);
    end if;
  end loop;
end
$$;
