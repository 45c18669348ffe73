-- The column as the schema declares it, like the other lists of words.
alter table "visit" alter column "skills" drop not null;
alter table "visit" alter column "skills" set default array[]::text[];
