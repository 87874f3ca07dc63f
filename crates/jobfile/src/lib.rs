//! The TOML job record: format, spans, versions, migrations, JSON Schema.
