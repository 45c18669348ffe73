-- What was seen on site of a zone is a list of its own: found, or listed and not found.
alter table zone_list drop constraint list_known;
alter table zone_list add constraint list_known check (list in ('panel', 'station', 'site'));
