-- After a whole fleet was written at once the planner must know it before the next query runs, not when the automatic
-- analysis comes by; the app's role owns no table, so the owner's function does it.
create function refresh_statistics() returns void language plpgsql volatile security definer set search_path = public as $$
begin
  analyze client, site, system, zone, device, battery, path, account, contact, visit, check_record, reading, deficiency, duty, duty_window, credit, list_entry, programme_application;
end $$;
revoke all on function refresh_statistics() from public;
grant execute on function refresh_statistics() to bellround_app;
