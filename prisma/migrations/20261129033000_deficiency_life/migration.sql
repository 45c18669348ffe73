-- Pictures live in a store of their own (a folder, or an S3-compatible one). Those kept here before stay readable where they are.
alter table "attachment" alter column "content" drop not null;

-- A check asks for the deficiencies of its subject.
create index "deficiency_company_id_subject_id_check_kind_idx" on "deficiency"("company_id", "subject_id", "check_kind");

-- What protects a site meanwhile, and until when: asked every few minutes over the whole company.
create index deficiency_fact_interim on deficiency_fact (company_id, deficiency_id, recorded_at) where kind in ('interim', 'interim-over');
