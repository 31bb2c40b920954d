"""The store: one DuckDB file, all SQL, all writes."""
