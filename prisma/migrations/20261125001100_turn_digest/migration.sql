-- One row per duty: when its windows change by themselves (null: never), and a digest of what is materialised of it, so that
-- a refresh that finds nothing new neither reads nor writes windows and credits.
ALTER TABLE "duty_turn" ALTER COLUMN "turns_on" DROP NOT NULL;
ALTER TABLE "duty_turn" ADD COLUMN "digest" TEXT NOT NULL DEFAULT '';
