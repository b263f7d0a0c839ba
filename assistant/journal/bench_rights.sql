-- Rights in a record store that several benches share (PostgreSQL 15 or later).
--
-- A member of the role assembly_bench may add sessions, entries and seals, and read them. It can
-- neither alter nor remove what is there. Run by the owner of the database; running it again is
-- harmless. `assembly-assistant rights --store URL` runs it in one transaction.

DO $$
BEGIN
    IF current_setting('server_version_num')::int < 150000 THEN
        RAISE EXCEPTION 'rights need PostgreSQL 15 or later';
    END IF;
    IF NOT EXISTS (SELECT FROM pg_roles WHERE rolname = 'assembly_bench') THEN
        CREATE ROLE assembly_bench NOLOGIN;
    END IF;
    -- No temporary tables: one of them could stand in for a real one.
    EXECUTE format('REVOKE ALL ON DATABASE %I FROM PUBLIC, assembly_bench', current_database());
    EXECUTE format('GRANT CONNECT ON DATABASE %I TO assembly_bench', current_database());
END
$$;

REVOKE ALL ON SCHEMA public FROM PUBLIC, assembly_bench;
REVOKE ALL ON ALL TABLES IN SCHEMA public FROM PUBLIC, assembly_bench;
REVOKE ALL ON ALL SEQUENCES IN SCHEMA public FROM PUBLIC, assembly_bench;
GRANT USAGE ON SCHEMA public TO assembly_bench;
GRANT SELECT ON public.journal_version TO assembly_bench;
GRANT SELECT, INSERT ON public.session, public.entry, public.seal TO assembly_bench;
-- USAGE draws the next number of a session; it cannot set the counter back.
GRANT USAGE ON SEQUENCE public.session_number_seq TO assembly_bench;
-- The head of a session moves with each append. The triggers below let it move forward only.
GRANT UPDATE (last_at, entries, last_hash) ON public.session TO assembly_bench;

-- The triggers hold for everyone, the owner too, until the owner drops them.
CREATE OR REPLACE FUNCTION public.head_moves_forward() RETURNS trigger
LANGUAGE plpgsql SET search_path = pg_catalog, public, pg_temp AS $$
BEGIN
    IF NEW.entries <= OLD.entries THEN
        RAISE EXCEPTION 'the head of session % may only move forward', OLD.session;
    END IF;
    RETURN NEW;
END
$$;

CREATE OR REPLACE FUNCTION public.head_is_an_entry() RETURNS trigger
LANGUAGE plpgsql SET search_path = pg_catalog, public, pg_temp AS $$
BEGIN
    IF NOT EXISTS (
        SELECT FROM public.entry
        WHERE session = NEW.session AND seq = NEW.entries AND hash = NEW.last_hash
    ) THEN
        RAISE EXCEPTION 'the head of session % must be its last entry', NEW.session;
    END IF;
    RETURN NULL;
END
$$;

CREATE OR REPLACE FUNCTION public.entry_follows() RETURNS trigger
LANGUAGE plpgsql SET search_path = pg_catalog, public, pg_temp AS $$
BEGIN
    -- The program moves the head first, so an entry past the head is not the program's.
    IF NEW.seq < 1 OR NOT EXISTS (
        SELECT FROM public.session WHERE session = NEW.session AND entries >= NEW.seq
    ) THEN
        RAISE EXCEPTION 'entry % is past the head of session %', NEW.seq, NEW.session;
    END IF;
    IF NEW.seq = 1 AND NEW.prev <> repeat('0', 64) OR NEW.seq > 1 AND NOT EXISTS (
        SELECT FROM public.entry
        WHERE session = NEW.session AND seq = NEW.seq - 1 AND hash = NEW.prev
    ) THEN
        RAISE EXCEPTION 'entry % of session % does not follow the one before it',
            NEW.seq, NEW.session;
    END IF;
    RETURN NEW;
END
$$;

DROP TRIGGER IF EXISTS head_moves_forward ON public.session;
CREATE TRIGGER head_moves_forward BEFORE UPDATE ON public.session
    FOR EACH ROW EXECUTE FUNCTION public.head_moves_forward();

-- Checked at commit: the head is written before the entries that it counts.
DROP TRIGGER IF EXISTS head_is_an_entry ON public.session;
CREATE CONSTRAINT TRIGGER head_is_an_entry AFTER INSERT OR UPDATE ON public.session
    DEFERRABLE INITIALLY DEFERRED
    FOR EACH ROW EXECUTE FUNCTION public.head_is_an_entry();

DROP TRIGGER IF EXISTS entry_follows ON public.entry;
CREATE TRIGGER entry_follows BEFORE INSERT ON public.entry
    FOR EACH ROW EXECUTE FUNCTION public.entry_follows();
