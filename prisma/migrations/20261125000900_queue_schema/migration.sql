-- The queue library says "create schema if not exists" when it starts, which Postgres refuses without this right even
-- where the schema exists. It opens nothing else: the role owns only what it makes and may read no table of ours.
do $$ begin execute format('grant create on database %I to bellround_queue', current_database()); end $$;
